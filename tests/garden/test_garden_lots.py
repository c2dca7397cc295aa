"""Vessels alike are put together and taken apart again without loss."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_garden import bed, parameters, vessel

from sourloam.garden.choice import Choice, Option
from sourloam.garden.lots import Lot, lots_of, take_apart
from sourloam.garden.options import Offer

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
