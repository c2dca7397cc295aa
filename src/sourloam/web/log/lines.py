"""A line of a log as pages show it: when, what, by whom, and what the reader may do with it."""

from __future__ import annotations

from typing import Any

from sourloam.ledger.state import Record
from sourloam.web import wording as w
from sourloam.web.forms.making import CORRECTED
from sourloam.web.house import Inside
from sourloam.web.log.telling import said

_KEPT = ("vessel_added", "bed_added")  # everything else about them hangs on these


def log_line(inside: Inside, record: Record[Any], signs: w.Words) -> dict[str, Any]:
    """One line; ``signs`` are the words of the signs that it may name."""
    house, kind = inside.house, record.kind
    return {
        "id": str(record.entry),
        "what": w.label(kind),
        "said": said(kind, record.body, inside.state, house.units, signs),
        "at": record.at.astimezone(house.zone),
        "by": record.by or "",
        "corrected": record.corrects is not None,
        "may_strike": house.may(kind) and kind not in _KEPT,
        "may_correct": house.may(kind) and kind in CORRECTED,
    }
