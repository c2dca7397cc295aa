"""How a forecast narrowed: what the same log said of its vessel on some of its own past days."""

from __future__ import annotations

import datetime as dt
import zlib
from collections.abc import Sequence
from typing import Any

import numpy as np

from sourloam.forecast.belief import Belief
from sourloam.forecast.kitchen import Kitchen
from sourloam.forecast.logged import Logged
from sourloam.forecast.vessel import Question, forecast_vessel
from sourloam.vessel import Vessel

_MOST = 8  # method: rows at most
_MEMBERS = 200  # method: members behind a row, enough for a range that is drawn
_HORIZON_DAYS = 120  # method: days foreseen, so that early ranges have their ends
_KEYS = ("full_on", "finished_on", "chance_of_failing")
Row = dict[str, Any]


def told_days(log: Logged) -> list[int]:
    """Days with an entry, evenly thinned; a longer log keeps every other one of a shorter's."""
    readings = (log.drains, log.marks, log.weighings, log.strips, log.looks)
    days = {record.day for records in (log.layers, *readings) for record in records}
    first = log.layers[0].day if log.layers else 0
    found = sorted(day for day in days if day >= first)
    step = 1
    while len(found[::step]) > _MOST:
        step *= 2
    return found[::step]


def narrowed(
    log: Logged,
    vessel: Vessel,
    kitchen: Kitchen,
    belief: Belief,
    known: Sequence[Row] = (),
) -> list[Row]:
    """Forecasts as of past days of a log, the oldest first, as plain data for keeping.

    ``known`` are rows that were made before: one whose part of the log has not changed is taken
    as it is. ``belief`` is what is held of the place before this vessel.
    """
    kept = {(row.get("day"), row.get("log")): row for row in known}
    rows = []
    for day in told_days(log):
        then, date = log.until(day), log.began + dt.timedelta(days=day)
        name = zlib.crc32(repr(then).encode())
        row = kept.get((date.isoformat(), name))
        rows.append(row or _row(then, date, name, vessel, kitchen, belief))
    return rows


def _row(
    then: Logged, date: dt.date, name: int, vessel: Vessel, kitchen: Kitchen, belief: Belief
) -> Row:
    question = Question(date, _HORIZON_DAYS, _MEMBERS)
    rng = np.random.default_rng(name)
    seen = forecast_vessel(then, vessel, kitchen, belief, question, rng).summary()
    return {"day": date.isoformat(), "log": name, **{key: seen[key] for key in _KEYS}}
