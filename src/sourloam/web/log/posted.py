"""A posted form as the raw entry that the ledger reads; the twin of static/sourloam/writing.js.

A field's name says where its value goes and what it is: ``volume_ml:n1`` a number times 1,
``temperature_c:f`` degrees Fahrenheit, ``signs:list`` one of several, ``json:json`` a whole body,
``lot:slug`` an id made of what was typed, ``measure:new`` a fresh id. ``amount-way`` says what the
number ``amount-n`` counts.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import re
import unicodedata
import uuid
from typing import Any

from django.http import QueryDict

from sourloam.ledger import EntryError, Fault

_APART = {"csrfmiddlewaretoken", "at", "supersedes", "file", "next"}
_WAYS = ("amount", "size")
_DIGITS = 9
_DEEPEST = 4  # parts of a field's name
_NUMBER = re.compile(r"[-+−]?(\d+([.,]\d*)?|[.,]\d+)(e[-+]?\d{1,3})?", re.IGNORECASE)


def raw_entry(posted: QueryDict, place: str, kind: str, zone: dt.tzinfo) -> dict[str, Any]:
    """An entry made now; EntryError where a number or a time can't be read."""
    now = dt.datetime.now(dt.UTC).isoformat()
    raw: dict[str, Any] = {
        "id": str(uuid.uuid4()),
        "place": place,
        "kind": kind,
        "at": _when(next(filter(None, reversed(posted.getlist("at"))), ""), zone) or now,
        "written_at": now,
        "body": body_of(posted),
    }
    if posted.get("supersedes"):
        raw["supersedes"] = posted["supersedes"]
    return raw


def body_of(posted: QueryDict) -> dict[str, Any]:
    """The body from the fields that were filled in."""
    body: dict[str, Any] = {}
    for name in posted:
        if name not in _APART and not name.endswith(("-way", "-n")):
            for text in posted.getlist(name):
                _put(body, name, text.strip())
    for what in _WAYS:
        if posted.get(f"{what}-n"):
            found = _amount(str(posted.get(f"{what}-way", "")), str(posted[f"{what}-n"]))
            body.update({"amount": found} if what == "amount" else found)
    return body


def _put(body: dict[str, Any], name: str, text: str) -> None:
    path, _, sort = name.partition(":")
    if not text:
        return
    if sort == "json":
        body.update(_object(text))
        return
    body, last = _within(body, path)
    if sort == "slug":
        body[last] = slug(text)
    elif sort == "new":
        body[last] = f"{text}-{uuid.uuid4().hex[:8]}"
    elif sort == "list":
        many = body.setdefault(last, [])
        if not isinstance(many, list):
            raise _none_of_ours(name)
        many.append(text)
    elif sort == "f":
        body[last] = round((_number(text, last) - 32) / 1.8, 6)
    elif sort.startswith("n"):
        body[last] = _rounded(_number(text, last) * _number(sort[1:], last))
    else:
        body[last] = text


def _within(body: dict[str, Any], path: str) -> tuple[dict[str, Any], str]:
    """Where a value goes and under which key."""
    *ahead, last = path.split(".")
    if len(ahead) >= _DEEPEST:
        raise _none_of_ours(path)
    for key in ahead:
        body = body.setdefault(key, {})
        if not isinstance(body, dict):
            raise _none_of_ours(path)
    return body, last


def _none_of_ours(name: str) -> EntryError:
    return EntryError(f"{name[:40]!r}: no field of a form of ours", Fault("form"))


def slug(text: str) -> str:
    """An id of the ledger made of what somebody typed."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9_]+", "-", plain).strip("-_")[:64]


def _amount(way: str, text: str) -> dict[str, Any]:
    many = _number(text, "amount")
    if way.startswith("measure="):
        return {"measure": way.removeprefix("measure="), "count": many}
    key, _, sort = way.partition(":")
    return {key: _rounded(many * _number(sort[1:] or "1", "amount"))}


def _object(text: str) -> dict[str, Any]:
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict):
        raise EntryError("body: not readable", Fault("form"))
    return found


def _number(text: str, name: str) -> float:
    plain = text.strip()
    number = float(plain.replace(",", ".").replace("−", "-")) if _NUMBER.fullmatch(plain) else None
    if number is None or not math.isfinite(number):
        line = f'{name}: found "{text[:40]}"; write a number'
        raise EntryError(line, Fault("number", field=name, found=text))
    return number


def number_between(text: str, name: str, least: float, most: float, factor: float = 1.0) -> float:
    """A number that somebody typed, with a point or a comma, times ``factor``; EntryError outside
    its bounds."""
    value = _number(text, name) * factor
    if not least <= value <= most:
        line = f"{name}: found {value:g}; must lie between {least:g} and {most:g}"
        raise EntryError(line, Fault("bounds", "", name, value, least, most))
    return value


def _rounded(value: float) -> float:
    return float(f"{value:.{_DIGITS}g}")


def _when(text: str, zone: dt.tzinfo) -> str:
    if not text:
        return ""
    try:
        moment = dt.datetime.fromisoformat(text)
        return (moment if moment.tzinfo else moment.replace(tzinfo=zone)).isoformat()
    except (ValueError, OverflowError):
        line = f'at: found "{text[:40]}"; write a time as 2026-03-01T18:30'
        raise EntryError(line, Fault("time")) from None
