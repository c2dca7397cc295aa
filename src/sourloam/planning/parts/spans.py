"""Usual spans as people say them, from their rows."""

from __future__ import annotations

from sourloam.evidence import book

_WEEK = 7
_UNITS = {"d": "days", "%": "%"}


def span(row_id: str) -> str:
    """The low to the high end of a row, such as "7 to 14 days" or "5 to 15 %"."""
    row = book()[row_id]
    return f"{row.low:g} to {row.high:g} {_UNITS[row.unit]}"


def weeks(row_id: str) -> str:
    """The span of a row in days as weeks: "1 to 2 weeks"."""
    row = book()[row_id]
    return f"{row.low / _WEEK:g} to {row.high / _WEEK:g} weeks"
