"""The plan's figures against what practitioners say.

These are ranges of common practice, not measurements: nobody has published the filling of a
weighed household vessel. Agreement shows that a plan stands in the world people know; it does
not prove the model. Where ours lies outside, the test is marked as a miss and must stay one.

Sources: common practice without a source for six to eight weeks, about a week's rest, 60-120 mL
each three to four days; the rate of 0.28-0.38 kg a day that goes with six to eight weeks was
computed beforehand with a simpler packing balance (19 L, 16.9 L usable, weighted plate, 20.4 %
dry matter with bran, 20 g bran per kg). City guidance for the rest: Kashiwara and Mobara 7-14
days, Tokai 10 days.
"""

from functools import cache

import numpy as np
import pytest

from sourloam.planning import filling
from sourloam.planning.case import foresee
from sourloam.planning.moving import _dry_mix
from sourloam.planning.resting import rest_from
from sourloam.site import loads

SITE = """
[site]
name = "Practice"
kind = "home"
start = 2026-05-04
[climate]
monthly_means = [4, 5, 7, 9, 12, 15, 17, 17, 15, 11, 7, 5]
unit = "°C"
[room]
kind = "indoors"
temperature = "20 °C"
[[scraps]]
from = "measured"
amount = "{kg} kg/day"
spread = 0.01
mix = "trimmings"
[[vessel]]
name = "19 L"
volume = "19 L"
plate = "2.5 kg"
[bran]
dose = "20 g/kg"
[ground]
texture = "loam"
bed_area = "20 m²"
wait = "14 days"  # of the ground, which no figure here asks
"""
MEMBERS = 100
DAYS_PER_DRAINING = 3.5


@cache
def filled(kg, dry_percent):
    """One kind filled in spring at a rate, with a mix of so much dry matter before bran."""
    case = foresee(loads(SITE.format(kg=kg), "practice.toml"), 1, MEMBERS, 1)
    case = _dry_mix(case, np.full(MEMBERS, float(dry_percent)))
    return filling.fill(case, case.kinds[0], "spring"), rest_from(case, case.kinds[0], case.first)


def weeks(kg):
    return np.median(filled(kg, 19)[0].full_day) / 7


@pytest.mark.parametrize("kg", [0.28, 0.30, 0.33])
def test_nineteen_litres_last_six_to_eight_weeks_at_the_rates_that_fit(kg):
    assert 6 <= weeks(kg) <= 8


@pytest.mark.xfail(strict=True, reason="a miss: 5.4 weeks; six weeks fit 0.35 kg a day here")
def test_nineteen_litres_last_six_weeks_at_the_highest_rate_said_to_fit():
    assert weeks(0.38) >= 6


def test_twice_the_rate_fills_in_half_the_time_or_a_little_less():
    assert 0.40 < weeks(0.60) / weeks(0.30) < 0.55


def test_the_rest_at_room_temperature_is_one_to_two_weeks():
    """City guidance, 7-14 days."""
    _, rest = filled(0.30, 19)
    assert 7 <= np.median(rest) <= 14


@pytest.mark.xfail(strict=True, reason="a miss: 11 days in the middle, 9 to 16 in most, chopped")
def test_the_rest_is_about_a_week():
    _, rest = filled(0.30, 19)
    assert np.median(rest) <= 8.5


@pytest.mark.parametrize("dry_percent", [18, 19, 20, 21])
def test_each_draining_gives_sixty_to_a_hundred_and_twenty_millilitres(dry_percent):
    """Mixes led by trimmings, 0.30 kg a day, drained every 3.5 days."""
    liquid = np.median(filled(0.30, dry_percent)[0].daily_liquid_m3) * 1e6 * DAYS_PER_DRAINING
    assert 60 <= liquid <= 120


@pytest.mark.xfail(strict=True, reason="a miss: 32 mL; no source for what scraps drain was found")
def test_each_draining_gives_sixty_millilitres_at_twenty_four_percent_dry_matter():
    liquid = np.median(filled(0.30, 24)[0].daily_liquid_m3) * 1e6 * DAYS_PER_DRAINING
    assert liquid >= 60


def test_drier_household_mixes_hardly_drain():
    """Published mixed food waste holds 26-30 % dry matter: 0-12 mL by the curve used."""
    liquid = np.median(filled(0.30, 28)[0].daily_liquid_m3) * 1e6 * DAYS_PER_DRAINING
    assert liquid < 15


def test_a_full_small_vessel_holds_thirteen_to_sixteen_kilograms():
    """30 lb a bucket (Long Island), 16 kg a bin (Somerset West)."""
    taken = np.median(filled(0.30, 19)[0].taken_kg)
    assert 13.6 <= taken <= 16.0
