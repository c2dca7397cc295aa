"""What is wrong with an entry, in parts, so that a page can say it in the words that people see."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from sourloam.site.quantities import Read

Sort = Literal[
    "missing", "unknown", "bounds", "number", "choice", "long", "together", "wrong",
    "time", "years", "form", "role", "clash", "place", "elsewhere", "vessel", "bed",
    "full", "broken", "closed", "busy", "gone",
]  # fmt: skip


@dataclass(frozen=True)
class Fault:
    """``field`` is the body's field, the innermost one; bounds are in the field's own unit."""

    sort: Sort
    kind: str = ""
    field: str = ""
    found: object = None
    least: float | None = None
    most: float | None = None
    role: str = ""


def of_body(error: ValidationError, kind: str, model: type[BaseModel]) -> Fault:
    """The first thing that is wrong with a body."""
    details = error.errors(include_url=False)
    first = min(details, key=lambda d: d["type"] != "extra_forbidden")
    names = [step for step in first["loc"] if isinstance(step, str)]
    field = names[-1] if names else ""
    found = first["input"]
    if first["type"] == "extra_forbidden":
        return Fault("unknown", kind, field)
    if first["type"] == "missing" or found == "":
        return Fault("missing", kind, field)
    return _of_value(first, kind, field, _schema(model, names))


def _of_value(detail: ErrorDetails, kind: str, field: str, schema: dict[str, Any] | None) -> Fault:
    found = detail["input"]
    if schema is None:
        return Fault("together" if detail["type"] == "value_error" else "wrong", kind, field)
    if "minimum" in schema:
        counted = isinstance(found, int | float) and not isinstance(found, bool)
        sort: Sort = "bounds" if counted else "number"
        return Fault(sort, kind, field, found, schema["minimum"], schema["maximum"])
    if "enum" in schema:
        return Fault("choice", kind, field, found)
    if "maxLength" in schema and isinstance(found, str):
        return Fault("long" if found.strip() else "missing", kind, field, most=schema["maxLength"])
    return Fault("wrong", kind, field, found)


def _schema(model: type[BaseModel], names: list[str]) -> dict[str, Any] | None:
    """What the field at the end of the way takes; None where the way ends at a whole model."""
    if not names or names[0] not in model.model_fields:
        return None
    field = model.model_fields[names[0]]
    parts = [*field.metadata, *_parts(field.annotation)]
    inner = next((p for p in parts if isinstance(p, type) and issubclass(p, BaseModel)), None)
    if inner is not None:
        return _schema(inner, names[1:])
    return next((part.schema for part in parts if isinstance(part, Read)), {})


def _parts(annotation: object) -> Iterator[object]:
    """Types and marks within an annotation such as ``Annotated[float, Read(...)] | None``."""
    yield annotation
    yield from getattr(annotation, "__metadata__", ())
    for inner in get_args(annotation):
        yield from _parts(inner)
