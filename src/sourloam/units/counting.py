"""Counts of many as people say them."""

from __future__ import annotations

_DIGITS = 2
_NAMES = ((9, " billion"), (6, " million"), (0, ""))
_LOG_LEAST = 0.0


def show_count(log10_count: float) -> str:
    """A count given as its power of ten: 7.2 is "16 million", 4.4 "25,000", below 0 "none"."""
    if log10_count < _LOG_LEAST:
        return "none"
    rounded = float(f"{10.0**log10_count:.{_DIGITS}g}")
    power, name = next((p, n) for p, n in _NAMES if rounded >= 10.0**p or p == 0)
    return f"{rounded / 10.0**power:,.12g}{name}"
