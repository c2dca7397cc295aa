"""The whole answer: its shape, its words, its sense."""

import datetime as dt
import json
import re
import tomllib
from itertools import pairwise
from types import SimpleNamespace

import jsonschema
import numpy as np
import pytest
from pydantic import BaseModel

from sourloam.evidence import book
from sourloam.planning import Plan, make_plan, schema_text
from sourloam.planning.case import animal_food
from sourloam.planning.contract import Range, SeasonRest
from sourloam.planning.moving import _liquid_ml, inputs
from sourloam.planning.parts.cautions import CONDITIONS, cautions_part, texts
from sourloam.planning.parts.drivers import weight
from sourloam.planning.parts.filling import _why_rest
from sourloam.planning.ranges import middle, range_of, words
from sourloam.planning.schema import FILE
from sourloam.planning.work import carry_out

PARTS = ["site", "scraps", "fill", "finish", "vessels", "bran", "liquid", "ground"]
PARTS += ["labour", "calendar", "drivers", "practice", "cautions", "provenance"]


def strings(value):
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for part in value.values():
            yield from strings(part)
    elif isinstance(value, list):
        for part in value:
            yield from strings(part)


def ranges(value):
    if isinstance(value, Range):
        yield value
    elif isinstance(value, BaseModel):
        for name in type(value).model_fields:
            yield from ranges(getattr(value, name))
    elif isinstance(value, tuple):
        for part in value:
            yield from ranges(part)


def test_the_shipped_schema_is_that_of_the_contract():
    assert FILE.read_text(encoding="utf-8") == schema_text()


def test_a_plan_keeps_its_schema_and_comes_back_from_json(plan):
    text = plan.model_dump_json()
    jsonschema.validate(json.loads(text), json.loads(schema_text()))
    assert Plan.model_validate_json(text) == plan
    assert list(json.loads(text)) == PARTS


@pytest.mark.slow
def test_the_same_seed_gives_the_same_plan_and_another_seed_another(plan, make_site):
    assert make_plan(make_site(), members=40, seed=3) == plan
    other = make_plan(make_site(), members=40, seed=4)
    assert other.scraps.per_year != plan.scraps.per_year


def test_every_range_is_in_order(plan):
    found = list(ranges(plan))
    assert len(found) > 200
    for one in found:
        ends = [np.inf if x is None else x for x in (one.low, one.median, one.high)]
        assert ends == sorted(ends), one


def test_no_text_shows_a_missing_number(plan):
    for text in strings(plan.model_dump(mode="json")):
        assert not re.search(r"\b(nan|inf|None|NaN)\b", text), text


def test_weeks_add_up_to_the_year(plan):
    weeks = plan.scraps.by_week
    assert len(weeks) == 53
    assert weeks[0].start == plan.site.start
    total = sum(week.amount.median for week in weeks)
    assert total == pytest.approx(plan.scraps.per_year.median, rel=0.1)
    assert plan.scraps.per_day.median * 365 == pytest.approx(plan.scraps.per_year.median, rel=1e-3)


def test_bran_by_month_adds_up_to_the_year(plan):
    total = sum(month.amount.median for month in plan.bran.by_month) / 1000
    assert total == pytest.approx(plan.bran.per_year.median, rel=0.1)


def test_the_number_needed_is_within_the_accepted_risk(plan):
    option = plan.vessels.options[0]
    at = {c.number: c for c in option.curve}
    assert at[option.needed].chance <= plan.site.accepted_risk
    assert at[option.needed - 1].chance > plan.site.accepted_risk
    assert all(c.low <= c.chance <= c.high for c in option.curve)
    assert f"{option.needed} vessels" in option.verdict


def test_the_year_strip_lies_within_the_planned_time_and_never_doubles_a_vessel(plan):
    by_vessel = {}
    for span in plan.vessels.year:
        assert plan.site.start <= span.start <= span.end <= plan.site.until
        by_vessel.setdefault(span.vessel, []).append(span)
    for spans in by_vessel.values():
        for before, after in pairwise(spans):
            assert before.end < after.start


def test_only_one_vessel_fills_at_a_time(plan):
    days = [
        span.start + dt.timedelta(days=n)
        for span in plan.vessels.year
        if span.state == "filling"
        for n in range((span.end - span.start).days + 1)
    ]
    assert len(days) == len(set(days))


def test_the_calendar_is_in_order_and_tells_of_each_stage(plan):
    dates = [entry.date for entry in plan.calendar]
    assert dates == sorted(dates)
    assert dates[0] == plan.site.start
    kinds = {entry.kind for entry in plan.calendar}
    assert {"start", "full", "bury", "pass_on", "plant", "drain", "bran"} <= kinds
    full = next(e for e in plan.calendar if e.kind == "full")
    assert full.until > full.date
    assert not any(entry.text.endswith("..") for entry in plan.calendar)


def test_holidays_and_busy_beds_stand_in_the_calendar(make_site):
    extra = """
[[closed]]
name = "long holiday"
from = "08-01"
to = "08-20"
[[busy]]
name = "full beds"
from = "06-01"
to = "07-10"
"""
    plan = make_plan(make_site(add=extra), members=20)
    closed = next(e for e in plan.calendar if e.kind == "closed")
    assert (closed.date, closed.until) == (dt.date(2026, 8, 1), dt.date(2026, 8, 20))
    hold = next(e for e in plan.calendar if e.kind == "hold")
    assert hold.date == dt.date(2026, 6, 1)
    week = next(w for w in plan.scraps.by_week if w.start == dt.date(2026, 8, 3))
    assert week.closed == "long holiday"
    assert week.amount.high == 0


def test_more_people_make_more_of_everything(plan, make_site):
    large = make_plan(make_site(replace={"people = 3": "people = 6"}), members=40, seed=3)
    assert large.scraps.per_year.median == pytest.approx(2 * plan.scraps.per_year.median, rel=1e-3)
    assert large.bran.per_year.median > plan.bran.per_year.median
    assert large.ground.bed_area.median > 1.6 * plan.ground.bed_area.median
    assert large.vessels.options[0].needed >= plan.vessels.options[0].needed
    assert large.fill[0].by_season[0].days.median < plan.fill[0].by_season[0].days.median


def test_what_moves_the_answer_is_ranked_and_amounts_come_first(plan):
    assert len(plan.drivers) >= 3
    assert [d.rank for d in plan.drivers] == list(range(1, len(plan.drivers) + 1))
    weights = [weight(d.effects) for d in plan.drivers]
    assert weights == sorted(weights, reverse=True)
    assert plan.drivers[0].id.startswith("waste.household")
    made = next(d for d in plan.drivers if d.id == "waste.household.per_person")
    fill = next(e for e in made.effects if e.outcome == "fill")
    assert made.low < made.middle < made.high
    assert fill.at_low > fill.at_high  # more goes in: sooner full
    dry = next(d for d in plan.drivers if d.id == "scraps.dry_matter")
    liquid = next(e for e in dry.effects if e.outcome == "liquid")
    assert liquid.at_low > 2 * liquid.at_high  # wetter: more drains
    warm = next(d for d in plan.drivers if d.id == "climate.room")
    finish = next(e for e in warm.effects if e.outcome == "finish")
    assert finish.at_low >= finish.at_high


def test_what_the_site_states_moves_nothing(plan, make_case):
    assert "waste.household.capture" not in [d.id for d in plan.drivers]
    unsaid = make_case(members=20, replace={"capture = 0.7\n": ""})
    assert "waste.household.capture" in [one.id for one in inputs(unsaid)]


def test_ends_stand_on_both_sides_of_the_chance_told(plan):
    vessels = plan.vessels
    option = next(o for o in vessels.options if o.vessel == vessels.chosen)
    told = next(c.chance for c in option.curve if c.number == vessels.chosen_number)
    for driver in plan.drivers:
        chance = next(e for e in driver.effects if e.outcome == "chance")
        low, high = sorted((chance.at_low, chance.at_high))
        assert low - 1e-3 <= told <= high + 1e-3, driver.id


def test_what_moves_the_rest_does_so_about_the_rest_of_the_plan(plan):
    rests = [season.days for season in plan.finish.by_season]
    low, high = min(rest.low for rest in rests), max(rest.high for rest in rests)
    moved = [e for d in plan.drivers for e in d.effects if e.outcome == "finish"]
    assert moved
    assert all(low <= e.at_low <= high and low <= e.at_high <= high for e in moved)


def test_what_moves_liquid_does_so_about_the_figure_of_the_plan(work):
    low, middle, high = _liquid_ml(work, np.array([0.02, 0.04, 0.06]))
    yearly = np.median(work.draining.daily_ml[:, work.case.planned].sum(axis=1))
    assert middle == pytest.approx(yearly / 365 * 7)
    assert (low, high) == pytest.approx((middle / 2, middle * 1.5))


def test_what_moves_the_answer_names_the_season_of_its_vessel(plan):
    assert {driver.season for driver in plan.drivers} == {"spring"}


def test_several_households_range_less_than_one(make_case):
    one, nine = (
        next(i for i in inputs(make_case(replace={"people = 3": text})) if "per_person" in i.id)
        for text in ("people = 3", "people = 3\nhouseholds = 9")
    )
    shared = book()["waste.household.per_person.shared"].value
    narrow = (shared + (1 - shared) / 9) ** 0.5
    assert nine.middle == one.middle
    assert nine.high - nine.low == pytest.approx((one.high - one.low) * narrow)


def test_rules_of_thumb_name_a_figure_and_a_reason(plan):
    ids = {p.id for p in plan.practice}
    assert {"practice.vessels", "practice.fill", "practice.rest", "practice.bran_share"} <= ids
    assert len(plan.practice) >= 10
    for one in plan.practice:
        assert one.shown
        assert one.why
        assert one.standing == book()[one.id].standing
        if one.id in ("practice.rest", "practice.vessels"):
            continue  # judged season by season, and by the size of the family
        inside = book()[one.id].low <= one.computed.median <= book()[one.id].high
        assert (one.verdict == "agrees") == inside


def test_two_vessels_are_differed_from_where_more_are_needed(plan):
    rule = next(p for p in plan.practice if p.id == "practice.vessels")
    assert (rule.verdict == "agrees") == (plan.vessels.chosen_number == 2)
    assert rule.usual == "2"  # three people are no large family


def test_reason_and_verdict_of_the_rest_are_one_judgement(plan):
    row = book()["practice.rest"]
    rule = next(p for p in plan.practice if p.id == "practice.rest")
    inside = all(row.low <= s.days.median <= row.high for s in plan.finish.by_season)
    assert (rule.verdict == "agrees") == inside
    assert ("longer than the usual" in rule.why) == (not inside)
    assert rule.why == plan.finish.why
    assert "cold" not in rule.why  # the room is at 20 °C all year


def test_cold_is_blamed_for_a_long_rest_only_where_it_is_cold():
    days = Range(median=25, low=20, high=30, unit="days")

    def why(celsius):
        room = Range(median=celsius, low=celsius, high=celsius, unit="°C")
        season = SeasonRest(season="winter", days=days, temperature=room, not_sour=0)
        work = SimpleNamespace(case=SimpleNamespace(pieces="whole"), system="metric")
        return _why_rest(work, (season,))

    assert why(10).endswith("cold slows souring.")
    assert why(18).endswith("whole pieces let their juice go slowly.")


def test_usual_spans_are_those_of_their_rows(plan):
    for id in ("practice.drain", "practice.wait", "practice.rest"):
        rule, row = next(p for p in plan.practice if p.id == id), book()[id]
        assert rule.usual == f"{row.low:g} to {row.high:g} days"


def test_every_evidence_id_named_exists(plan):
    assert set(plan.provenance.evidence) <= set(book().rows)
    assert {"waste.household.per_person", "ground.nitrogen.usual"} <= set(plan.provenance.evidence)


def test_us_readers_get_us_units_in_words(make_site):
    site = make_site(replace={'kind = "home"': 'kind = "home"\nunits = "us"'})
    plan = make_plan(site, members=20)
    assert "lb a day" in plan.fill[0].why
    assert "sq ft" in plan.ground.why
    assert "°F" in plan.finish.why
    for text in (plan.fill[0].why, plan.ground.why, plan.finish.why):
        assert not re.search(r"\d (kg|g|m|°C)\b", text)


def test_a_place_without_ground_gets_a_tub_of_soil(make_site):
    bare = {'texture = "loam"\nbed_area = "20 m²"\n': "none = true\n"}
    ground = make_plan(make_site(replace=bare), members=20).ground
    assert ground.way == "tub"
    assert ground.limited_by == "tub volume"
    assert ground.tub_soil.median > 5
    assert ground.bed_area is None
    assert all(month.closed_days.high == 0 for month in ground.by_month)


def test_where_no_number_is_enough_the_plan_says_what_would_help(make_site):
    tight = {"owned = 2": "owned = 1\nmost = 1"}
    option = make_plan(make_site(replace=tight), members=20).vessels.options[0]
    assert option.needed is None
    assert option.way_out
    assert "Not even 1 vessel" in option.verdict


def test_too_few_members_are_refused_in_one_line(make_site):
    with pytest.raises(ValueError, match="at least 10 members"):
        make_plan(make_site(), members=3)


def test_progress_only_goes_forward(make_site):
    told = []
    make_plan(make_site(), members=10, progress=lambda stage, share: told.append(share))
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_cautions_of_this_case_come_before_those_for_everybody(plan):
    general = [caution.applies == "for everybody" for caution in plan.cautions]
    assert any(general)
    assert not all(general)
    assert general == sorted(general)


def test_bran_of_a_layer_is_explained_with_the_figure_that_is_shown(plan):
    layer = plan.bran.per_layer[0]
    assert f"the middle of these is {layer.mass.median:.0f}" in plan.bran.why.replace("\u00a0", " ")


def test_each_caution_is_well_formed_and_its_condition_known():
    ids = [entry["id"] for entry in texts()]
    assert len(ids) == len(set(ids)) >= 20
    for entry in texts():
        assert entry["when"] in CONDITIONS
        assert set(entry) == {"id", "when", "title", "text", "source", "standing"}
        assert len(entry["text"]) > 60


RULES = """
[rules]
{}
"""


@pytest.mark.parametrize(
    ("caution", "changes"),
    [
        ("meat", {}),
        ("children", {"replace": {'kind = "home"': 'kind = "school"'}}),
        ("food_business", {"replace": {'kind = "home"': 'kind = "cafe"'}}),
        ("raw_crops", {"add": "raw_crops = true\n"}),
        ("lifting", {"replace": {'"19 L"': '"60 L"'}}),
        ("cold_room", {"replace": {'"20 °C"': '"8 °C"'}}),
        ("hot_room", {"replace": {'"20 °C"': '"38 °C"'}}),
        ("farmed_animals", {"add": RULES.format('farmed_animals_near = "yes"')}),
        ("sold", {"add": RULES.format('produce_sold = "yes"')}),
        ("drain", {"add": RULES.format('liquid_to_drain = "yes"')}),
        ("off_site", {"add": RULES.format('same_property = "no"')}),
        ("over_limit", {"add": RULES.format('limit = "0.1 kg/day"')}),
        ("water_near", {"add": RULES.format('distance_to_well = "20 m"')}),
        ("line_near", {"add": RULES.format('distance_to_boundary = "0.5 m"')}),
        ("law_unknown", {}),
        ("pests", {}),
    ],
)
def test_each_caution_appears_where_it_applies(caution, changes, make_case):
    found = {c.id: c for c in cautions_part(carry_out(make_case(members=12, **changes), quiet))}
    assert caution in found
    assert found[caution].applies


def quiet(stage, share):
    """No progress wanted."""


def test_cautions_that_do_not_apply_stay_away(make_case):
    calm = """
[rules]
same_property = "yes"
animal_food = "no"
farmed_animals_near = "no"
burial_allowed = "yes"
notification_needed = "no"
produce_sold = "no"
pest_rules = "no"
carried_by_others = "no"
liquid_to_drain = "no"
given_away = "no"
distance_to_water = "200 m"
distance_to_well = "200 m"
distance_to_boundary = "1.5 m"
"""
    plain = {'mix = "household"': "mix = {fruit_veg = 1.0}"}
    found = {
        c.id
        for c in cautions_part(carry_out(make_case(members=12, replace=plain, add=calm), quiet))
    }
    assert not found & {
        "meat", "children", "raw_crops", "cold_room", "hot_room", "farmed_animals", "sold",
        "drain", "off_site", "over_limit", "water_near", "line_near", "law_unknown",
        "food_business",
    }  # fmt: skip
    assert {"hands", "opening", "acid_liquid", "bran_dust", "water", "failed", "weak"} <= found


def test_ranges_in_words():
    assert words(Range(median=27, low=24.2, high=31.4, unit="days"), "metric") == "24 to 31 days"
    assert words(Range(median=2.5, low=2.04, high=3, unit="days"), "metric") == "2 to 3 days"
    assert words(Range(median=9, low=7, high=None, unit="days"), "metric") == "7 days or more"
    gone = Range(median=None, low=None, high=None, unit="days")
    assert words(gone, "metric") == middle(gone, "metric") == "beyond the time foreseen"
    assert range_of([np.inf] * 5, "kg").median is None


def test_the_cautions_file_is_plain_toml():
    path = FILE.with_name("cautions.toml")
    assert len(tomllib.loads(path.read_text(encoding="utf-8"))["caution"]) == len(texts())


def test_scraps_are_told_by_month_as_well(plan, case):
    months = plan.scraps.by_month
    assert [m.month.month for m in months] == [3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1, 2]
    weekly = np.mean([m.amount.median for m in months])
    assert weekly == pytest.approx(7 * plan.scraps.per_day.median, rel=0.05)
    assert all(m.amount.low < m.amount.median < m.amount.high for m in months)


def test_draining_keeps_to_what_is_usual_where_there_is_room(plan):
    assert plan.liquid.usual_rhythm.standing == "published"
    assert plan.liquid.usual_rhythm.low <= plan.liquid.drain_every_days
    assert plan.liquid.drain_every_days <= plan.liquid.usual_rhythm.high
    assert plan.liquid.room_days > plan.liquid.usual_rhythm.high
    assert (
        f"takes {plan.liquid.room_days} days or longer to be 50 % full"
        in plan.liquid.why.replace("\u00a0", " ")
    )
    assert "turns foul" in plan.liquid.why


def test_the_mix_decides_whether_animal_food_counts_and_a_denial_is_told(make_case):
    denied = RULES.format('animal_food = "no"')
    found = {c.id: c for c in cautions_part(carry_out(make_case(members=12, add=denied), quiet))}
    assert 'animal_food under [rules] says "no"' in found["meat"].applies
    shares = make_case(members=12, add=denied).shares
    assert animal_food(shares) == (True, False)
    fruit = np.zeros_like(shares)
    fruit[:, 0] = 1.0
    assert animal_food(fruit) == (False, False)
