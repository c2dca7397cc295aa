"""Figures of some months only, and who is still at it after some."""

import datetime as dt

from programme_facts import TODAY, place

from sourloam.programme import (
    Deed,
    Period,
    Stay,
    drawn,
    figures_within,
    stayed,
)
from sourloam.programme.facts import Ended
from sourloam.programme.period import facts_within

MARCH, APRIL, MAY = (dt.date(2026, month, 1) for month in (3, 4, 5))


def test_scraps_and_lines_of_other_months_are_left_out_and_their_ways_keep_their_shares():
    kept = place(
        "Flat",
        kg_by_month={"2026-03-01": 10.0, "2026-04-01": 30.0},
        kg_by_way={"weighed": 30.0, "bowl": 10.0},
        sound=1,
        ended=(Ended(MARCH, MARCH, dt.date(2026, 4, 9), False),),
    )
    lines = [Deed("training", dt.date(2026, month, 20), {"people": 5.0}) for month in (3, 4, 4)]
    april = Period(APRIL, APRIL)
    found = figures_within([kept], lines, TODAY, drawn(), april)
    assert found.by_month == ((APRIL, 30.0),)
    assert found.weighed_share == 0.75
    assert found.kept_kg[0] < 30.0 < found.kept_kg[2]
    assert (found.trainings, found.trained, found.emptied) == (2, 10, 1)
    older = [kept, place("Shop", failed=1)]  # its facts tell no day
    assert figures_within(older, lines, TODAY, drawn(), april).emptied is None
    assert facts_within(kept, Period(last=MARCH)).ended == ()
    assert facts_within(kept, Period()) == kept


def test_who_is_still_at_it_is_counted_among_those_whose_month_is_over():
    months = tuple(dt.date(2026, month, 1) for month in (1, 2, 8))
    stays = [
        Stay(dt.date(2026, 1, 31), months),  # its sixth month is July: scraps in August
        Stay(dt.date(2026, 1, 2), months[:2]),
        Stay(dt.date(2026, 6, 1), months),  # too young
    ]
    (half,) = stayed(stays, dt.date(2026, 9, 5))
    assert (half.after, half.places, half.active) == (6, 2, 1)
    assert stayed(stays, dt.date(2026, 7, 31)) == ()
