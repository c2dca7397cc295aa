"""A form that is filled with what an entry says: writing it down again supersedes the entry."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from django.utils.translation import gettext as _

from sourloam.ledger import bodies as b
from sourloam.ledger.state import Record
from sourloam.web import wording as w
from sourloam.web.fields import Field, LogForm, trimmed
from sourloam.web.forms.asking import Asking
from sourloam.web.forms.layer import way_and_number
from sourloam.web.forms.making import fields_of

_DIGITS = 6
_MADE_ONCE = ("photo",)  # a photo is another entry; its words may be mended


def correction(record: Record[b.Body], ask: Asking) -> LogForm:
    """The form of an entry; what no field shows goes along as it was."""
    body: dict[str, Any] = record.body.model_dump(mode="json", exclude_none=True)
    fields = [f for f in fields_of(record.kind, ask) if f.sort not in _MADE_ONCE]
    filled = tuple(_filled(field, record.body, body, ask) for field in fields)
    shown = {_path(field) for field in fields}
    if isinstance(body.get("kinds"), dict):
        shown.discard("kinds")
    kept = {key: value for key, value in body.items() if key not in shown}
    hidden = (
        ("json:json", json.dumps(kept, sort_keys=True)),
        ("supersedes", str(record.entry)),
        ("at", record.at.isoformat()),
    )
    return LogForm(record.kind, w.label(record.kind), _("Write it down"), filled, hidden, True)


def _path(field: Field) -> str:
    if field.name in ("amount-way", "amount-n"):
        return "amount"
    if field.name in ("size-way", "size-n"):
        return "size"
    return field.name.partition(":")[0]


def _filled(field: Field, said: b.Body, body: dict[str, Any], ask: Asking) -> Field:
    """The field with the entry's value in it."""
    if field.name.startswith("amount-") and isinstance(said, b.Fed):
        way, many = way_and_number(ask, said.amount, _DIGITS)
        return replace(field, value=way if field.name == "amount-way" else many)
    if field.name.startswith("size-") and isinstance(said, b.MeasureSet):
        return replace(field, value=_size(field, said, ask))
    path, _colon, sort = field.name.partition(":")
    value = body.get(path)
    if sort == "list":
        more = [
            (one, one.replace("_", " ")) for one in value or () if one not in dict(field.choices)
        ]
        return replace(field, value="", values=tuple(value or ()), choices=[*field.choices, *more])
    if value is None or isinstance(value, dict):
        return replace(field, value="")
    if field.sort == "select" and str(value) not in dict(field.choices):
        field = replace(field, choices=[*field.choices, (str(value), str(value))])
    if sort == "f":
        return replace(field, value=trimmed(value * 1.8 + 32, _DIGITS))
    if sort.startswith("n"):
        return replace(field, value=_as_choice(field, trimmed(value / float(sort[1:]), _DIGITS)))
    return replace(field, value=str(value))


def _as_choice(field: Field, text: str) -> str:
    """A number as the pill says it."""
    return next((v for v, _word in field.choices if float(v) == float(text)), text)


def _size(field: Field, said: b.MeasureSet, ask: Asking) -> str:
    """What a measure holds, in the way in which it was said."""
    what, path = ("mass", "mass_kg") if said.mass_kg else ("volume", "volume_l")
    if field.name == "size-n":
        return trimmed((getattr(said, path) or 0) / ask.units.factors[what], _DIGITS)
    return next((v for v, _word in field.choices if v.startswith(path)), "")
