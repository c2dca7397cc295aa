"""When buried ground is fit for plants, and what holds it back."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam import soil
from sourloam.evidence import book
from sourloam.soil import readiness, waiting

IDS = tuple(i for e in soil.EVIDENCE for i in book().ids(e))
LOAM = soil.Soil("loam", 6.5)


@pytest.fixture(scope="module")
def p():
    return book().central(IDS)


def buried(p, kg=5.0, celsius=15.0, ground=LOAM, days=240, **changes):
    burial = soil.usual_burial(soil.Portion.typical(kg, p), 1.0, p)
    water = changes.pop("water", None)
    return soil.bury(replace(burial, **changes), ground, np.full(days, celsius), p, water)


@settings(derandomize=True, max_examples=25, deadline=None)
@given(st.floats(1, 6), st.floats(1, 14), st.floats(0.5, 4))
def test_acids_last_longer_where_it_is_colder(kg, celsius, warmer):
    p = book().central(IDS)
    cold, warm = (
        np.count_nonzero(buried(p, kg, t, days=120).acids_mmol_per_kg[0] > 4.0)
        for t in (celsius, celsius + warmer)
    )
    assert cold >= warm


@settings(derandomize=True, max_examples=25, deadline=None)
@given(st.floats(1, 8), st.floats(1, 4), st.sampled_from(soil.ground.TEXTURES))
def test_a_heavier_load_is_never_ready_sooner(kg, more, texture):
    p, ground = book().central(IDS), soil.Soil(texture, 6.5)
    light, heavy = buried(p, kg, ground=ground), buried(p, kg + more, ground=ground)
    assert heavy.transplant_tolerant_day[0] >= light.transplant_tolerant_day[0]


@settings(derandomize=True, max_examples=20, deadline=None)
@given(st.floats(3, 10), st.floats(0.0, 0.1), st.floats(0.02, 0.1))
def test_wetter_ground_is_short_of_air_for_longer(kg, wet, wetter):
    p, days = book().central(IDS), 90
    dry, soaked = (
        buried(p, kg, 18.0, days=days, water=soil.Water(np.zeros(days), np.full(days, w)))
        for w in (wet, wet + wetter)
    )
    assert soaked.anaerobic_days[0] >= dry.anaerobic_days[0]
    assert np.all(soaked.oxygen_share[:, 0] <= dry.oxygen_share[:, 0] + 1e-12)


@settings(derandomize=True, max_examples=25, deadline=None)
@given(st.integers(0, 999), st.floats(2, 12), st.floats(5, 22))
def test_seed_is_never_let_in_before_tolerant_plants(seed, kg, celsius):
    p = book().sample(IDS, 6, np.random.default_rng(seed))
    course = buried(p, kg, celsius)
    assert np.all(course.sow_day >= course.transplant_tender_day)
    assert np.all(course.transplant_tender_day >= course.transplant_tolerant_day)
    assert np.all(course.ready_to_spread_day <= course.sow_day)


def test_clay_holds_a_warm_burial_back_for_air_where_loam_does_not(p):
    clay, loam = buried(p, 5.0, 20.0, soil.Soil("clay", 6.5)), buried(p, 5.0, 20.0)
    assert soil.REASONS[clay.sow_held_by[0]] == "oxygen"
    assert clay.sow_day[0] > loam.sow_day[0] + 7


def test_a_whole_bed_breathes_worse_than_a_lone_trench(p):
    lone = buried(p, 8.0, 20.0)
    bed = buried(p, 8.0, 20.0, spacing_m=0.30)
    far = buried(p, 8.0, 20.0, spacing_m=3.0)
    assert bed.anaerobic_days[0] > lone.anaerobic_days[0] + 1
    assert far.oxygen_share[0, 0] == pytest.approx(lone.oxygen_share[0, 0], rel=1e-12)


def test_lumps_keep_their_inside_sour(p):
    fine, coarse = (buried(p, 5.0, 20.0, lump_radius_m=r) for r in (0.002, 0.02))
    assert coarse.sow_day[0] > 2 * fine.sow_day[0]
    extra = coarse.acids_mmol_per_kg[0, 9] - fine.acids_mmol_per_kg[0, 9]
    # By hand, steady sphere: made R2 / (15 D); D left in the ground on day 10 is below its start.
    ferment = soil.Portion.typical(5.0, p)
    kc = 0.012011
    acid_c = kc * (3 * ferment.lactic_kg[0] / 0.09008 + 2 * ferment.acetic_kg[0] / 0.06005)
    left = 0.7 * (ferment.carbon_kg[0] - acid_c) * np.exp(-0.0773 * 10)
    made = 0.3 * 0.667 * 0.0773 * left / (2 * kc)
    mol = made * (0.02**2 - 0.002**2) / (15 * 5e-10 * 86400)
    assert extra == pytest.approx(1000 * mol / (1100 * (0.045 - 5 / 950)), rel=0.03)


def test_rain_that_drains_takes_salt_and_nitrate_along(p):
    days = 120
    dry = buried(p, 5.0, 15.0, days=days)
    wet = buried(p, 5.0, 15.0, days=days, water=soil.Water(np.full(days, 0.004), np.zeros(days)))
    assert wet.leached_n_kg[0, -1] > 0.004
    assert wet.ece_wetted_ds_m[0, -1] < 0.75 * dry.ece_wetted_ds_m[0, -1]
    assert dry.leached_n_kg[0, -1] == 0


def test_acids_pull_the_ph_down_and_their_end_lets_it_up(p):
    course = buried(p, 10.0, 15.0, soil.Soil("sand", 6.0), days=60)
    assert course.ph[0, 0] < 5
    assert course.ph[0].max() > 6
    assert "acid_ph" in dict(course.warnings)


def test_lime_rich_soil_hardly_moves_its_ph(p):
    course = buried(p, 5.0, 15.0, soil.Soil("loam", 7.6, calcareous=True), days=60)
    assert np.all(np.abs(course.ph - 7.6) < 0.3)


def test_too_short_a_horizon_says_beyond(p):
    course = buried(p, 5.0, 8.0, days=5)
    assert np.isinf(course.sow_day[0])
    assert dict(course.warnings)["beyond"] == 1.0


def test_a_burial_long_held_up_is_not_called_ready_by_a_horizon_of_a_day(p):
    assert np.isinf(buried(p, 5.0, 8.0, days=1).transplant_tolerant_day[0])
    assert buried(p, 0.05, 20.0, days=1).transplant_tolerant_day[0] == 1


def test_ten_degrees_colder_at_least_doubles_the_wait_where_acids_hold(p):
    cold, warm = buried(p, 5.0, 5.0), buried(p, 5.0, 15.0)
    assert soil.REASONS[cold.sow_held_by[0]] == soil.REASONS[warm.sow_held_by[0]] == "acids"
    assert 2 < cold.sow_day[0] / warm.sow_day[0] < 5


def test_a_crop_may_bring_its_own_limits(p):
    course = buried(p, 5.0, 15.0)
    usual = readiness.tolerance("seed", p)
    day, _ = course.fit_for(usual)
    assert day[0] == course.sow_day[0]
    day, held = course.fit_for(replace(usual, ece_ds_m=np.array([0.4])))
    assert np.isinf(day[0])
    assert soil.REASONS[held[0]] == "salt"


def test_a_fit_day_must_last():
    fits = np.array([[False, True, False, True, True, True, False, True]])
    assert readiness.first_fit_day(fits, 1)[0] == 2
    assert readiness.first_fit_day(fits, 3)[0] == 4
    assert readiness.first_fit_day(fits, 4)[0] == 8
    assert np.isinf(readiness.first_fit_day(fits[:, :1], 1)[0])


def ends():
    return {
        k: (book()[k].low, book()[k].high)
        for k in IDS
        if book()[k].distribution != "fixed" and k.startswith(("soil.acid.", "soil.biomass"))
    }


def test_the_table_of_waits_orders_slow_central_and_fast_acids(p):
    rows = soil.waiting_table(LOAM, [5.0], [10.0], 200, p, ends())
    days = {row.acid_rate: row.sow_day for row in rows}
    assert days["slow"] > days["central"] > days["fast"]
    assert days["slow"] > 3 * days["fast"]


def test_sensitivity_agrees_with_running_each_end_alone(p):
    burial = soil.usual_burial(soil.Portion.typical(5.0, p), 1.0, p)
    celsius = np.full(200, 10.0)
    shifts = soil.waiting_sensitivity(burial, LOAM, celsius, p, ends())
    widest = shifts[0]
    alone = soil.bury(burial, LOAM, celsius, p.with_values({widest.id: widest.low}))
    assert widest.id == "soil.acid.in_the_ground"
    assert widest.sow_at_low == alone.sow_day[0]
    assert list(shifts) == sorted(shifts, key=lambda s: -s.span_days)
    assert set(waiting.ACID_RATE) <= {s.id for s in shifts}


def test_a_tub_with_holes_breathes_better_and_goes_on_beds_thinly(p):
    ferment = soil.Portion.typical(5.0, p)
    tight, holed = (
        soil.bury(soil.Tub(ferment, 40.0, 0.4, 0.3, air), LOAM, np.full(120, 20.0), p)
        for air in ("top", "all sides")
    )
    assert holed.anaerobic_days[0] < 1 < tight.anaerobic_days[0]
    assert holed.ready_to_spread_day[0] < tight.ready_to_spread_day[0]
    assert 0.05 < holed.share_for_beds[0] < 0.5
    kept = holed.share_for_beds[0] * (holed.ece_wetted_ds_m[0, -1] - 0.5) + 0.5
    assert kept == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ([], "at least one day"),
        ([15.0, np.nan], "a number for every day"),
        (np.ones((3, 2)), "shape"),
    ],
)
def test_bad_temperatures_are_named(p, values, message):
    burial = soil.usual_burial(soil.Portion.typical(5.0, p), 1.0, p)
    with pytest.raises(ValueError, match=message):
        soil.bury(burial, LOAM, values, p)


def test_a_rich_ferment_laid_thin_is_done_within_weeks(p):
    """8 g N/kg at 4.6 kg a metre, as a family's pail gives: nitrifiers multiply and use the
    ammonia up; were they to keep their number it would stay for months."""
    q = p.with_values({"turnover.nitrify.soil_factor": 0.3, "soil.limit.ammonia": 10.0})
    ferment = soil.Portion.typical(4.6, q)
    ferment = replace(ferment, nitrogen_kg=np.array([4.6 * 0.008]))
    burial = soil.Burial(ferment, 1.0, 0.3, 0.1, 0.2)

    def wait(growth):
        now = q.with_values({"turnover.nitrify.growth": growth})
        return soil.bury(burial, soil.Soil("loam", 6.5), np.full(150, 15.0), now).sow_day[0]

    assert 7 < wait(0.3) < 14
    assert wait(0.0) > 60
