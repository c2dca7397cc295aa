import json
import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
import vl_convert
from invented_garden import START, Planting, Steady, bed, garden, parameters, vessel

from sourloam import soil
from sourloam.garden import GardenPlan, Rain, garden_plan
from sourloam.garden.chart import garden_chart
from sourloam.garden.foresight import SoilTable
from sourloam.garden.plan import _ask, _case

BEDS = (
    bed(
        "Long bed",
        8.0,
        plantings=[Planting("potato", 50, 150, False), Planting("kale", 190, 300, False)],
    ),
    bed(
        "Salad bed",
        3.0,
        1.0,
        "sandy_loam",
        [Planting("lettuce", 40, 100), Planting("radish", 130, 165)],
    ),
    bed("Berries", 6.0, 2.0, "clay", [Planting("currant", 0, 363, False)]),
)


@pytest.fixture(scope="module")
def plan():
    p = parameters(BEDS, members=40)
    vessels = [vessel(f"vessel {i + 1}", 10 + 60 * i, p, with_meat=True) for i in range(4)]
    case = garden(BEDS, vessels, p, frozen_weeks=range(44, 50), liquid=True)
    return garden_plan(case, p, seed=7, foresight=Steady(members=40))


@pytest.fixture(scope="module")
def drawing(plan):
    return garden_chart(plan, on=date(2026, 9, 1))


def test_the_answer_survives_being_written_and_read(plan):
    assert GardenPlan.model_validate_json(plan.model_dump_json()) == plan


def test_every_burial_has_place_time_and_reason(plan):
    assert plan.burials.plan
    for burial in plan.burials.plan:
        assert burial.length == pytest.approx(sum(p.end - p.start for p in burial.pieces))
        assert burial.load * burial.length == pytest.approx(burial.mass.median, rel=1e-6)
        assert (burial.week - START).days % 7 == 0
        assert burial.reason.startswith("The ground can be dug that week")
        assert burial.plant_from == burial.week + timedelta(days=6 + 14)
        assert 3 < burial.mound.median < 8


def test_ranges_are_in_order(plan):
    def ranges(value):
        if isinstance(value, dict):
            if {"median", "low", "high", "unit"} == set(value):
                yield value
            for inner in value.values():
                yield from ranges(inner)
        elif isinstance(value, list):
            for inner in value:
                yield from ranges(inner)

    found = list(ranges(json.loads(plan.model_dump_json())))
    assert len(found) > 200
    assert all(r["low"] <= r["median"] <= r["high"] for r in found if None not in r.values())


def test_the_beds_add_up_to_what_is_buried(plan):
    p = parameters(BEDS, members=40)
    each = np.median(vessel("one", 0, p).ferment.nitrogen_kg) * 1000
    buried = sum(b.share for b in plan.burials.plan) * each
    assert sum(b.nitrogen_buried.median for b in plan.beds) == pytest.approx(buried, rel=0.03)


def test_provenance_names_the_rows_and_the_seed(plan):
    assert plan.provenance.seed == 7
    assert plan.provenance.members == 40
    assert "crops.potato.salt_threshold" in plan.provenance.evidence
    assert "crops.leek.salt_threshold" not in plan.provenance.evidence


def test_cautions_on_raw_crops_water_hands_and_local_rules_stand(plan):
    found = {c.id: c for c in plan.cautions}
    assert {"raw", "water", "hands", "diggers", "local"} <= set(found)
    assert "7 CFR 205.203" in found["raw"].source
    assert "never with chlorine bleach" in found["hands"].text


def test_the_same_garden_gets_the_same_plan(plan):
    p = parameters(BEDS, members=40)
    vessels = [vessel(f"vessel {i + 1}", 10 + 60 * i, p, with_meat=True) for i in range(4)]
    case = garden(BEDS, vessels, p, frozen_weeks=range(44, 50), liquid=True)
    again = garden_plan(case, p, seed=7, foresight=Steady(members=40))
    assert again.model_dump_json() == plan.model_dump_json()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"weeks": 60}, "60; a plan is for 1 to 53 weeks"),
        ({"beds": ()}, "no bed; give at least one"),
    ],
)
def test_a_garden_that_cannot_be_planned_says_why(change, words):
    p = parameters(BEDS)
    made = {"beds": BEDS, "vessels": (), "p": p, **change}
    with pytest.raises(ValueError, match=words):
        garden(**made)


def test_two_beds_of_one_name_are_refused():
    with pytest.raises(ValueError, match="two beds have the same name"):
        garden((bed("Plot"), bed("Plot")), (), parameters(BEDS))


def test_the_soil_room_itself_answers_within_reason():
    beds = [bed("Plot", 12.0, plantings=[Planting("potato", 90, 200, False)])]
    p = parameters(beds, members=20)
    plan = garden_plan(garden(beds, [vessel("vessel 1", 20, p)], p, weeks=30), p)
    (burial,) = plan.burials.plan
    assert 2 < burial.wait.median < 60
    (crop,) = plan.beds[0].plantings
    assert 0.15 < crop.nitrogen_given.median / plan.beds[0].nitrogen_buried.median < 0.7


def table(left, right):
    waits = np.array([[[left, right]]])
    return SoilTable(
        days=np.array([0, 28]),
        loads={"loam": np.array([2.5])},
        waits={("loam", "sow"): waits},
        available={},
        salt={},
    )


def test_waits_between_two_days_are_read_off_a_straight_line():
    assert table(30.0, 16.0).wait_days("loam", 7, "sow", 2.0)[0] == pytest.approx(26.5)


def test_a_wait_beside_an_endless_one_is_endless():
    assert table(np.inf, 16.0).wait_days("loam", 7, "sow", 2.0)[0] == np.inf
    assert table(np.inf, 16.0).wait_days("loam", 28, "sow", 2.0)[0] == 16


def test_a_load_counts_as_the_next_one_known():
    waits = np.array([[[10.0], [20.0], [40.0]]])
    found = SoilTable(
        np.array([0]), {"clay": np.array([1.0, 2.0, 4.0])}, {("clay", "sow"): waits}, {}, {}
    )
    assert found.wait_days("clay", 100, "sow", 2.0)[0] == 20
    assert found.wait_days("clay", 100, "sow", 2.1)[0] == 40


def test_the_drawing_asks_nothing_of_the_outside(drawing):
    svg = vl_convert.vegalite_to_svg(drawing.to_json())
    ElementTree.fromstring(svg)
    outside = [a for a in re.findall(r"https?://[^\"' <]+", svg) if "www.w3.org" not in a]
    assert outside == []


def test_the_drawing_shows_beds_crops_dates_and_states(drawing):
    svg = vl_convert.vegalite_to_svg(drawing.to_json())
    for word in ("Long bed", "Salad bed", "potato", "currant", "The season", "on 1 September 2026"):
        assert word in svg
    spec = drawing.to_json()
    for state in ("#7a3b12", "#e0a43a"):
        assert state in spec


def test_a_garden_with_nothing_in_it_can_still_be_drawn():
    p = parameters([bed()])
    empty = garden_plan(garden([bed()], [], p), p, foresight=Steady())
    assert "<svg" in vl_convert.vegalite_to_svg(garden_chart(empty).to_json())


def rained(members, days, drains_m):
    water = {"loam": soil.Water(np.full((members, days), drains_m), np.zeros((members, days)))}
    return Rain(water, "Rain as told.", np.zeros((members, days), dtype=bool))


def test_rain_washes_salt_and_nitrate_out_before_the_crop_goes_in():
    beds = [bed("Plot", 12.0)]
    p = parameters(beds)
    case = garden(beds, [vessel("vessel 1", 20, p)], p, weeks=30)
    days = case.soil_c["loam"].shape[1]
    dry, wet = (_ask(replace(case, rain=rained(1, days, drains)), p) for drains in (0.0, 0.002))
    spot = _case(case, p, dry).spot(0, 0)
    early, late = (wet.salt_rise_per_kg_m(spot, 0, after)[0] for after in (14, 150))
    assert late < 0.6 * early
    assert late < 0.4 * dry.salt_rise_per_kg_m(spot, 0, 150)[0]
    there, washed = (f.available_share(spot, "nitrogen", 0)[0] for f in (dry, wet))
    assert 0 < washed < 0.5 * there
    assert wet.available_share(spot, "potassium", 0) == dry.available_share(spot, "potassium", 0)


def test_the_plan_says_how_rain_was_taken():
    beds = [bed("Plot", 12.0)]
    p = parameters(beds)
    dry = garden(beds, [], p, weeks=10)
    days = dry.soil_c["loam"].shape[1]
    wet = replace(dry, rain=rained(1, days, 0.001))
    assert "No rain is counted" in garden_plan(dry, p, 1, Steady()).provenance.notes[-1]
    assert garden_plan(wet, p, 1, Steady()).provenance.notes[-1] == "Rain as told."


def test_weeks_in_which_snow_lies_are_marked():
    beds = [bed("Plot", 12.0)]
    p = parameters(beds)
    case = garden(beds, [], p, weeks=10)
    rain = rained(1, case.soil_c["loam"].shape[1], 0.0)
    rain.snow_lies[:, 14:28] = True
    found = garden_plan(replace(case, rain=rain), p, 1, Steady()).ground
    assert [week.snow for week in found[:5]] == [0, 0, 1, 1, 0]
