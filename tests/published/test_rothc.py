"""The five pools against a run published by the model's owners.

Source: Rothamsted-Models/RothC_Py, public repository, commit f2ab6df (2024-03-01), input file
and monthly results: clay 13 %, depth 25 cm, one spin-up year repeated to equilibrium.
"""

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
