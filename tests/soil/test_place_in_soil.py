"""Trench, tub and the water and air in them, by hand."""

import numpy as np
import pytest
from scipy import sparse
from scipy.sparse import linalg

from sourloam import soil
from sourloam.evidence import book
from sourloam.soil import air, trench
from sourloam.soil.ground import make_of

IDS = tuple(i for e in soil.EVIDENCE for i in book().ids(e))
LOAM = soil.Soil("loam", 6.5)


@pytest.fixture(scope="module")
def p():
    return book().central(IDS)


def usual(p, kg=10.0, metres=2.0):
    return soil.usual_burial(soil.Portion.typical(kg, p), metres, p)


def test_the_mixing_zone_holds_the_soil_that_the_ferment_leaves(p):
    place = trench.place_of(usual(p), make_of(LOAM, p), p)
    # 0.30 x 0.15 m less 5 kg per m at 950 kg/m3, at 1,100 kg/m3.
    assert place.soil_kg[0] == pytest.approx(1100 * (0.045 - 5 / 950), rel=1e-12)
    # Salt spreads 0.10 m to either side and below: 0.50 x 0.45 m.
    assert place.wetted_soil_kg[0] == pytest.approx(1100 * 0.50 * 0.45, rel=1e-12)


def test_a_usual_trench_is_35_cm_deep_with_its_ferment_about_the_middle(p):
    burial = usual(p)
    assert burial.depth_m == pytest.approx(0.35)
    assert burial.middle_m == pytest.approx(0.275)


def test_ten_kilograms_a_metre_settle_about_five_centimetres(p):
    # 0.75 x 3.5 cm of ferment and a tenth of the 31.5 cm of fill.
    sinks = trench.settlement_m(usual(p, 10.0, 1.0), p)[0]
    layer = 10 / 950 / 0.30
    assert sinks == pytest.approx(0.75 * layer + 0.10 * (0.35 - layer), rel=1e-12)
    assert sinks == pytest.approx(0.058, abs=0.001)


def test_too_full_a_zone_is_refused_with_the_length_it_needs(p):
    with pytest.raises(ValueError, match=r"at least 1\.2 m of trench"):
        trench.place_of(usual(p, 40.0, 1.0), make_of(LOAM, p), p)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"width_m": 0.0}, "width_m: 0 must be above 0"),
        ({"cover_m": -0.1}, "cover_m: -0.1 must not be below 0"),
        ({"spacing_m": 0.1}, "less than the width"),
    ],
)
def test_impossible_trenches_are_refused(p, change, message):
    measures = {"length_m": 1.0, "width_m": 0.3, "zone_m": 0.15, "cover_m": 0.2, **change}
    with pytest.raises(ValueError, match=message):
        soil.Burial(soil.Portion.typical(1.0, p), **measures)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("peat", 6.5), "not one of sand"),
        (("loam", 2.0), "pH: 2 is not"),
        (("loam", 6.5, -1), "salt"),
    ],
)
def test_impossible_soils_are_refused(arguments, message):
    with pytest.raises(ValueError, match=message):
        soil.Soil(*arguments)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"air": "sides"}, "not one of top"),
        ({"moisture_share": 2}, "not 0 to 1"),
        ({"soil_kg": 0}, "above 0"),
    ],
)
def test_impossible_tubs_are_refused(p, change, message):
    given = {"soil_kg": 40.0, "diameter_m": 0.4, **change}
    with pytest.raises(ValueError, match=message):
        soil.Tub(soil.Portion.typical(1.0, p), **given)


def test_ferment_water_takes_air_from_a_tub(p):
    few, much = (
        trench.place_of(soil.Tub(soil.Portion.typical(kg, p), 40.0, 0.4), make_of(LOAM, p), p)
        for kg in (2.0, 10.0)
    )
    assert much.extra_water[0] > few.extra_water[0] + 0.05
    # 2 kg: 1.5 L of water and 36.36 L of soil half way between 0.14 and 0.27.
    volume = 40 / 1100 + 2 / 950
    held = (0.205 * 40 / 1100 + 0.0015) / volume
    assert few.extra_water[0] == pytest.approx(held - 0.27, rel=1e-9)


@pytest.mark.parametrize(("weight", "expected"), [(0.0, 0.3**2), (1.0, 0.3 ** (10 / 3) / 0.6**2)])
def test_gas_diffusivity_follows_either_published_form(p, weight, expected):
    q = p.with_values({"soil.air.strict_share": weight})
    got = air.relative_diffusivity(np.array([[0.3]]), np.array([0.6]), q)
    assert got[0, 0] == pytest.approx(expected, rel=1e-9)


def test_oxygen_over_the_ground_is_that_of_warm_air(p):
    # 8.71 mol/m3 and 2.0e-5 m2/s at 20 degrees.
    way = air.oxygen_way(np.array([[20.0]]), p)[0, 0]
    assert way == pytest.approx(2.0e-5 * 0.2095 * 101325 / (8.314 * 293.15) * 86400, rel=1e-9)


def strip_by_grid(half_width, depth, walls=12):
    """Flow into a flat strip below a plane per unit of D C, by finite differences.

    Lengths in grid steps; half the width by symmetry; far walls let nothing through.
    """
    shape = ((walls + 1) * depth + 1, walls * depth + 1)
    cell = np.arange(shape[0] * shape[1]).reshape(shape)
    around = np.pad(cell, 1, mode="reflect")
    sides = (around[:-2, 1:-1], around[2:, 1:-1], around[1:-1, :-2], around[1:-1, 2:])
    links = [(cell.ravel(), side.ravel()) for side in sides]
    rows, columns = (np.concatenate(pair) for pair in zip(*links, strict=True))
    laplace = sparse.eye_array(cell.size) - sparse.csr_array(
        (np.full(rows.size, 0.25), (rows, columns)), shape=(cell.size, cell.size)
    )
    known, field = np.zeros(shape, dtype=bool), np.ones(shape)
    known[0] = known[depth, : half_width + 1] = True
    field[depth, : half_width + 1] = 0.0
    free, flat = ~known.ravel(), field.ravel().copy()
    laplace = laplace.tocsr()[free]
    flat[free] = linalg.spsolve(laplace[:, free].tocsc(), -laplace[:, ~free] @ flat[~free])
    field = flat.reshape(shape)
    into = field[0] - field[1]
    into[0] /= 2
    return 2 * into.sum()


def test_the_shape_of_the_way_in_agrees_with_a_grid(p):
    """A trench 0.30 m wide with its middle 0.275 m deep; the error of the grid halves with its
    step, so twice the fine value less the coarse one is close to the limit."""
    by_grid = 2 * strip_by_grid(12, 22) - strip_by_grid(6, 11)
    assert air.strip_shape(0.30, 0.275, p)[0] == pytest.approx(by_grid, rel=0.015)


def test_narrow_and_wide_forms_meet(p):
    assert air.strip_shape(0.9999, 1.0, p) == pytest.approx(
        float(air.strip_shape(1.0, 1.0, p)[0]), rel=0.01
    )


def test_water_of_the_profile_is_neither_made_nor_lost(p):
    rng = np.random.default_rng(5)
    rain = rng.exponential(0.004, 200) * (rng.random(200) < 0.5)
    loss = np.full(200, 0.0015)
    water = soil.water_balance(rain, loss, LOAM, 0.45, p)
    stored = 0.27 * 0.45 + rain.sum() - water.drainage_m.sum()
    assert water.drainage_m.sum() < rain.sum()
    assert np.all(water.above_capacity >= 0)
    # Evaporation is cut only at the wilting point, so storage cannot end below this line.
    assert stored - loss.sum() <= 0.27 * 0.45 + water.above_capacity[0, -1] * 0.45 + 1e-12


def test_a_downpour_leaves_water_in_the_pores_for_days(p):
    rain = np.zeros(6)
    rain[0] = 0.04
    water = soil.water_balance(rain, np.zeros(6), LOAM, 0.45, p)
    # Half of the 40 mm leaves each day.
    np.testing.assert_allclose(water.drainage_m[0], 0.04 / 2 ** np.arange(1, 7), rtol=1e-12)
    np.testing.assert_allclose(water.above_capacity[0, 0], 0.02 / 0.45, rtol=1e-12)


def test_water_needs_as_many_days_as_temperature(p):
    burial = usual(p)
    with pytest.raises(ValueError, match="give 9 days"):
        soil.bury(burial, LOAM, np.full(9, 12.0), p, soil.Water.still(8))


def test_a_portion_of_a_known_ferment_keeps_its_make(p):
    whole = soil.Portion.typical(12.0, p)
    part = soil.Portion.of(whole, 3.0)
    assert part.nitrogen_kg[0] == pytest.approx(whole.nitrogen_kg[0] / 4)
    assert part.ph[0] == whole.ph[0]
    with pytest.raises(ValueError, match="fresh_kg must be above 0"):
        soil.Portion.of(soil.Portion.typical(0.0, p), 1.0)
