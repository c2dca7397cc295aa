"""Single steps of the ground worked by hand: washing out, pH, minerals, limits."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from sourloam import soil
from sourloam.evidence import book
from sourloam.soil import readiness

IDS = tuple(i for e in soil.EVIDENCE for i in book().ids(e))
LOAM = soil.Soil("loam", 6.5)
SOIL_KG = 1100 * (0.045 - 5 / 950)
FROZEN = -8.0  # nothing turns over


@pytest.fixture(scope="module")
def p():
    return book().central(IDS)


def first_day(p, ferment=None, celsius=FROZEN, drained_m=0.0, ground=LOAM):
    ferment = ferment or soil.Portion.typical(5.0, p)
    water = soil.Water(np.array([drained_m]), np.zeros(1))
    burial = soil.usual_burial(ferment, 1.0, p)
    return soil.bury(burial, ground, np.array([celsius]), p, water)


def test_a_day_of_drainage_washes_out_nitrate_as_from_a_tank_mixed_in_part(p):
    course = first_day(p, drained_m=0.02)
    native = 10e-6 * SOIL_KG
    # 0.6 of 20 mm through soil 0.45 m deep that holds 0.27 of water.
    washed = native * (1 - np.exp(-0.6 * 0.02 / (0.27 * 0.45)))
    assert course.leached_n_kg[0, 0] == pytest.approx(washed, rel=1e-9)


def test_ph_on_the_first_day_balances_the_charges(p):
    """The same balance written anew and solved by another method."""
    ferment = soil.Portion.typical(5.0, p)
    acids = {3.86: 0.075 / 0.090078, 4.756: 0.020 / 0.060052}
    bases = sum(mol / (1 + 10 ** (pka - 4.0)) for pka, mol in acids.items())
    ammonium = ferment.ammonium_nitrogen_kg[0] / 0.014007
    litres = 1000 * SOIL_KG / 1100 * 0.27
    course = first_day(p, ferment)
    co2 = 0.003 + 0.2095 * 1.27 * (1 - course.oxygen_share[0, 0])

    def excess(ph):
        left = bases - ammonium + ammonium / (1 + 10 ** (ph - 9.25))
        left -= sum(mol / (1 + 10 ** (pka - ph)) for pka, mol in acids.items())
        dissolved = litres * 0.034 * 10**-6.35
        left -= dissolved * (co2 * 10**ph - 0.003 * 10**6.5)
        return left - 0.020 * SOIL_KG * (ph - 6.5)

    assert course.ph[0, 0] == pytest.approx(brentq(excess, 3, 10), abs=1e-4)


def test_bicarbonate_keeps_the_ph_from_running_up(p):
    q = p.with_values({"soil.carbonate.henry": 1e-9})
    burial = soil.usual_burial(soil.Portion.typical(12.0, p), 1.0, p)
    with_it, without = (soil.bury(burial, LOAM, np.full(40, 15.0), v) for v in (p, q))
    assert without.ph.max() > with_it.ph.max() + 0.2


def test_potassium_is_there_at_once_and_phosphorus_in_part(p):
    ferment = soil.Portion.typical(5.0, p)
    course = first_day(p, ferment)
    assert course.available_k_kg[0, 0] == pytest.approx(0.9 * 5 * 0.25 * 0.015, rel=1e-9)
    assert course.available_p_kg[0, 0] == pytest.approx(0.4 * 5 * 0.25 * 0.004, rel=1e-3)
    warm = soil.bury(soil.usual_burial(ferment, 1.0, p), LOAM, np.full(200, 20.0), p)
    assert warm.available_p_kg[0, -1] == pytest.approx(0.0050, rel=0.2)
    assert np.all(np.diff(warm.available_p_kg[0]) >= 0)


@pytest.mark.parametrize(
    ("plants", "acids", "oxygen", "ammonia", "salt"),
    [("seed", 0.8, 0.10, 5.0, 4), ("tender", 2.0, 0.05, 6.25, 4), ("tolerant", 4, 0.05, 12.5, 8)],
)
def test_limits_are_harmful_concentrations_over_their_safety(
    p, plants, acids, oxygen, ammonia, salt
):
    limits = readiness.tolerance(plants, p)
    assert limits.acids_mmol_per_kg[0] == pytest.approx(acids)
    assert limits.oxygen_share[0] == pytest.approx(oxygen / 0.2095)
    assert limits.ammonia_mg_n_per_kg[0] == pytest.approx(ammonia)
    assert limits.ece_ds_m[0] == salt


def test_butyric_acid_counts_twice(p):
    plain = soil.Portion.typical(5.0, p)
    spoilt = replace(plain, butyric_kg=np.array([0.010]))
    more = first_day(p, spoilt).acids_mmol_per_kg[0, 0] - first_day(p).acids_mmol_per_kg[0, 0]
    # Its carbon comes out of the decomposable matter, whose lumps are then a trace less sour.
    assert more == pytest.approx(2 * 1000 * 0.010 / 0.088106 / SOIL_KG, rel=1e-3)


def test_acid_carbon_is_partly_built_in_and_given_back_within_weeks(p):
    """Of acid carbon 0.55 is respired at once; half of the rest dies in 61 d at 20 °C and leaves
    0.779 of itself as CO2 (20 % clay)."""
    ferment = replace(
        soil.Portion.typical(1.0, p),
        nitrogen_kg=np.zeros(1),
        ammonium_nitrogen_kg=np.zeros(1),
        carbon_kg=np.array([0.012011 * (3 * 0.015 / 0.090078 + 2 * 0.004 / 0.060052) * 1.00001]),
    )
    burial = soil.usual_burial(ferment, 1.0, p)
    course = soil.bury(burial, LOAM, np.full(66, 20.0), p)
    share = course.respired_c_kg[0] / ferment.carbon_kg[0]
    assert share[6] == pytest.approx(0.55 + 0.45 * 0.779 * (1 - np.exp(-0.0113 * 4)), abs=0.015)
    late = 0.45 * np.exp(-0.0113 * 63)
    assert course.carbon_left_kg[0, 65] / ferment.carbon_kg[0] == pytest.approx(
        late + (0.45 - late) * (1 - 0.779), rel=0.03
    )
