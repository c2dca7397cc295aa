import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_garden import Planting, Steady, bed, garden, parameters, vessel

from sourloam.evidence import book
from sourloam.garden import garden_plan, usual_liquid
from sourloam.garden.crops import crop, crop_evidence
from sourloam.garden.feeding import Can, plan_feeding, thin
from sourloam.garden.liquid import aged, conductivity_ds_m

NAMES = ("tomato", "bean", "beetroot", "lettuce", "strawberry")
IDS = tuple(
    k
    for k in book().rows
    if k.split(".")[0] in ("beds", "feeding", "ground", "soil", "acids", "turnover")
) + crop_evidence(NAMES)
P = book().sample(IDS, 200, np.random.default_rng(5))
CAN = Can(usual_liquid(P), P)


def test_liquid_left_in_a_jar_loses_its_acid_and_its_sourness():
    old = aged(CAN.liquid, [0, 1, 3, 7, 14], 20.0, P)
    assert np.all(np.diff(old.acids_mol_m3(P), axis=1) < 0)
    assert np.all(np.diff(old.ph, axis=1) > 0)


def test_fresh_liquid_has_the_ph_it_was_given():
    assert aged(CAN.liquid, [0], 20.0, P).ph[:, 0] == pytest.approx(CAN.liquid.ph, abs=1e-6)


def test_ageing_keeps_nitrogen_and_frees_ammonium():
    old = aged(CAN.liquid, [0, 2, 8], 20.0, P)
    assert np.all(old.nitrogen == CAN.liquid.nitrogen[:, None])
    assert np.all(np.diff(old.ammonium_nitrogen, axis=1) > 0)
    assert np.all(old.ammonium_nitrogen <= old.nitrogen)


def test_liquid_ages_slower_in_the_cold():
    cold, warm = (aged(CAN.liquid, [3], t, P).acids_mol_m3(P) for t in (5.0, 25.0))
    assert np.all(cold > warm)


def test_acid_falls_by_a_tenth_a_day_in_the_middle():
    middle = book().central(IDS)
    fresh = usual_liquid(middle)
    left = aged(fresh, [1], 20.0, middle).acids_mol_m3(middle) / fresh.acids_mol_m3(middle)
    assert left[0, 0] == pytest.approx(np.exp(-0.10), rel=1e-6)


@given(st.floats(1, 500))
@settings(derandomize=True, max_examples=40)
def test_thinning_lowers_conductivity_by_less_than_in_proportion(parts):
    alone, thinned = conductivity_ds_m(CAN.liquid, P), conductivity_ds_m(CAN.liquid, P, parts)
    assert np.all(thinned < alone)
    assert np.all(thinned * (1 + parts) > alone)


def test_seedlings_ask_for_more_water_than_established_plants():
    for name in NAMES:
        young, grown = (thin(CAN, crop(name, P), seedling) for seedling in (True, False))
        assert young.handy is None or young.handy > grown.handy
        assert np.all(young.acid > grown.acid)


def test_what_bears_salt_asks_for_less_water_on_account_of_it():
    bears, minds = (np.median(thin(CAN, crop(n, P), False).salt) for n in ("beetroot", "bean"))
    assert minds > 3 * bears


def test_water_too_salty_for_a_crop_is_not_mended_by_thinning():
    salty = Can(usual_liquid(P), P, tap_ds_m=2.0)
    assert thin(salty, crop("strawberry", P), False).handy is None
    assert thin(salty, crop("beetroot", P), False).handy is not None


def test_the_thinned_liquid_stays_within_both_limits():
    grown = crop("tomato", P)
    parts = thin(CAN, grown, False).handy
    acids = CAN.liquid.acids_mol_m3(P) / (1 + parts)
    ec = conductivity_ds_m(CAN.liquid, P, parts) + CAN.tap * parts / (1 + parts)
    assert np.mean(acids <= P["feeding.acid.established"]) >= 0.9
    assert np.mean(ec <= grown.salt_threshold_ds_m / P["feeding.water_to_soil"]) >= 0.9


def fed(beds, supply, weeks=52):
    crops = {n: crop(n, P) for n in NAMES}
    return plan_feeding(tuple(beds), crops, CAN, np.full((200, weeks), supply))


@given(st.floats(0, 5), st.floats(1, 40))
@settings(derandomize=True, max_examples=20, deadline=None)
def test_what_drains_is_used_or_left_over(supply, length):
    plan = fed([bed(length=length, plantings=[Planting("tomato", 60, 200, False)])], supply)
    assert plan.used_l + plan.surplus_l == pytest.approx(plan.supply_l, abs=1e-12)
    assert np.all(plan.surplus_l >= 0)
    given_n = plan.nitrogen_kg.sum(axis=1)
    assert given_n == pytest.approx(plan.used_l.sum(axis=1) * CAN.liquid.nitrogen / 1000, abs=1e-12)


def test_an_empty_bed_takes_no_liquid():
    assert np.all(fed([bed()], 0.3).used_l == 0)


def test_crops_eaten_raw_get_nothing_near_their_harvest():
    plan = fed([bed(plantings=[Planting("lettuce", 0, 100, True, harvest_day=60)])], 0.3)
    stopped = {g.week for g in plan.given if g.stopped}
    assert min(stopped) == 7  # 60 - 14 = day 46, the week that begins on day 49
    assert all(g.room_l == 0 for g in plan.given if g.stopped)


def test_a_plan_without_liquid_has_no_feeding():
    beds = [bed(plantings=[Planting("tomato", 80, 200, False)])]
    p = parameters(beds)
    assert garden_plan(garden(beds, [], p), p, foresight=Steady()).feeding is None


def test_a_plan_with_liquid_says_what_it_brings_and_what_is_left():
    beds = [bed(plantings=[Planting("tomato", 80, 200, False)])]
    p = parameters(beds, members=40)
    answer = garden_plan(
        garden(beds, [vessel("vessel 1", 7, p)], p, liquid=True), p, foresight=Steady(members=40)
    )
    feeding = answer.feeding
    assert len(feeding.weeks) == 52
    assert feeding.supply.median == pytest.approx(52 * 0.3)
    assert 0 < feeding.beds[0].nitrogen.median < 0.2 * feeding.beds[0].nitrogen_wanted
    assert "not a fertiliser" in feeding.answer
    assert "storm drain" in feeding.answer
