"""What moves a vessel most: one thing changed at a time, the gravest changes first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from sourloam.web.try_it.model import Outcome, both
from sourloam.web.try_it.settings import DAYS, Side, Trial, address_of, dials_of
from sourloam.web.try_it.words import says

#: By how much each thing is moved, as a person might.
_STEPS = (
    ("warmth", -10.0),
    ("warmth", 10.0),
    ("bran", -20.0),
    ("bread", 40.0),
    ("meat", 30.0),
    ("sugar", 30.0),
    ("opened", 1.0),
    ("leak", 2.0),
)
_SHOWN = 3


def moves(
    side: Side, outcome_of: Callable[[Side], Outcome], units: str = "metric"
) -> list[dict[str, str]]:
    """The three changes that move a vessel most: the sentence, and the query that sets it up."""
    found = []
    for changed in _changed(side):
        trial = Trial(side, changed, units=units)
        base, after = both(trial, outcome_of)
        told = {"sentence": says(trial, base, after), "query": address_of(trial)}
        found.append((_weight(base, after), told))
    found.sort(key=lambda one: -one[0])
    return [told for _weighed, told in found[:_SHOWN]]


def _changed(side: Side) -> list[Side]:
    """Vessels with one thing changed, as far as its slider goes."""
    spans = {dial.name: (dial.low, dial.high) for dial in dials_of(side.body)}
    found = []
    for name, by in _STEPS:
        low, high = spans[name]
        value = min(max(getattr(side, name) + by, low), high)
        if value != getattr(side, name):
            found.append(replace(side, **{name: value}))
    return found


def _weight(base: Outcome, after: Outcome) -> float:
    """How grave a change is: chances of failing and of mould, and days until sour."""
    longest = float(DAYS["jar"])
    days = [min(float(np.median(one.sour_days)), longest) for one in (base, after)]
    fails = abs(after.failing.share - base.failing.share)
    mould = abs(after.spoilt_top.share - base.spoilt_top.share)
    return 2 * fails + mould + abs(days[1] - days[0]) / longest
