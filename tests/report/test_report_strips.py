"""The small pictures in plain signs."""

from datetime import date, timedelta

import pytest
from invented import fill, invented_plan, rng

from sourloam.planning.contract import Blocked, Span
from sourloam.report.strips import (
    STATE_SIGNS,
    blocked_row,
    cells_per_month,
    month_head,
    month_starts,
    shortened,
    side_view,
    vessel_rows,
    week_bars,
    whole_weeks,
    whole_years,
)

YEAR = month_starts(date(2027, 3, 1), date(2028, 2, 28))


def test_a_year_has_twelve_months_across_new_year():
    assert [m.month for m in YEAR] == [3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1, 2]
    assert YEAR[-1] == date(2028, 2, 1)


def test_each_cell_shows_the_state_of_most_of_its_days():
    spans = [
        Span(vessel="one", state="filling", start=date(2027, 3, 1), end=date(2027, 3, 31)),
        Span(vessel="one", state="resting", start=date(2027, 4, 1), end=date(2027, 4, 16)),
        Span(vessel="one", state="ready", start=date(2027, 4, 17), end=date(2028, 2, 29)),
    ]
    [(name, row)] = vessel_rows(spans, YEAR, 2)
    assert name == "one"
    assert row == "██" + "░•" + "••" * 10


def test_every_state_has_a_sign_of_its_own():
    assert len(set(STATE_SIGNS.values())) == len(STATE_SIGNS)


def test_all_rows_and_their_head_have_the_same_width():
    plan = invented_plan()
    cells = cells_per_month(80, ["kitchen bucket no. 1"])
    rows = [row for _, row in vessel_rows(plan.vessels.year, YEAR, cells)]
    rows += [blocked_row(plan.vessels.blocked, "ground", YEAR, cells), month_head(YEAR, cells)]
    assert {len(row) for row in rows} == {12 * cells}


def test_blocked_days_are_marked_only_for_their_own_kind():
    frost = [Blocked(kind="ground", name="", start=date(2027, 12, 1), end=date(2027, 12, 31))]
    assert blocked_row(frost, "ground", YEAR, 1) == "·" * 9 + "x" + "··"
    assert "x" not in blocked_row(frost, "beds", YEAR, 1)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_the_strip_fits_beside_its_labels(width):
    assert 22 + 4 + 12 * cells_per_month(width, ["x" * 22]) <= max(width, 22 + 4 + 24)


def test_the_side_view_of_a_vessel_that_is_soon_full_tells_each_day_once():
    level = tuple(
        point.model_copy(update={"day": day, "share": rng(share, share, share, "%")})
        for day, (point, share) in enumerate(zip(fill().level, (55, 95), strict=False), start=1)
    )
    lines = side_view(fill().model_copy(update={"level": level}), "full after 2 days", "85 mL")
    told = [line.partition("|   ")[2] for line in lines if "% full after" in line]
    assert told == ["83 % full after 2 days", "50 % full after 1 day"]


def test_the_side_view_tells_days_that_grow_towards_the_lid():
    lines = side_view(fill(), "full after 26 days", "85 mL every 3 days")
    days = [int(line.split("after ")[1].split()[0]) for line in lines if "% full after" in line]
    assert days == sorted(days, reverse=True)
    assert len(days) == 5
    assert any("85 mL" in line for line in lines)


def test_the_busiest_week_is_the_highest_bar():
    weeks = invented_plan().scraps.by_week
    bars = week_bars(weeks)
    assert len(bars) == len(weeks)
    top = max(weeks, key=lambda w: w.amount.median)
    assert bars[top.week - 1] == "█"
    assert bars[22] == "▂"


def test_a_few_days_over_the_year_get_no_row_and_no_week_of_their_own():
    months = month_starts(date(2026, 3, 2), date(2027, 3, 1))
    assert len(months) == 13
    assert [len(row) for row in whole_years(months, date(2027, 3, 1))] == [12]
    assert [len(row) for row in whole_years(months, date(2027, 3, 20))] == [12, 1]
    weeks = invented_plan().scraps.by_week
    last = weeks[-1].start
    assert len(whole_weeks(weeks, last + timedelta(days=6))) == len(weeks)
    assert len(whole_weeks(weeks, last + timedelta(days=5))) == len(weeks) - 1


def test_a_week_without_scraps_has_no_bar():
    weeks = invented_plan().scraps.by_week[:2]
    none = weeks[0].model_copy(update={"amount": rng(0, 0, 0, "kg")})
    assert week_bars([none, weeks[1]]) == "·█"


def test_a_long_label_keeps_its_number():
    label = shortened("the big blue drum behind the shed no. 12")
    assert len(label) <= 22
    assert label.endswith("no. 12")
