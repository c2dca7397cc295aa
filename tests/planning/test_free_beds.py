"""When crops leave a bed free, and what each bed may be given in a year."""

import datetime as dt

import numpy as np
import pytest

from sourloam.evidence import book
from sourloam.planning.free_beds import FURTHER, bed_rooms, digger
from sourloam.planning.waiting import stated

FIRST = dt.date(2026, 1, 1)
BED = """
[[bed]]
name = "Long bed"
length = "5 m"
width = "1.2 m"
[[bed.planting]]
crop = "potato"
from = "05-01"
to = "08-31"
sown = false
"""


def rooms_of(site, wait=20.0, with_meat=False):
    digging = digger(site, with_meat, False)
    return bed_rooms(site, (FIRST, 730), digging, {"loam": stated(wait, 0, 4)})


def day(month, day_of_month):
    return (dt.date(2026, month, day_of_month) - FIRST).days


def test_a_bed_is_free_until_the_wait_before_planting_and_again_after_the_crop_is_out(make_site):
    bed, _ = rooms_of(make_site(add=BED))
    assert bed.free[day(4, 11)]  # 20 days before 1 May
    assert not bed.free[day(4, 12)]
    assert not bed.free[day(8, 31)]
    assert bed.free[day(9, 1)]


def test_a_longer_wait_closes_the_bed_sooner(make_site):
    bed, _ = rooms_of(make_site(add=BED), wait=50.0)
    assert bed.free[day(3, 12)]
    assert not bed.free[day(3, 13)]


def test_ground_beside_the_beds_counts_as_one_that_is_always_free(make_site):
    bed, further = rooms_of(make_site(add=BED))
    assert bed.area_m2 == pytest.approx(6.0)
    assert further.name == FURTHER
    assert further.area_m2 == pytest.approx(14.0)
    assert further.free.all()
    assert further.nitrogen_kg == pytest.approx(14 * 0.017)
    assert further.phosphorus_kg == np.inf
    assert further.carried_kg == pytest.approx(14 * 0.0022)


def test_what_a_bed_was_given_already_counts_against_its_limit(make_site):
    given = BED.replace('width = "1.2 m"', 'width = "1.2 m"\nnitrogen_given = "7 g/m2"')
    bed, _ = rooms_of(make_site(add=given))
    assert bed.nitrogen_kg == pytest.approx(6 * 0.010)


def test_phosphorus_has_a_ceiling_only_where_the_bed_states_one(make_site):
    stated = BED.replace('width = "1.2 m"', 'width = "1.2 m"\nphosphorus_limit = "1.5 g/m2"')
    bare, own = (rooms_of(make_site(add=text))[0] for text in (BED, stated))
    assert bare.phosphorus_kg == np.inf
    assert own.phosphorus_kg == pytest.approx(6 * 0.0015)
    assert own.carried_kg == bare.carried_kg >= 6 * 0.0022


def test_a_bed_of_a_few_hand_widths_is_still_a_bed(make_site):
    (only,) = rooms_of(make_site(replace={'"20 m²"': '"0.2 m²"'}))
    assert only.area_m2 == pytest.approx(0.2)


def test_a_bed_too_shallow_for_a_trench_takes_nothing(make_site):
    shallow = BED.replace('width = "1.2 m"', 'width = "1.2 m"\ndepth = "20 cm"')
    bed, _ = rooms_of(make_site(add=shallow))
    assert not bed.free.any()
    assert bed.trench_m == 0


def test_ferment_with_meat_keeps_away_from_a_crop_that_is_soon_eaten_raw(make_site):
    raw = BED.replace("potato", "lettuce").replace(
        "sown = false", 'sown = false\nharvest = "07-01"'
    )
    plain, _ = rooms_of(make_site(add=raw))
    meaty, _ = rooms_of(make_site(add=raw), with_meat=True)
    assert plain.free[day(4, 11)]
    assert not meaty.free[day(4, 11)]
    assert meaty.free[day(3, 1)] or meaty.free[day(2, 15)]
    assert (np.asarray(plain.free) | ~np.asarray(meaty.free)).all()


def test_a_site_without_ground_has_no_beds(make_site):
    bare = {'texture = "loam"\nbed_area = "20 m²"\n': "none = true\n"}
    assert rooms_of(make_site(replace=bare)) == ()


def test_a_wait_beyond_the_time_foreseen_counts_as_a_winter(make_site):
    bed, _ = rooms_of(make_site(add=BED), wait=np.inf)
    longest = int(book()["ground.wait.longest"].value)
    planting = dt.date(2027, 5, 1) - FIRST
    assert bed.free[planting.days - longest]
    assert not bed.free[planting.days - longest + 1]


def test_the_sites_own_nitrogen_limit_holds_for_ground_that_no_bed_describes(make_site):
    own = {'bed_area = "20 m²"': 'bed_area = "20 m²"\nnitrogen_limit = "10 g/m2"'}
    bed, further = rooms_of(make_site(replace=own, add=BED))
    assert further.nitrogen_kg == pytest.approx(14 * 0.010)
    assert bed.nitrogen_kg == pytest.approx(6 * 0.010)


def test_ground_that_is_cold_but_not_frozen_is_open(case):
    cold = (case.soil_c > 1) & (case.soil_c < 4)
    assert cold.sum() > 100
    assert case.open_ground[cold].mean() > 0.9
