"""What goes into the ground is found again, and the march is fine enough."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from sourloam import soil, vessel
from sourloam.evidence import book
from sourloam.soil import kinetics, prepare
from sourloam.soil.ground import make_of
from sourloam.soil.trench import place_of

IDS = tuple(i for e in soil.EVIDENCE for i in book().ids(e))
DAYS = 60


def carbon(state, kc):
    get = {name: state[..., i] for i, name in enumerate(kinetics.STATE)}
    acids = kc * (3 * get["lactic"] + 2 * get["acetic"] + 4 * get["butyric"])
    return acids + sum(get[n] for n in ("dpm", "rpm", "grown", "bio", "hum", "co2"))


def nitrogen(state):
    names = ("dpm_n", "rpm_n", "formed_n", "ammonium", "nitrate", "leached_n")
    return sum(state[..., kinetics.STATE.index(n)] for n in names)


def salt(state):
    return sum(state[..., kinetics.STATE.index(n)] for n in ("salt", "leached_salt"))


def marched(seed, texture, kg_per_m, celsius, drainage_m, steps=24):
    p = book().sample(IDS, 3, np.random.default_rng(seed))
    burial = soil.usual_burial(soil.Portion.typical(kg_per_m, p), 1.0, p)
    ground = soil.Soil(texture, 6.5)
    make = make_of(ground, p)
    place = place_of(burial, make, p)
    start = prepare.start_of(burial.ferment, place, p)
    rates = prepare.rates_of(burial.ferment, ground, make, place, p)
    water = soil.Water(np.full(DAYS, drainage_m), np.zeros(DAYS))
    days = prepare.members_by_days(np.full(DAYS, celsius), 3, "temperature_c")
    weather = prepare.weather_of(days, water, make, place, p)
    out = np.empty((3, DAYS, len(kinetics.STATE)))
    extra = np.empty((3, DAYS, len(kinetics.EXTRA)))
    kinetics.march(start.copy(), rates, weather, steps, out, extra)
    return start, out, extra, rates


cases = {
    "seed": st.integers(0, 10_000),
    "texture": st.sampled_from(soil.ground.TEXTURES),
    "kg_per_m": st.floats(0.1, 25),
    "celsius": st.floats(-8, 38),
    "drainage_m": st.floats(0, 0.02),
}


@settings(derandomize=True, max_examples=60, deadline=None)
@given(**cases)
def test_carbon_nitrogen_and_salt_are_neither_made_nor_lost(**case):
    start, out, _, rates = marched(**case)
    kc = rates.carbon_kg_per_mol
    np.testing.assert_allclose(
        carbon(out, kc[:, None]), np.repeat(carbon(start, kc)[:, None], DAYS, 1), rtol=1e-9
    )
    for amount in (nitrogen, salt):
        np.testing.assert_allclose(
            amount(out), np.repeat(amount(start)[:, None], DAYS, 1), rtol=1e-9, atol=1e-15
        )


@settings(derandomize=True, max_examples=60, deadline=None)
@given(**cases)
def test_no_amount_falls_below_nothing_and_ph_stays_natural(**case):
    _, out, extra, _ = marched(**case)
    assert out.min() >= -1e-12
    assert extra[:, :, 0].min() > 3.3
    assert extra[:, :, 0].max() < 9.9
    assert np.all((extra[:, :, 1] >= 0) & (extra[:, :, 1] <= 1))


@settings(derandomize=True, max_examples=40, deadline=None)
@given(**cases)
def test_microbes_and_young_humus_never_hold_more_nitrogen_than_their_ratio(**case):
    _, out, _, rates = marched(**case)
    get = {name: out[..., i] for i, name in enumerate(kinetics.STATE)}
    most = (get["grown"] + get["bio"] + get["hum"]) / rates.c_to_n[:, None]
    assert np.all(get["formed_n"] <= most * (1 + 1e-9) + 1e-15)


def sow_of(steps, monkeypatch, **case):
    monkeypatch.setattr("sourloam.soil.course.STEPS_A_DAY", steps)
    p = book().central(IDS)
    burial = soil.usual_burial(soil.Portion.typical(case["kg"], p), 1.0, p)
    return soil.bury(burial, soil.Soil("loam", 6.5), np.full(80, case["celsius"]), p)


@pytest.mark.parametrize("kg", [2.5, 5.0, 10.0])
@pytest.mark.parametrize("celsius", [10.0, 20.0])
def test_a_quarter_of_the_step_moves_acids_and_days_little(monkeypatch, kg, celsius):
    coarse = sow_of(24, monkeypatch, kg=kg, celsius=celsius)
    fine = sow_of(96, monkeypatch, kg=kg, celsius=celsius)
    assert abs(coarse.transplant_tolerant_day[0] - fine.transplant_tolerant_day[0]) <= 1
    start = fine.acids_mmol_per_kg[0, 0]
    gap = np.abs(coarse.acids_mmol_per_kg - fine.acids_mmol_per_kg).max() / start
    assert gap < 0.02
    assert coarse.respired_c_kg[0, -1] == pytest.approx(fine.respired_c_kg[0, -1], rel=2e-3)


def test_one_member_runs_as_it_does_in_company():
    p = book().sample(IDS, 5, np.random.default_rng(3))
    celsius = np.linspace(6, 20, 50)

    def run(q):
        burial = soil.usual_burial(soil.Portion.typical(6.0, q), 1.0, p)
        return soil.bury(burial, soil.Soil("clay", 7.0), celsius, q)

    together, alone = run(p), run(p.member(3))
    np.testing.assert_array_equal(together.nitrate_n_kg[3], alone.nitrate_n_kg[0])
    assert together.sow_day[3] == alone.sow_day[0]


def test_amounts_are_those_of_the_whole_trench():
    p = book().central(IDS)
    celsius = np.full(30, 15.0)
    short, long = (
        soil.bury(
            soil.usual_burial(soil.Portion.typical(5.0 * metres, p), metres, p),
            soil.Soil("loam", 6.5),
            celsius,
            p,
        )
        for metres in (1.0, 4.0)
    )
    np.testing.assert_allclose(long.available_n_kg, 4 * short.available_n_kg, rtol=1e-12)
    np.testing.assert_allclose(long.acids_mmol_per_kg, short.acids_mmol_per_kg, rtol=1e-12)
    np.testing.assert_allclose(
        short.respired_c_kg + short.carbon_left_kg,
        np.full((1, 30), soil.Portion.typical(5.0, p).carbon_kg[0]),
        rtol=1e-9,
    )


def test_a_ferment_with_more_acid_carbon_than_carbon_is_refused():
    p = book().central(IDS)
    wrong = replace(soil.Portion.typical(5.0, p), carbon_kg=np.array([0.01]))
    burial = soil.usual_burial(wrong, 1.0, p)
    with pytest.raises(ValueError, match="more carbon or nitrogen than it has"):
        soil.bury(burial, soil.Soil("loam", 6.5), [15.0] * 5, p)


def test_acids_go_as_a_standard_solver_says():
    """A ferment that is acids and nothing else, against the same rates written anew."""
    p = book().central(IDS)
    kc = 0.012011
    lactic, acetic = 0.020, 0.004
    acid_c = kc * (3 * lactic / 0.090078 + 2 * acetic / 0.060052)
    none = np.zeros(1)
    ferment = replace(
        soil.Portion.typical(2.0, p),
        lactic_kg=np.array([lactic]),
        acetic_kg=np.array([acetic]),
        carbon_kg=np.array([acid_c * (1 + 1e-9)]),
        nitrogen_kg=none,
        ammonium_nitrogen_kg=none,
    )
    burial = soil.usual_burial(ferment, 1.0, p)
    course = soil.bury(burial, soil.Soil("sand", 6.5), np.full(12, 15.0), p)

    def warmth(t):
        return 47.91 / (1 + np.exp(106.06 / (t + 18.27)))

    soil_kg = 1350 * (0.045 - 2 / 950)
    native = 0.018 * 0.012 * soil_kg
    top = 0.74 * 0.5 * warmth(15) / warmth(22)
    dies = 0.0113 / warmth(20) * warmth(15)

    def rates(_, y):
        taken = top * (native + y[1]) * y[0] / (57e-6 * soil_kg + y[0])
        return [-taken, 0.45 * taken - dies * y[1]]

    days = np.arange(1, 13)
    told = solve_ivp(rates, (0, 12), [acid_c, 0.0], t_eval=days, rtol=1e-9, atol=1e-15)
    mol_per_carbon = (lactic / 0.090078 + acetic / 0.060052) / acid_c
    expected = 1000 * told.y[0] * mol_per_carbon / soil_kg
    gap = np.abs(course.acids_mmol_per_kg[0] - expected).max()
    assert gap < 0.01 * 1000 * acid_c * mol_per_carbon / soil_kg


def test_bare_soil_uses_the_oxygen_that_its_own_microbes_need():
    p = book().central(IDS)
    burial = soil.Burial(soil.Portion.typical(1e-9, p), 1.0, 1.0, 0.20, 0.30, spacing_m=1.0)
    course = soil.bury(burial, soil.Soil("clay", 6.5), np.full(1, 22.0), p)
    microbes = 0.025 * 0.018 * 1050 * 0.20
    demand = 0.0155 * microbes / 0.012011
    air, pores = 1 - 1050 / 2650 - 0.38, 1 - 1050 / 2650
    relative = np.sqrt(air**2 * air ** (10 / 3) / pores**2)
    in_air = 2.0e-5 * (295.15 / 293.15) ** 1.75 * 0.2095 * 101325 / (8.314 * 295.15)
    supply = relative * in_air * 86400 / 0.40
    assert 1 - course.oxygen_share[0, 0] == pytest.approx(demand / supply, rel=1e-4)


def test_a_vessels_ferment_can_be_buried_as_it_is():
    p = book().central(IDS)
    part = soil.Portion.typical(6.0, p)
    given_by_portion = {name: getattr(part, name) for name in vars(part)}
    ferment = vessel.Ferment(
        **given_by_portion, ethanol_kg=np.zeros(1), calcium_kg=np.array([0.01])
    )
    celsius = np.full(20, 12.0)
    ground = soil.Soil("loam", 6.5)
    whole = soil.bury(soil.usual_burial(ferment, 1.5, p), ground, celsius, p)
    same = soil.bury(soil.usual_burial(part, 1.5, p), ground, celsius, p)
    np.testing.assert_array_equal(whole.available_n_kg, same.available_n_kg)
