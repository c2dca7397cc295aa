"""The five pools against a run published by the model's owners.

Source: Rothamsted-Models/RothC_Py, public repository, commit f2ab6df (2024-03-01), input file
and monthly results: clay 13 %, depth 25 cm, one spin-up year repeated to equilibrium.
"""

import numpy as np
import pytest

from sourloam.evidence import book
from sourloam.soil import turnover

TEMPERATURE = [3.73, 3.08, 5.49, 7.40, 10.94, 14.40, 16.28, 16.24, 13.78, 9.51, 6.22, 4.09]
RAIN = [52.2, 42.9, 35.2, 52.0, 64.9, 46.3, 63.5, 60.6, 58.8, 63.4, 72.5, 60.9]
PAN = [6.6, 17.3, 40.7, 70.5, 103.5, 117.3, 130.1, 106.9, 61.9, 29.5, 8.8, 3.9]
EQUILIBRIUM = {"dpm": 0.145466, "rpm": 5.678121, "bio": 0.740594, "hum": 27.642769}


def spin_up_year():
    return [
        turnover.Month(TEMPERATURE[i], RAIN[i], PAN[i], 1.74 if i == 7 else 0.0, covered=i != 8)
        for i in range(12)
    ]


@pytest.fixture(scope="module")
def parameters():
    return book().central(book().ids("turnover"))


@pytest.fixture(scope="module")
def settled(parameters):
    pools, _ = turnover.settle(spin_up_year(), 13.0, 25.0, parameters, years=1656)
    return pools


@pytest.mark.parametrize("pool", EQUILIBRIUM)
def test_pools_settle_where_the_owners_run_settles(settled, pool):
    assert getattr(settled, pool)[0] == pytest.approx(EQUILIBRIUM[pool], rel=1e-4)


def test_carbon_of_the_soil_settles_at_the_published_total(settled):
    inert = 3.0041
    assert settled.total[0] + inert == pytest.approx(37.211050, rel=1e-5)


# Derived by hand from the published equations, Jenkinson et al. 1990 (rounded there).
@pytest.mark.parametrize(("celsius", "factor"), [(5, 0.497), (10, 1.099), (20, 2.821), (30, 4.791)])
def test_warmth_follows_the_published_curve(parameters, celsius, factor):
    assert turnover.warmth(celsius, parameters)[0] == pytest.approx(factor, rel=2e-3)


# By hand from x = 1.67 (1.85 + 1.60 exp(-0.0786 clay)), share = x / (1 + x).
@pytest.mark.parametrize(("clay", "share"), [(10.0, 0.8116), (23.4, 0.7784), (40.0, 0.7622)])
def test_clay_keeps_carbon_from_the_air(parameters, clay, share):
    assert turnover.respired_share(clay, parameters)[0] == pytest.approx(share, abs=1e-4)


# Rain and open-pan evaporation of Rothamsted, mm, as Table 1 of Coleman and Jenkinson 1999 works
# them (23.4 % clay, 23 cm, under plants); deficits and factors by hand from its equations.
WORKED_RAIN = [74, 59, 62, 51, 52, 57, 34, 55, 58, 56, 75, 71]
WORKED_PAN = [8, 10, 27, 49, 83, 99, 103, 91, 69, 34, 16, 8]
WORKED_DEFICIT = [0, 0, 0, 0, 10.25, 27.50, 44.94, 44.94, 38.69, 8.19, 0, 0]
WORKED_FACTOR = [1, 1, 1, 1, 1, 0.758, 0.2, 0.2, 0.4, 1, 1, 1]


def test_dryness_slows_turnover_as_the_worked_year_says(parameters):
    largest = turnover.largest_deficit_mm(23.4, 23.0, parameters)
    assert largest[0] == pytest.approx(44.94, abs=0.01)
    deficit = np.zeros(1)
    for rain, pan, left, factor in zip(
        WORKED_RAIN, WORKED_PAN, WORKED_DEFICIT, WORKED_FACTOR, strict=True
    ):
        month = turnover.Month(10.0, rain, pan, 0.0, covered=True)
        deficit = turnover.next_deficit_mm(deficit, month, largest, parameters)
        assert deficit[0] == pytest.approx(left, abs=0.02)
        assert turnover.moisture(deficit, largest, parameters)[0] == pytest.approx(factor, abs=2e-3)


def test_bare_soil_dries_to_the_largest_deficit_over_the_published_figure(parameters):
    largest = turnover.largest_deficit_mm(23.4, 23.0, parameters)
    dry = turnover.bare_deficits_mm(np.zeros((1, 60)), np.full((1, 60), 3.0), largest, parameters)
    assert dry[0, 0] == pytest.approx(3.0)
    assert dry[0, -1] == pytest.approx(44.94 / 1.8, abs=0.01)
    assert turnover.moisture(dry, largest[:, None], parameters)[0, -1] == pytest.approx(
        0.839, abs=1e-3
    )
