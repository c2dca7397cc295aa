"""The cheap parts of a forecast against the full vessel model: the long way for every shortcut."""

import datetime as dt

import numpy as np
import pytest
from scipy import special

from sourloam import scraps, vessel
from sourloam.evidence import book
from sourloam.forecast.coordinates import ROWS, Hidden, row_values, water_let_go
from sourloam.forecast.invented import truths
from sourloam.forecast.kernel import liquid_by, on_days, through_days
from sourloam.forecast.members import Lumps, Scene
from sourloam.forecast.souring import evidence_ids, souring_of
from sourloam.scraps import Batch
from sourloam.vessel.packing import density
from sourloam.vessel.prepare import PARAMETERS

MEMBERS, LAYERS, DAYS = 40, 45, 70


@pytest.fixture(scope="module")
def both(place, pail):
    """The full model and the shortcut with the same inputs."""
    rng = np.random.default_rng(3)
    parameters = book().sample((*evidence_ids(), "climate.room.unsure"), MEMBERS, rng)
    mixed = scraps.mix(scraps.class_shares("household", parameters), scraps.class_table(parameters))
    dose = np.full(MEMBERS, 0.02)
    one = mixed + scraps.bran_batch(dose, "wheat_bran", None, parameters)
    kg = 0.33 * np.exp(0.4 * rng.standard_normal((MEMBERS, LAYERS)))
    fed = vessel.Feeding(np.arange(float(LAYERS)), Batch(one.amounts[:, None]).times(kg))
    full = vessel.run(pail, fed, np.full(DAYS, 19.0), parameters)
    inside = Hidden(
        np.ones(MEMBERS),
        one.dry_kg / one.fresh_kg,
        one.fresh_kg / one["loose_volume"],
        {row: parameters[row] for row in ROWS if row != "climate.room.unsure"}
        | {"climate.room.unsure": np.zeros(MEMBERS)},
    )
    lumps = Lumps.of([])
    scene = Scene(pail, place.mix, 0.02, np.full(DAYS, 19.0), lumps, 0.0, 7.0)
    short = through_days(
        np.arange(LAYERS), kg * 1.02, 0, DAYS, scene.held(inside, DAYS),
        scene.softening(inside, DAYS), scene.rows(inside), scene.shared(),
    )  # fmt: skip
    return full, short


def test_the_day_of_being_full_is_that_of_the_full_model(both):
    full, (day, last, _) = both
    came = np.isfinite(full.full_day)
    assert came.sum() > 20
    assert np.array_equal(came, np.isfinite(day))
    assert np.abs(day[came] - full.full_day[came]).max() <= 1
    assert np.mean(day[came] == full.full_day[came]) >= 0.85
    assert np.mean(last == full.last_fed_day) >= 0.9


def test_the_level_is_that_of_the_full_model_within_a_hundredth(both):
    full, (_, _, out) = both
    same = both[1][1] == full.last_fed_day
    away = np.abs(out[0] - full.level_share)[same]
    assert np.quantile(away, 0.95) < 0.01
    assert away.max() < 0.03


def test_the_liquid_is_that_of_the_full_model_within_a_tenth(both):
    full, (_, _, out) = both
    same = both[1][1] == full.last_fed_day
    density_kg_m3 = 1020.0
    ours = out[2, :, -1] / density_kg_m3 * 1e6
    theirs = 1e6 * full.liquid_m3[:, :-1].sum(axis=1)
    gap = np.abs(ours - theirs)[same] / np.maximum(theirs[same], 20.0)
    assert np.median(gap) < 0.05
    assert np.quantile(gap, 0.9) < 0.12


def test_the_mass_is_that_of_the_full_model_within_two_hundredths(both):
    full, (_, _, out) = both
    same = both[1][1] == full.last_fed_day
    gap = np.abs(out[1, :, 46:] / full.contents_kg[:, 45:-1] - 1)[same]
    assert gap.max() < 0.02


def test_a_single_layer_packs_by_the_vessel_rooms_own_law(pail):
    names = list(PARAMETERS)
    par = np.zeros(len(names))
    values = {
        "vessel.packing": 3.0, "vessel.density_most": 1000.0, "vessel.density_ceiling": 1040.0,
        "vessel.creep": 0.1, "vessel.creep_days": 7.0,
    }  # fmt: skip
    for name, value in values.items():
        par[names.index(name)] = value
    day, press = 5, 4000.0
    expected = density(370.0, press, float(day), par)
    member = np.array([[370.0, 1000.0, 3.0, press, 0.0, 1.0]])
    shared = np.array([pail.usable_m3, pail.section_m2, 0.0, 9.81, 1040.0])
    soft = 1 + 0.1 * (1 - np.exp(-np.arange(10) / 7.0))[None]
    level, mass = on_days(
        np.array([0]), np.array([[0.4]]), np.array([day]), np.ones((1, 10)), soft, member, shared
    )
    assert mass[0, 0] == pytest.approx(0.4)
    assert level[0, 0] * pail.usable_m3 == pytest.approx(0.4 / expected, rel=1e-9)


def test_liquid_by_a_day_is_what_the_day_by_day_course_gives(place, pail):
    added, kg = np.arange(6), np.full((1, 6), 0.4)
    held = np.exp(-0.2 * np.arange(20.0))[None]
    member = np.array([[370.0, 1000.0, 3.0, 4000.0, 0.1, 0.99]])
    shared = np.array([pail.usable_m3, pail.section_m2, 0.0, 9.81, 1040.0])
    _, _, out = through_days(added, kg, 0, 20, held, np.ones((1, 20)), member, shared)
    when = np.array([3, 9, 15])
    assert liquid_by(added, kg, when, held, member)[0] == pytest.approx(out[2, 0, when])


def test_a_layer_in_the_grid_of_temperatures_sours_as_the_vessel_room_says(place):
    souring = souring_of(place.usual)
    draw = np.arange(20)
    at_21 = souring.ready_day[5, :20]
    warmth = np.full((20, 120), 21.0)
    assert souring.finish_day(np.zeros(20), warmth, draw) == pytest.approx(at_21, abs=1.0)


def test_between_temperatures_the_day_of_being_sour_lies_within_a_day_and_a_half(place):
    """The grid is 4 K wide: the long way runs the same layers at 19 °C."""
    from sourloam.forecast import souring as room

    souring = souring_of(place.usual)
    count = len(souring.troubled)
    parameters = book().sample(evidence_ids(), count, np.random.default_rng(1))
    batch = room._layers(place.usual, parameters, souring.troubled)
    long_way = vessel.newest_layer_finish(batch, np.full(120, 19.0), parameters).ready_day
    short = souring.finish_day(np.zeros(count), np.full((count, 120), 19.0), np.arange(count))
    came = np.isfinite(long_way) & np.isfinite(short)
    assert came.mean() > 0.8
    away = short[came] - long_way[came]
    assert np.quantile(np.abs(away), 0.9) <= 1.5
    assert abs(away.mean()) < 0.4


def test_rows_are_met_through_their_own_quantiles():
    z = np.linspace(-2, 2, 9)
    for row in ROWS:
        values = row_values(row, z)
        assert np.all(np.diff(values) > 0)
        assert values == pytest.approx(book()[row].quantile(special.ndtr(z)), rel=1e-4)
    assert row_values("vessel.packing", np.array([0.0]))[0] == pytest.approx(
        book()["vessel.packing"].value, rel=1e-6
    )


def test_the_drier_the_mix_the_less_it_lets_go():
    dry = np.array([0.15, 0.19, 0.25, 0.31])
    let_go = water_let_go(dry, np.zeros(4), np.ones(4))
    assert let_go[1] == pytest.approx(0.111, rel=1e-9)
    assert np.all(np.diff(let_go) < 0)
    assert let_go[-1] == 0
    assert water_let_go(dry, np.full(4, 0.02), np.ones(4))[-1] > 0


def test_layers_put_together_keep_their_mass_and_even_out_their_errors(log):
    from sourloam.forecast import Layer

    many = tuple(Layer(d, 0.3, 0.2, "counted") for d in range(60))
    lumps = Lumps.of(many)
    assert len(lumps.day) == 24
    assert lumps.kg.sum() == pytest.approx(60 * 0.3 * np.exp(-0.02))
    assert np.all(np.diff(lumps.day) > 0)
    assert lumps.error.max() == pytest.approx(0.2 / np.sqrt(2))


def test_invented_truths_are_full_by_the_vessels_own_level(place, pail):
    drawn = truths(place, pail, 6, np.random.default_rng(2))
    came = np.isfinite(drawn.full_day)
    before = drawn.full_day[came].astype(int) - 1
    assert np.all(drawn.level[came, before] < 1)
    assert np.all(drawn.level[came, before] > 0.85)
    assert dt.date(2025, 9, 1) == place.first
