"""Ground, calendar, hours and cautions of a plan tell one and the same story."""

import datetime as dt
import re

import pytest

from sourloam.planning import make_plan
from sourloam.planning.case import foresee
from sourloam.planning.contract import Blocked, Plan
from sourloam.planning.parts.week_lines import week_lines
from sourloam.planning.parts.weeks import emptied
from sourloam.planning.parts.year import Year, year_of
from sourloam.planning.rotation import PASSED_ON
from sourloam.planning.work import carry_out

BEDS = """
[[bed]]
name = "Long bed"
length = "10 m"
width = "1 m"
[[bed.planting]]
crop = "potato"
from = "04-20"
to = "09-10"
sown = false
[[bed]]
name = "Short bed"
length = "10 m"
width = "1 m"
[[bed.planting]]
crop = "pumpkin"
from = "05-20"
to = "10-10"
sown = false
"""
SCHOOL = {
    'kind = "home"': 'kind = "school"',
    'from = "people"\npeople = 3\ncapture = 0.7\nmix = "household"': 'from = "meals"\n'
    'meals = "school_lunch"\nper_day = 60\ncooked_on_site = true',
    '"20 m²"': '"600 m²"',
    '"19 L"': '"60 L"',
}
HOLIDAY = """
[[closed]]
name = "summer holiday"
from = "06-20"
to = "08-31"
"""


@pytest.fixture(scope="module")
def home(make_site) -> Plan:
    return make_plan(make_site(add=BEDS), members=30, seed=3)


@pytest.fixture(scope="module")
def school(make_site) -> Plan:
    return make_plan(make_site(replace=SCHOOL, add=HOLIDAY), members=30, seed=3)


def counts(plan):
    return {
        key: sum(getattr(entry, key) for entry in plan.calendar)
        for key in ("begun", "buried", "parted", "passed_on")
    }


@pytest.mark.parametrize("place", ["home", "school"])
def test_the_calendar_buries_and_passes_on_what_the_ground_says(place, request):
    plan = request.getfixturevalue(place)
    found = counts(plan)
    assert found["buried"] == plan.ground.buried > 0
    assert found["parted"] == plan.ground.parted
    assert found["passed_on"] == plan.ground.passed_on
    assert f"{plan.ground.buried} vessel" in plan.ground.why


@pytest.mark.parametrize("place", ["home", "school"])
def test_every_vessel_begun_is_buried_passed_on_or_still_in_use(place, request):
    plan = request.getfixturevalue(place)
    found = counts(plan)
    last = max(span.end for span in plan.vessels.year)
    in_use = {span.vessel for span in plan.vessels.year if span.end == last}
    emptied = found["buried"] + found["parted"] + found["passed_on"]
    assert found["begun"] == emptied + len(in_use)


def test_beds_are_filled_up_to_what_they_take_and_no_further(home):
    """The share that beds take, of the vessels that are emptied, in a first year with fewer
    vessels than an ordinary one."""
    ground = home.ground
    most = ground.taken.median / 100 * ground.vessels_per_year.median
    assert ground.buried <= most <= ground.buried + ground.parted + 1
    assert ground.passed_on >= ground.buried
    assert ground.enough is False
    assert home.ground.rest_goes == "other people"


def test_nothing_is_buried_while_crops_stand_in_every_bed(home):
    buried = [e.date for e in home.calendar if e.buried]
    assert buried
    for date in buried:
        assert not dt.date(2026, 5, 1) <= date <= dt.date(2026, 9, 10)
    busy = {m.month.month: m.busy_days for m in home.ground.by_month}
    assert busy[6] == 30
    assert busy[9] == 10  # until the potatoes are out


def test_ferment_that_goes_elsewhere_brings_a_caution_and_a_dated_line(home):
    caution = next(c for c in home.cautions if c.id == "beds_full")
    assert f"{home.ground.passed_on} vessel" in caution.applies
    lines = [e for e in home.calendar if e.passed_on or e.parted]
    assert lines
    assert "community garden" in lines[0].text
    assert not any("community garden" in e.text for e in lines[1:])


def test_what_finds_room_of_a_vessel_is_buried_and_the_rest_passed_on_the_same_day(home):
    lines = [e for e in home.calendar if e.parted]
    assert len(lines) == home.ground.parted > 0
    for line in lines:
        assert re.search(r"^Bury about .* of 19 L pail no\. \d in .* of trench", line.text)
        assert re.search(r"the rest .*the same day", line.text)
    sown = {e.vessel for e in home.calendar if e.kind == "plant"}
    assert {line.vessel for line in lines if line.date.month < 12} <= sown


def test_the_limit_that_binds_is_told_with_its_origin_and_the_area_that_would_be_enough(home):
    why = home.ground.why.replace("\u00a0", " ")
    assert home.ground.limited_by == "nitrogen"
    assert "What sets the limit is nitrogen, 17 g/m² in a year" in why
    assert "European law's ceiling for manure on fields" in why
    assert "of bed like yours; you have 20 m²" in why
    assert home.ground.bed_area.low > 20


PHOSPHORUS = 'width = "1 m"\nphosphorus_limit = "1 g/m2"'


def test_phosphorus_is_a_limit_only_where_the_site_states_one(make_site, home):
    told = home.ground.phosphorus
    assert told.low < told.median < told.high
    strict = make_plan(make_site(add=BEDS.replace('width = "1 m"', PHOSPHORUS)), members=20, seed=3)
    assert strict.ground.limited_by == "phosphorus"
    assert "the phosphorus that you allow your beds" in strict.ground.why
    assert strict.ground.phosphorus.high <= 1.001
    assert strict.ground.taken.median < home.ground.taken.median
    assert not any(c.id == "phosphorus" for c in strict.cautions)


def test_more_phosphorus_than_harvests_take_brings_a_caution_with_its_figure(make_site):
    much = BEDS.replace('width = "1 m"', 'width = "1 m"\nnitrogen_limit = "60 g/m2"')
    plan = make_plan(make_site(add=much), members=20, seed=3)
    assert "the ceiling that you wrote as nitrogen_limit" in plan.ground.why
    caution = next(c for c in plan.cautions if c.id == "phosphorus")
    assert "harvests carry away about" in caution.applies
    assert plan.ground.phosphorus.median > plan.ground.phosphorus_carried


@pytest.mark.parametrize("place", ["home", "school"])
def test_no_week_buries_more_vessels_than_people_are_said_to_have_time_for(place, request):
    plan = request.getfixturevalue(place)
    for line in plan.calendar:
        weeks = ((line.until or line.date) - line.date).days // 7 + 1
        assert line.buried + line.parted <= weeks * plan.labour.buried_at_most


def test_ground_that_no_bed_describes_is_said_to_count_as_empty(make_site, home):
    wide = make_plan(make_site(replace={'"20 m²"': '"55 m²"'}, add=BEDS), members=10, seed=3)
    said = "35 m² are not described as [[bed]] and counted as empty all year"
    assert said in wide.ground.why.replace("\u00a0", " ")
    assert "counted as empty" not in home.ground.why


def test_a_tub_takes_the_rest_where_the_site_has_one(make_site):
    beside = {'bed_area = "20 m²"': 'bed_area = "20 m²"\ntub = true'}
    plan = make_plan(make_site(replace=beside, add=BEDS), members=15, seed=3)
    assert plan.ground.rest_goes == "tub"
    assert all("tub" in e.text for e in plan.calendar if e.kind == "pass_on")
    assert "tub" in plan.ground.why


def test_beds_large_enough_pass_nothing_on(make_site):
    wide = make_plan(make_site(replace={'"20 m²"': '"400 m²"'}), members=15, seed=3)
    assert wide.ground.passed_on == 0
    assert wide.ground.enough is True
    assert not any(c.id == "beds_full" for c in wide.cautions)


def test_a_large_place_is_told_weeks_with_no_zeros_and_right_plurals(school):
    lines = [e for e in school.calendar if e.kind == "week"]
    assert len(lines) > 8
    for line in lines:
        assert not re.search(r"\b0 vessels?\b", line.text)
        assert not re.search(r"\b1 vessels\b|\b([2-9]|1\d) vessel\b", line.text)
        assert (line.until - line.date).days % 7 in (0, 6)
        assert "of work" in line.text


def test_before_a_long_holiday_none_is_left_filling_and_after_it_all_begins_anew(school):
    for span in school.vessels.year:
        if span.state == "filling":
            assert not (span.start <= dt.date(2026, 7, 10) <= span.end), span
    assert not any(e.buried and dt.date(2026, 6, 20) <= e.date <= dt.date(2026, 8, 24) for e in
                   school.calendar)  # fmt: skip
    before = next(e for e in school.calendar if e.kind == "closed")
    assert before.date == dt.date(2026, 6, 6)
    assert "Leave none filling" in before.text
    after = next(e for e in school.calendar if e.kind == "reopen")
    assert after.date == dt.date(2026, 9, 1)
    assert "begin anew" in after.text


def test_few_hours_slow_burying_and_bring_a_warning(make_site, school):
    few = {**SCHOOL, 'kind = "home"': 'kind = "school"\nhours_a_week = 2'}
    plan = make_plan(make_site(replace=few, add=HOLIDAY), members=30, seed=3)
    assert plan.labour.stated
    assert plan.labour.buried_at_most == 1
    assert plan.labour.buried_at_most <= school.labour.buried_at_most
    assert plan.labour.weeks_above > 0
    assert any(e.kind == "labour" for e in plan.calendar)
    assert "You say that people have 2 hours" in plan.labour.text
    assert not school.labour.stated
    assert "write hours_a_week" in school.labour.text


def test_a_cold_room_is_answered_first_with_a_warmer_one(make_site):
    cold = {
        **SCHOOL,
        '"20 °C"': '"14 °C"\nwinter_temperature = "4 °C"',
        "owned = 2": "owned = 2\nmost = 14",
    }
    option = make_plan(make_site(replace=cold), members=30, seed=3).vessels.options[0]
    assert option.way_out.startswith("Move the resting vessels to a room above 12 °C: then ")
    assert "in winter a closed vessel rests for" in option.way_out


def test_us_readers_get_trenches_in_feet_in_the_weeks(make_site):
    us = {**SCHOOL, 'kind = "home"': 'kind = "school"\nunits = "us"'}
    plan = make_plan(make_site(replace=us), members=15, seed=3)
    lines = [e.text for e in plan.calendar if e.kind == "week" and e.buried]
    assert lines
    assert all(" ft of trench" in text for text in lines)


def test_trenches_are_sown_only_after_the_wait_of_the_last_vessel_in_them(make_site):
    """The wait that the site states runs from the last burial day in the span, not from the
    Monday of its week."""
    site = make_site(
        replace={**SCHOOL, '"20 m²"': '"600 m²"', '"14 days"': '"21 days"'}, add=HOLIDAY
    )
    work = carry_out(foresee(site, years=1, members=20, seed=3), lambda stage, share: None)
    year = year_of(work)
    buried = [
        work.case.date(work.case.first + day) for day, _, fate in emptied(year) if fate != PASSED_ON
    ]
    lines = [entry for entry in week_lines(work, year) if entry.kind == "plant"]
    assert len(lines) > 3
    for line in lines:
        sown = line.date - dt.timedelta(days=21)
        assert sown in buried
        assert (
            max(day for day in buried if (day.year, day.month) <= (sown.year, sown.month)) == sown
        )


def test_nothing_is_sown_into_ground_that_is_frozen():
    day = dt.date(2026, 12, 27)
    winter = Blocked(
        kind="ground", name="cold", start=dt.date(2026, 11, 1), end=dt.date(2027, 4, 17)
    )
    year = Year(turns=None, turned=None, labels=(), spans=(), blocked=(winter,))
    assert year.thawed(day) == dt.date(2027, 4, 18)
    assert year.thawed(dt.date(2026, 10, 31)) == dt.date(2026, 10, 31)
