"""Beds, plantings and finished vessels as a file has them."""

import datetime as dt

import numpy as np
import pytest

from sourloam.evidence import book
from sourloam.site import SiteError, loads
from sourloam.site.beds import to_beds, to_finished

FILE = """
[site]
name = "Flat"
kind = "home"
start = 2026-03-02

[climate]
record = "mild-oceanic"

[room]
temperature = "20 °C"

[[scraps]]
from = "people"
people = 3

[[vessel]]
name = "pail"
volume = "19 L"

[ground]
texture = "loam"
bed_area = "12 m²"

[[bed]]
name = "Long bed"
length = "6 m"
width = "120 cm"
salt = "1.1 dS/m"
nitrogen_limit = "12 g/m2"

[[bed.planting]]
crop = "potato"
from = "04-20"
to = "08-15"
sown = false

[[bed.planting]]
crop = "leek"
from = "09-01"
to = "02-28"
harvest = "12-01"

[[finished]]
name = "first pail"
ready = 2026-04-10
mass = "12 kg"
nitrogen = "7 g/kg"
meat = "none"
"""

SLIPS = [
    ('"potato"', '"potatoe"', r'bed\[1\]\.planting\[1\]\.crop: .*did you mean "potato"\?'),
    ('"potato"', '"xyzzy"', r"no such crop; sourloam sources crops lists them all"),
    ('"04-20"', '"09-20"', r"leek goes in before potato is out|potato goes in before leek is out"),
    ('"1.1 dS/m"', "1.1", r'bed\[1\]\.salt: found 1\.1; write salt of the soil as "1\.2 dS/m"'),
    ('"1.1 dS/m"', '"99 dS/m"', r"bed\[1\]\.salt: .*0 to 40"),
    ('"12-01"', "2026-12-01", r"harvest and from differ"),
    ('length = "6 m"\n', "", r"bed\[1\]\.length: missing"),
    ('"6 m"', "6", r'bed\[1\]\.length: found 6; write the unit, e\.g\. "4 m"'),
    ('"12 g/m2"', '"900 g/m2"', r"bed\[1\]\.nitrogen_limit: .*between 0 g/m2 and 200 g/m2"),
    ('meat = "none"', 'meat = "lots"', r"finished\[1\]\.meat: found \"lots\""),
    (
        "[[finished]]",
        '[[bed]]\nname = "Long bed"\nlength = "2 m"\nwidth = "1 m"\n[[finished]]',
        r'two beds are named "Long bed"',
    ),
    ('texture = "loam"\nbed_area = "12 m²"', "none = true", r"bed\[1\]: texture is missing"),
]


@pytest.mark.parametrize(("there", "instead", "said"), SLIPS)
def test_a_slip_in_a_bed_is_told_in_one_line(there, instead, said):
    assert there in FILE
    with pytest.raises(SiteError, match=said) as caught:
        loads(FILE.replace(there, instead, 1))
    assert "\n" not in str(caught.value)


def beds(start=dt.date(2026, 3, 2), until=dt.date(2027, 3, 1)):
    site = loads(FILE)
    return to_beds(site.beds, site.ground, start, until)


def test_a_bed_reaches_the_garden_in_si_units():
    (bed,) = beds()
    assert bed.area_m2 == pytest.approx(7.2)
    assert bed.nitrogen_limit_kg_m2 == pytest.approx(0.012)
    assert bed.ece_ds_m == pytest.approx(1.1)
    assert bed.texture == "loam"
    assert bed.depth_m == pytest.approx(0.4)


def test_yearly_plantings_come_back_and_run_over_the_turn_of_the_year():
    (bed,) = beds()
    crops = [(p.crop, p.start_day, p.end_day) for p in bed.plantings]
    start = dt.date(2026, 3, 2)
    assert (
        "potato",
        (dt.date(2026, 4, 20) - start).days,
        (dt.date(2026, 8, 15) - start).days,
    ) in crops
    assert (
        "leek",
        (dt.date(2026, 9, 1) - start).days,
        (dt.date(2027, 2, 28) - start).days,
    ) in crops
    assert (
        "potato",
        (dt.date(2027, 4, 20) - start).days,
        (dt.date(2027, 8, 15) - start).days,
    ) in crops


def test_the_harvest_follows_the_planting():
    (bed,) = beds()
    leek = next(p for p in bed.plantings if p.crop == "leek" and p.start_day > 0)
    assert leek.harvest_day == (dt.date(2026, 12, 1) - dt.date(2026, 3, 2)).days


def test_a_finished_vessel_holds_what_was_analysed():
    p = book().central([k for k in book().rows if k.startswith("soil.")])
    (vessel,) = to_finished(loads(FILE).finished, dt.date(2026, 3, 2), p)
    assert vessel.ready_day == 39
    assert vessel.fresh_kg == pytest.approx(12)
    assert vessel.nitrogen_kg == pytest.approx(0.084)
    assert not vessel.with_meat
    assert np.all(vessel.ferment.ammonium_nitrogen_kg < vessel.ferment.nitrogen_kg)


def test_a_vessel_finished_before_the_start_is_ready_at_once():
    p = book().central([k for k in book().rows if k.startswith("soil.")])
    (vessel,) = to_finished(loads(FILE).finished, dt.date(2026, 6, 1), p)
    assert vessel.ready_day == 0


def test_the_nitrogen_limit_of_the_ground_holds_for_beds_without_their_own():
    ground = 'bed_area = "12 m²"\nnitrogen_limit = "8 g/m2"'
    more = FILE.replace('bed_area = "12 m²"', ground) + (
        '\n[[bed]]\nname = "Short bed"\nlength = "2 m"\nwidth = "1 m"\n'
    )
    site = loads(more)
    long, short = to_beds(site.beds, site.ground, dt.date(2026, 3, 2), dt.date(2027, 3, 1))
    assert long.nitrogen_limit_kg_m2 == pytest.approx(0.012)
    assert short.nitrogen_limit_kg_m2 == pytest.approx(0.008)
