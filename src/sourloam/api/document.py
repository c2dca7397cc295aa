"""The OpenAPI 3.1 document: made from what the operations declare and the models themselves."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from ninja import NinjaAPI
from pydantic import BaseModel
from pydantic.json_schema import JsonSchemaMode, models_json_schema

from sourloam.api.operations import DECLARED, Declared, Form, Shape
from sourloam.api.trouble import MEDIA, Problem
from sourloam.ledger import KINDS
from sourloam.logbook.middleware import PROGRAMS

_REF = "#/components/schemas/{model}"
_MOST_AT_ONCE = 200
_TEXT = {"type": "string"}
_REFUSALS = {
    400: "what was sent can't be read",
    401: "no standing token",
    403: "not within the token's scope, or not for its maker's role",
    404: "nothing there, or not within the token's reach",
    409: "it stands against what is there already",
    413: "too much at once",
    415: "not JSON",
    422: "a field is wrong; the line says which and what would be right",
    429: "too many requests; Retry-After says how long to wait",
    503: "busy; Retry-After says how long to wait",
}
_OK = {200: "OK", 201: "made or written down now", 202: "being reckoned; ask again"}
_ABOUT = (
    "What the pages of a Sourloam logbook do, for programs and sensors. Quantities are SI with the "
    "unit in the name. The page of tokens of a place or "
    "of a programme makes a token; docs/api.md has examples."
)
Key = tuple[type[BaseModel], JsonSchemaMode]
Refs = dict[Any, Any]  # by Key


@lru_cache(maxsize=1)
def document_text(api: NinjaAPI) -> str:
    """The document as the file holds it."""
    return json.dumps(document(api), ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def document(api: NinjaAPI) -> dict[str, Any]:
    """The document as plain data."""
    said = json.loads(json.dumps(api.get_openapi_schema(path_prefix=PROGRAMS.lstrip("/"))))
    refs, shared = models_json_schema(_models(), ref_template=_REF)
    found: Refs = dict(refs)
    for methods in said["paths"].values():
        for operation in methods.values():
            _complete(operation, found)
    said["components"]["schemas"] = {**shared.get("$defs", {}), **_written(found)}
    said["info"] |= {
        "description": _ABOUT,
        "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"},
    }
    said.pop("servers", None)
    return dict(said)


def _models() -> list[Key]:
    """Every model that comes in or goes out, each once a way."""
    keys: list[Key] = [(Problem, "serialization")]
    keys += [(kind.body, "validation") for kind in KINDS.values()]
    for one in DECLARED.values():
        keys += [(m, "serialization") for m in one.answers.values() if isinstance(m, type)]
        if isinstance(one.takes, type):
            keys.append((one.takes, "validation"))
    return list(dict.fromkeys(keys))


def _complete(operation: dict[str, Any], refs: Refs) -> None:
    declared = DECLARED[operation["operationId"]]
    operation["responses"] = _responses(declared, refs)
    operation["security"] = [{"Bearer": [declared.scope]}]
    if declared.takes is not None:
        media, schema = _taken(declared, refs)
        operation["requestBody"] = {"required": True, "content": {media: {"schema": schema}}}


def _responses(declared: Declared, refs: Refs) -> dict[str, Any]:
    problem = {"content": {MEDIA: {"schema": refs[(Problem, "serialization")]}}}
    said = {str(status): {"description": text, **problem} for status, text in _REFUSALS.items()}
    for status, shape in declared.answers.items():
        media, schema = _shape(shape, refs)
        content = {media: {"schema": schema}}
        said[str(status)] = {"description": _OK[status], "content": content}
    return said


def _shape(shape: Shape, refs: Refs) -> tuple[str, Any]:
    if isinstance(shape, type):
        return "application/json", refs[(shape, "serialization")]
    return shape, {"type": "object"} if shape == "application/json" else {}


def _taken(declared: Declared, refs: Refs) -> tuple[str, Any]:
    takes = declared.takes
    if isinstance(takes, Form):
        one_file = {"type": "string", "contentMediaType": "application/octet-stream"}
        form = {"type": "object", "required": ["file"], "properties": {"file": one_file}}
        return "multipart/form-data", form
    if isinstance(takes, str):
        return "application/json", {"$ref": _REF.format(model=takes)}
    assert takes is not None
    return "application/json", refs[(takes, "validation")]


def _written(refs: Refs) -> dict[str, Any]:
    """Entries as they are sent: one way for each kind."""
    ways = []
    for kind in KINDS.values():
        body = refs[(kind.body, "validation")]
        way: dict[str, Any] = {"properties": {"kind": {"const": kind.name}, "body": body}}
        ways.append(way | ({"required": ["supersedes"]} if kind.name == "struck" else {}))
    uuid, time = {**_TEXT, "format": "uuid"}, {**_TEXT, "format": "date-time"}
    entry = {
        "type": "object",
        "description": "An entry as it is sent; docs/entries.md tells what each kind means.",
        "additionalProperties": False,
        "required": ["id", "kind", "at", "written_at", "body"],
        "properties": {
            "id": {**uuid, "description": "made by whoever writes it: the key of its being one"},
            "place": {**_TEXT, "description": "left out, or the place of the address"},
            "kind": {"enum": [*KINDS]},
            "at": {**time, "description": "when it happened, with its zone"},
            "written_at": {**time, "description": "when it was written, with its zone"},
            "supersedes": {**uuid, "description": "the entry that it replaces or takes out"},
            "body": {"type": "object"},
            "received_at": {"description": "not taken: the server says it"},
            "by": {"description": "not taken: the server says it"},
        },
        "oneOf": ways,
    }
    many = {
        "type": "object",
        "additionalProperties": False,
        "required": ["entries"],
        "properties": {
            "entries": {
                "type": "array",
                "maxItems": _MOST_AT_ONCE,
                "items": {"description": "each an EntryToWrite; what is none is told by itself"},
            }
        },
    }
    return {"EntryToWrite": entry, "EntriesToWrite": many}
