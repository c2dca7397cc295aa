"""JSON Schema of a site file, and the same as tables for people; both made from the model."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from sourloam.scraps import CLASSES
from sourloam.site.model import Site

Schema = dict[str, Any]


def site_schema() -> Schema:
    """JSON Schema (2020-12) of the tables in a site file; dates are ISO text in it."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **_without_null(Site.model_json_schema(by_alias=True)),
    }
    schema["title"] = "Site file"
    return schema


def _without_null(part: Any) -> Any:
    """TOML has no null: a key is there or isn't."""
    if isinstance(part, list):
        return [_without_null(item) for item in part]
    if not isinstance(part, dict):
        return part
    kept = {k: _without_null(v) for k, v in part.items() if v is not None}
    ways = [way for way in kept.get("anyOf", []) if way != {"type": "null"}]
    if len(ways) == 1:
        bounds = kept.pop("anyOf") and ways[0].pop("description", None)
        kept = ways[0] | kept | ({"$comment": bounds} if bounds else {})
    elif ways:
        kept["anyOf"] = ways
    return kept


def describe() -> str:
    """One Markdown table for each section of a site file."""
    schema = site_schema()
    tables = [_table(schema["$defs"][name]) for name in _in_order(schema)]
    classes = ", ".join(f"`{name}`" for name in CLASSES)
    return "\n".join([*tables, f"Classes that a `mix` may name: {classes}.", ""])


def _in_order(schema: Schema) -> Iterator[str]:
    """Names of the sections, in the order of the model."""
    for prop in schema["properties"].values():
        inner = prop.get("items", prop)
        for way in inner.get("oneOf", [inner]):
            name = way["$ref"].rsplit("/", 1)[1]
            yield name
            yield from _within(schema["$defs"][name])


def _within(section: Schema) -> Iterator[str]:
    """Names of the sections that stand inside a section."""
    for prop in section["properties"].values():
        reference = prop.get("items", {}).get("$ref")
        if reference:
            yield reference.rsplit("/", 1)[1]


def _table(section: Schema) -> str:
    heading, _, rest = section["description"].partition(": ")
    lines = [f"### `{heading}`", "", f"{rest[:1].upper()}{rest[1:]}", ""]
    lines += ["| key | what to write | if left out | meaning |", "|---|---|---|---|"]
    needed = section.get("required", [])
    properties = section["properties"]
    for key, prop in sorted(properties.items(), key=lambda item: "const" not in item[1]):
        absent = "needed" if key in needed else _default(prop)
        lines.append(f"| `{key}` | {_wanted(prop)} | {absent} | {prop['description']} |")
    return "\n".join([*lines, ""])


def _default(prop: Schema) -> str:
    if "default" not in prop:
        return "–"
    return f"`{json.dumps(prop['default'], ensure_ascii=False)}`"


def _wanted(prop: Schema) -> str:
    """What may stand there, in a few words."""
    if "const" in prop:
        return f'`"{prop["const"]}"`'
    if "enum" in prop:
        return ", ".join(f"`{json.dumps(word, ensure_ascii=False)}`" for word in prop["enum"])
    if "anyOf" in prop:
        return "; or ".join(_wanted(way) for way in prop["anyOf"])
    if "examples" in prop:
        return ", ".join(f'`"{example}"`' for example in prop["examples"]) + _span(prop)
    simple = {
        "boolean": "`true` or `false`",
        "string": "text",
        "object": "`{ class = share, ... }`",
    }
    if prop["type"] in simple:
        return simple[prop["type"]]
    if "$ref" in prop.get("items", {}):
        return "tables of their own, below"
    if prop["type"] == "array":
        return f"{prop['minItems']} numbers in `[ ]`"
    whole = "whole number" if prop["type"] == "integer" else "number"
    return f"{whole}, {prop['minimum']:,} to {prop['maximum']:,}"


def _span(prop: Schema) -> str:
    comment = str(prop.get("$comment", ""))
    return f" ({comment.partition(', ')[2]})" if comment else ""
