"""JSON Schema of a place's JSON file, and the columns of its tables, made from the models."""

from __future__ import annotations

from typing import Any

from pydantic.json_schema import models_json_schema

from sourloam.exchange import cells
from sourloam.exchange.bundle import FORMAT, VERSION
from sourloam.ledger import KINDS

_TEXT = {"type": "string"}
_UUID = {**_TEXT, "format": "uuid"}
_TIME = {**_TEXT, "format": "date-time", "description": "with its zone, years 1990 to 2100"}
_SHORT_ID = {**_TEXT, "pattern": "^[a-z0-9][a-z0-9_-]{0,63}$"}
_HOLDS = {
    "number": "number",
    "text": "text",
    "words": "words parted by spaces",
    "boolean": "`true` or `false`",
    "text or table": "a word, or JSON",
    "table": "JSON",
}


def place_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of the document that ``place_json`` writes."""
    models = list(dict.fromkeys(kind.body for kind in KINDS.values()))
    _each, bodies = models_json_schema(
        [(model, "validation") for model in models],
        by_alias=True,
        ref_template="#/$defs/{model}",
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A place of a Sourloam logbook",
        "type": "object",
        "additionalProperties": False,
        "required": ["format", "version", "place", "entries"],
        "properties": {
            "format": {"const": FORMAT},
            "version": {"const": VERSION},
            "place": _place(),
            "entries": {"type": "array", "items": {"$ref": "#/$defs/Entry"}},
        },
        "$defs": {"Entry": _entry(), **bodies.get("$defs", {})},
    }


def _place() -> dict[str, Any]:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["id", "name"],
        "properties": {
            "id": _SHORT_ID,
            "name": {**_TEXT, "minLength": 1, "maxLength": 80},
            "zone": {**_TEXT, "description": "time zone, such as Europe/Dublin"},
            "units": {"enum": ["metric", "us"]},
            "language": {**_TEXT, "maxLength": 8},
            "country": {**_TEXT, "maxLength": 2},
        },
    }


def _entry() -> dict[str, Any]:
    ways = [
        {
            "properties": {
                "kind": {"const": kind.name},
                "body": {"$ref": f"#/$defs/{kind.body.__name__}"},
            }
        }
        for kind in KINDS.values()
    ]
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["id", "place", "kind", "at", "written_at", "body"],
        "properties": {
            "id": _UUID,
            "place": _SHORT_ID,
            "kind": {"enum": [*KINDS]},
            "at": _TIME,
            "written_at": _TIME,
            "supersedes": _UUID,
            "received_at": _TIME,
            "by": {**_TEXT, "maxLength": 80},
            "body": {"type": "object"},
        },
        "oneOf": ways,
    }


def describe_tables() -> str:
    """Markdown: the columns of each table, after those that all of them have."""
    lines = ["| table | its own columns |", "|---|---|"]
    for name in KINDS:
        said = "; ".join(f"`{c.name}` ({_HOLDS[c.sort]})" for c in cells.columns(name))
        lines.append(f"| `{name}.csv` | {said or 'none'} |")
    return "\n".join(lines) + "\n"
