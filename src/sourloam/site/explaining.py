"""From a failed check to one line: which key, what was found, what would be right."""

from __future__ import annotations

import types
from collections.abc import Iterator
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from sourloam.site.placing import line_of
from sourloam.site.wording import nearest, shown

Step = str | int
_MOST_NAMED = 20  # more keys than that at fault, and it is no site file
_TAG = "source"  # the field that tells one sort of scraps from another


def explain(error: ValidationError, model: type[BaseModel], text: str) -> str:
    """The first thing that is wrong, on one line; of keys that are missing or not known, all.

    ``text`` is the file, to say on which line the key stands.
    """
    details = error.errors(include_url=False)
    first = min(details, key=lambda d: d["type"] != "extra_forbidden")
    steps = _steps(first)
    line = line_of(text, steps)
    places = [f"line {line}"] if line else []
    places += [_key(steps)] if steps else []
    others = _others([d for d in details if d is not first])
    return f"{': '.join([*places, _said(first, model)])}{others}"


def _steps(detail: ErrorDetails) -> list[Step]:
    """The way to a key as the file writes it."""
    return [step for i, step in enumerate(detail["loc"]) if not _is_tag(detail["loc"], i)]


def _others(details: list[ErrorDetails]) -> str:
    """Every other key at fault by name, by what is wrong with it; empty if there is none."""
    kinds = {"missing": "missing", "extra_forbidden": "not known", "": "wrong"}
    told = []
    for kind, word in kinds.items():
        keys = [
            _key(_steps(d)) for d in details if (d["type"] if d["type"] in kinds else "") == kind
        ]
        if keys:
            left = len(keys) - _MOST_NAMED
            more = f" and {left} more" if left > 0 else ""
            told.append(f"{word}: {', '.join(keys[:_MOST_NAMED])}{more}")
    return f" (also {'; '.join(told)})" if told else ""


def _key(steps: list[Step]) -> str:
    """ "vessel[2].volume", counted from 1 as people count."""
    text = ""
    for step in steps:
        if isinstance(step, int):
            text += f"[{step + 1}]"
        else:
            text += f".{shown(step).strip(chr(34))}" if text else shown(step).strip(chr(34))
    return text


def _is_tag(loc: tuple[Step, ...], i: int) -> bool:
    """The choice between sorts of scraps adds its tag after the index; a file has no such key."""
    return i == 2 and loc[0] == "scraps"


def _said(detail: ErrorDetails, model: type[BaseModel]) -> str:
    kind, found, context = detail["type"], shown(detail["input"]), detail.get("ctx", {})
    if kind == "value_error":
        return str(context["error"])
    if kind == "missing":
        return f"missing;{_example(detail['loc'], model)}"
    if kind == "extra_forbidden":
        return _unknown_key(detail["loc"], model)
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        return _unknown_sort(detail)
    if kind == "too_long":
        return f"{context['actual_length']} entries; at most {context['max_length']}"
    if kind == "too_short":
        return f"{context['actual_length']} entries; at least {context['min_length']}"
    return f"found {found}; {_WANTED.get(kind, detail['msg'])}"


_WANTED = {
    "bool_type": "write true or false",
    "string_type": 'write text in quotes, e.g. "home"',
    "list_type": "write [[double brackets]] above each entry, or a list in square brackets",
    "model_type": "write a [section] with its keys",
    "model_attributes_type": "write a [section] with its keys",
    "dict_type": "write a [section] with its keys",
}


def _unknown_sort(detail: ErrorDetails) -> str:
    sorts = ("people", "meals", "measured")
    entry = detail["input"]
    if isinstance(entry, dict) and "from" in entry:
        found = entry["from"]
        return f"from: found {shown(found)};{nearest(found, sorts)} choose from {', '.join(sorts)}"
    return f"from is missing; choose from {', '.join(sorts)}"


def _unknown_key(loc: tuple[Step, ...], model: type[BaseModel]) -> str:
    keys = sorted(field.alias or name for name, field in _fields(loc[:-1], model).items())
    return f"unknown key;{nearest(loc[-1], keys)} known here: {', '.join(keys)}"


def _example(loc: tuple[Step, ...], model: type[BaseModel]) -> str:
    """ " its meaning" taken from the field's own words."""
    for name, field in _fields(loc[:-1], model).items():
        if (field.alias or name) == loc[-1]:
            return f" give it: {(field.description or '').rstrip('.')}"
    return " give it"


def _fields(loc: tuple[Step, ...], model: type[BaseModel]) -> dict[str, FieldInfo]:
    """Fields of the section that ``loc`` leads to."""
    here: list[type[BaseModel]] = [model]
    for i, step in enumerate(loc):
        if _is_tag(loc, i):
            here = [m for m in here if step in get_args(m.model_fields[_TAG].annotation)]
        elif isinstance(step, str):
            fields = {f.alias or n: f for m in here for n, f in m.model_fields.items()}
            here = list(_models(fields[step].annotation)) if step in fields else []
    return {n: f for m in here for n, f in m.model_fields.items()}


def _models(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    elif get_origin(annotation) in (list, Union, types.UnionType, Annotated):
        for inner in get_args(annotation):
            yield from _models(inner)
