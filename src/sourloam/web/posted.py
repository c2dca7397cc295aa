"""A posted form as the raw entry that the ledger reads; the twin of static/sourloam/writing.js.

A field's name says where its value goes and what it is: ``volume_ml:n1`` a number times 1,
``temperature_c:f`` degrees Fahrenheit, ``signs:list`` one of several, ``json:json`` a whole body,
``lot:slug`` an id made of what was typed, ``measure:new`` a fresh id. ``amount-way`` says what the
number ``amount-n`` counts.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import unicodedata
import uuid
from typing import Any

from django.http import QueryDict

from sourloam.ledger import EntryError

_APART = {"csrfmiddlewaretoken", "at", "supersedes", "file", "next"}
_WAYS = ("amount", "size")
_DIGITS = 9


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
    *ahead, last = path.split(".")
    for key in ahead:
        body = body.setdefault(key, {})
    if sort == "slug":
        body[last] = slug(text)
    elif sort == "new":
        body[last] = f"{text}-{uuid.uuid4().hex[:8]}"
    elif sort == "list":
        body.setdefault(last, []).append(text)
    elif sort == "f":
        body[last] = round((_number(text, last) - 32) / 1.8, 6)
    elif sort.startswith("n"):
        body[last] = _rounded(_number(text, last) * _number(sort[1:], last))
    else:
        body[last] = text


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
    except ValueError:
        found = None
    if not isinstance(found, dict):
        raise EntryError("body: not readable")
    return found


def _number(text: str, name: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise EntryError(f'{name}: found "{text[:40]}"; write a number') from None


def _rounded(value: float) -> float:
    return float(f"{value:.{_DIGITS}g}")


def _when(text: str, zone: dt.tzinfo) -> str:
    if not text:
        return ""
    try:
        moment = dt.datetime.fromisoformat(text)
    except ValueError:
        raise EntryError(f'at: found "{text[:40]}"; write a time as 2026-03-01T18:30') from None
    return (moment if moment.tzinfo else moment.replace(tzinfo=zone)).isoformat()
