"""Vessels alike are put together and taken apart again without loss."""

from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_garden import bed, parameters, vessel

from sourloam.garden.lots import Lot, Share, lots_of, oldest_first, take_apart
from sourloam.garden.options import Offer
from sourloam.garden.problem import Choice, Option

PARTS = 4


def offer(lot, where, week):
    option = Option(lot, where, week, -1, 1.0, 0.01, 0.001, 0.0, 1.0)
    return Offer(option, 7 * week, 10.0, 14.0, (10.0, 20.0), None, False)


def choice(parts):
    none = np.zeros(1, dtype=np.int64)
    return Choice(
        np.array(parts), none, none, np.zeros(1), np.zeros(1), np.zeros(1), 0.0, 0.0, True
    )


@given(st.lists(st.tuples(st.integers(0, 2), st.integers(0, 3), st.integers(1, 9)), max_size=8))
@settings(derandomize=True, max_examples=60, deadline=None)
def test_each_vessel_is_opened_once_and_never_overdrawn(wanted):
    found = {(week, where): parts for week, where, parts in wanted}
    offers = [offer(0, where, week) for week, where in found]
    lot = Lot(tuple(range(40)))
    shares, left = take_apart((lot,), offers, choice(list(found.values())), PARTS)
    for i, parts in enumerate(found.values()):
        assert sum(s.parts for s in shares if s.offer == i) == parts
    for v in lot.vessels:
        mine = [s for s in shares if s.vessel == v]
        assert sum(s.parts for s in mine) + left[v] == PARTS
        assert len({offers[s.offer].option.week for s in mine}) <= 1


def test_vessels_that_differ_in_week_size_or_meat_are_not_alike():
    p = parameters([bed()])
    vessels = (
        vessel("a", 3, p),
        vessel("b", 5, p),
        vessel("c", 12, p),
        vessel("d", 5, p, kg=11),
        vessel("e", 5, p, with_meat=True),
    )
    assert sorted(lot.vessels for lot in lots_of(vessels)) == [(0, 1), (2,), (3,), (4,)]


@given(st.lists(st.tuples(st.integers(0, 60), st.integers(0, 8)), min_size=1, max_size=8))
@settings(derandomize=True, max_examples=60, deadline=None)
def test_of_vessels_alike_the_oldest_goes_first_and_none_before_it_is_ready(drawn):
    """Each vessel is ready on a day and opened some weeks later, whole or in part."""
    p = parameters([bed()])
    vessels = tuple(vessel(f"v{i}", day, p) for i, (day, _) in enumerate(drawn))
    weeks = [-(-day // 7) + later for day, later in drawn]
    shares = [Share(i, i, 1 + i % PARTS, week) for i, week in enumerate(weeks)]
    left = np.array([PARTS - share.parts for share in shares])
    found, rest = oldest_first(vessels, shares, left)
    assert [(s.offer, s.parts, s.week) for s in found] == [
        (s.offer, s.parts, s.week) for s in shares
    ]
    for share in found:
        assert share.week >= -(-vessels[share.vessel].ready_day // 7)
        assert share.parts + rest[share.vessel] == PARTS
    by_week = sorted(found, key=lambda s: s.week)
    ready = [vessels[s.vessel].ready_day for s in by_week]
    for a, b in pairwise(by_week):
        if a.week < b.week:
            assert vessels[a.vessel].ready_day <= vessels[b.vessel].ready_day
    assert sorted(ready) == sorted(day for day, _ in drawn)
