"""How long the ground needs after a burial: the soil room's answer, by day of the year."""

import numpy as np
import pytest

from sourloam import soil
from sourloam.evidence import book
from sourloam.planning.trenches import Trench
from sourloam.planning.waiting import EVIDENCE, ask_soil, stated


@pytest.fixture(scope="module")
def few():
    ids = [key for prefix in (*EVIDENCE, "ground") for key in book().ids(prefix)]
    return book().sample(tuple(dict.fromkeys(ids)), 30, np.random.default_rng(4))


@pytest.fixture(scope="module")
def ask(few):
    def asked(load_kg_m=4.0, celsius=None, width=0.3):
        day = np.arange(3 * 365)
        year = (
            11 - 8 * np.cos(2 * np.pi * (day - 15) / 365) if celsius is None else celsius + 0 * day
        )
        weather = (np.repeat(year[None], 30, axis=0), soil.Water.still(len(day)))
        trench = Trench(width=width, depth=0.35, spacing=0.6, cover=0.2)
        return ask_soil(soil.Soil("loam", 6.5), load_kg_m, trench, weather, few)

    return asked


def test_in_steady_soil_the_wait_is_that_of_a_burial_on_any_day(ask, few):
    waiting = ask(celsius=12.0)
    burial = soil.usual_burial(soil.Portion.typical(4.0, few), 1, few)
    course = soil.bury(burial, soil.Soil("loam", 6.5), np.full((30, 120), 12.0), few)
    for day in (365, 401, 640, 729):
        np.testing.assert_array_equal(waiting.on(np.array([day]))[:, 0], course.sow_day)
        np.testing.assert_array_equal(
            waiting.on(np.array([day]), "tender")[:, 0], course.transplant_tender_day
        )


def test_ferment_buried_in_cold_soil_waits_longer_than_in_warm(ask):
    waiting = ask()
    january, july = (np.median(waiting.on(np.array([365 + day]))) for day in (10, 190))
    assert january > 1.5 * july


def test_more_ferment_on_a_metre_waits_longer(ask):
    thin, thick = (np.median(ask(load_kg_m=load).on(np.array([500]))) for load in (3.0, 9.0))
    assert thick > 1.3 * thin


def test_a_wider_trench_with_the_same_load_on_its_area_waits_hardly_longer(ask):
    usual, wide, heaped = (
        np.median(ask(load_kg_m=load, width=width).on(np.array([500])))
        for load, width in ((4.0, 0.3), (8.0, 0.6), (8.0, 0.3))
    )
    assert wide < 1.2 * usual  # its sides draw in a smaller share of the air
    assert heaped > 1.3 * wide


def test_an_autumn_burial_that_waits_for_spring_is_followed_to_its_sowing(ask):
    day = np.array([365 + 300])
    assert np.isfinite(np.median(ask(load_kg_m=8.0, celsius=None).on(day)))


def test_where_the_middle_wait_lasts_beyond_a_season_less_is_laid_on_a_metre(ask):
    much = ask(load_kg_m=18.0, celsius=8.0)
    assert much.load_share < 1
    day = np.array([500])
    same = ask(load_kg_m=18.0 * much.load_share, celsius=8.0)
    np.testing.assert_array_equal(much.on(day), same.on(day))
    assert ask(load_kg_m=4.0, celsius=15.0).load_share == 1


def test_crops_that_follow_soon_are_reckoned_with_ferment_laid_half_as_thick(ask):
    waiting, days = ask(load_kg_m=6.0), np.array([393, 505, 617])
    half = ask(load_kg_m=3.0)
    np.testing.assert_array_equal(waiting.on(days, thin=True), half.on(days))
    middle = np.median(half.on(days), axis=0)
    assert (waiting.cautious(days) >= middle).all()


def test_set_out_plants_wait_less(ask):
    waiting, days = ask(), np.array([400, 500, 600])
    assert (waiting.on(days, "tolerant") <= waiting.on(days)).all()


def test_a_wait_of_ones_own_is_the_same_on_every_day():
    waiting = stated(21.0, 365, 5)
    assert (waiting.on(np.array([365, 500, 900]), "tolerant") == 21).all()


def test_what_holds_back_the_longest_waits_is_known_and_nothing_of_a_stated_one(ask):
    days = np.arange(365, 730, 28)
    cold, own = ask(celsius=4.0), stated(20.0, 365, 4)
    waits = cold.on(days)
    late = float(np.quantile(waits, 0.9, method="nearest"))
    assert cold.mostly_held_by(days, waits, late) == "acids"
    assert own.mostly_held_by(days, own.on(days), 0.0) == ""
