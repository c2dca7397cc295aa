"""The whole batch and its page."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from sourloam.bran import Answer, Case, Drying, Mixture, Wish, answer, make_batch
from sourloam.bran.costing import costing
from sourloam.bran.measures import cups
from sourloam.bran.steps import Setting, packing_day
from sourloam.bran.supplying import MonthDemand, Need, need, start_next, together, weakening

START = dt.date(2026, 3, 2)
SETTING = Setting(START, container_m3=0.02)
CASE = Case(
    Wish(10.0, Mixture({"wheat_bran": 1.0}), inoculum="serum"),
    room_c=22,
    drying=Drying("oven", 22, 0.5),
    store_c=15,
)


@pytest.fixture(scope="module")
def made(drawn):
    return make_batch(CASE, drawn)


@pytest.fixture(scope="module")
def told(made):
    return answer(made, SETTING, {"carrier": 0.8, "energy": 0.3}, seed=7)


def test_as_much_as_was_wanted_comes_out(made):
    assert np.median(made.product_kg) == pytest.approx(10, rel=0.01)


def test_the_strength_of_the_packed_bran_follows_from_souring_and_drying(made):
    grown, lost = made.soured.log10_cells_per_g_dry, made.dried.loss_log10
    assert made.strength[:, 0] == pytest.approx(grown - lost + np.log10(1 - made.end_moisture))


def test_cooler_stores_keep_longer(made, drawn):
    warm = make_batch(replace(CASE, store_c=25), drawn)
    assert np.median(warm.good_days) < np.median(made.good_days)
    assert (made.good_days_cool >= made.good_days).all()


def test_damp_air_leaves_bran_damp_and_weak(made, drawn):
    damp = make_batch(replace(CASE, drying=Drying("air", 20, 0.75)), drawn)
    assert not damp.reaches_goal.any()
    assert np.median(damp.activity) > 0.7
    assert np.median(damp.good_days) < np.median(made.good_days)
    text = answer(damp, SETTING, {}, seed=7).drying.text
    assert "too damp to pack as dry" in text
    assert "gentle warmth (up to 35 °C)" in text


def test_nearly_saturated_air_leaves_bran_wet_and_says_so(drawn):
    for way in ("air", "oven"):
        wet = make_batch(replace(CASE, drying=Drying(way, 20, 0.99, oven_c=20)), drawn)
        told = answer(wet, SETTING, {}, seed=7)
        assert "too damp to pack as dry" in told.drying.text
        assert told.drying.days.median is not None
        assert told.drying.chance_dry == 0


def test_moist_bran_is_kept_closed_and_never_dried(drawn):
    moist = make_batch(replace(CASE, drying=Drying("none", 20, 0.5)), drawn)
    told = answer(moist, SETTING, {}, seed=7)
    assert told.drying is None
    assert not [s for s in told.steps if s.kind == "dry"]
    assert any("airless" in line for line in told.label)
    assert np.median(moist.product_kg) > 9.9


def test_rice_bran_is_not_advised_beyond_three_months(drawn):
    rice = make_batch(replace(CASE, wish=Wish(5.0, Mixture({"rice_bran": 1.0})), store_c=0), drawn)
    told = answer(rice, SETTING, {}, seed=7)
    assert max(age.months for age in told.ages) == 3
    assert (told.best_before - told.ready).days <= 92


def test_the_page_answers_how_much_of_what_ready_when_good_until_when(told, made):
    assert told.wanted_kg == 10
    assert [line.name for line in told.weighed] == [
        "wheat bran",
        "water",
        "molasses",
        "own sour serum",
    ]
    assert told.ready == START + dt.timedelta(days=packing_day(made) + 1)
    assert told.best_before == told.ready + dt.timedelta(days=made.usual_good_days - 1)
    assert [s.date for s in told.steps] == sorted(s.date for s in told.steps)
    assert {s.kind for s in told.steps} >= {"mix", "close", "vent", "look", "dry", "pack", "check"}


def test_the_label_names_lot_dates_dose_and_allergens(told):
    text = "\n".join(told.label)
    for words in (
        "Lot BRAN-20260302",
        "Mixed 2026-03-02",
        f"Best before {told.best_before.isoformat()} (somewhere from",
        "kept at 15 °C",
        "Dose at first 20 g per kg",
        "NOT FOOD OR FEED",
        "CONTAINS WHEAT (GLUTEN), MILK",
    ):
        assert words in text


@pytest.mark.parametrize(
    "word", ["dust", "people", "mould", "gas", "damp", "food", "heat", "allergens", "rules"]
)
def test_the_usual_cautions_are_there(word, told):
    assert word in {caution.id for caution in told.cautions}


def test_what_is_weighed_out_is_what_the_steps_say(told):
    text = " ".join(step.text for step in told.steps if step.kind == "mix")
    for line in told.weighed:
        middle = line.mass.median
        assert f"{middle:.3g} {line.mass.unit}" in text or f"{middle:.2g} {line.mass.unit}" in text


def test_strength_falls_and_the_dose_rises_with_age(told):
    strengths = [age.strength.median for age in told.ages]
    assert strengths == sorted(strengths, reverse=True)
    doses = [age.advised for age in told.ages if age.advised is not None]
    assert doses == sorted(doses)
    assert doses[0] == 20


def test_the_answer_reads_back_from_its_json(told):
    assert Answer.model_validate_json(told.model_dump_json()) == told


def test_us_readers_get_us_units_in_sentences(made):
    text = " ".join(s.text for s in answer(made, Setting(START, "us"), {}, seed=7).steps)
    assert "lb" in text
    assert "°F" in text
    assert "kg" not in text


def test_cost_is_price_times_amount_and_what_has_no_price_is_named(made, told):
    carrier = next(line for line in told.cost.lines if line.name == "carrier")
    assert carrier.cost.median == pytest.approx(0.8 * np.median(made.recipe.carrier_kg), rel=0.01)
    assert told.cost.without_price == ("sugar", "inoculum")
    assert told.cost.per_kg.median == pytest.approx(told.cost.total.median / 10, rel=0.03)
    assert costing(made, {}).total is None
    with pytest.raises(ValueError, match="choose from carrier"):
        costing(made, {"gold": 1.0})


def test_a_mix_too_dry_or_too_wet_is_refused(drawn):
    for moisture, word in ((0.25, "too dry"), (0.6, "too wet")):
        wish = replace(CASE.wish, moisture=moisture)
        with pytest.raises(ValueError, match=word):
            make_batch(replace(CASE, wish=wish), drawn)


def test_cups_follow_the_density_of_the_carrier():
    assert cups(0.245, 245, "metric_cup") == pytest.approx(4.0)
    assert cups(0.058, 245.1, "us_cup") == pytest.approx(1.0, rel=0.001)
    with pytest.raises(KeyError):
        cups(1, 245, "mug")


def test_twenty_grams_of_wheat_bran_are_five_and_a_half_tablespoons(usual):
    """20 g / 245 g/L = 82 mL, of 15 mL each."""
    told = answer(make_batch(CASE, usual), SETTING, {}, seed=7)
    assert told.spoons.median == pytest.approx(20 / 0.245 / 15, rel=0.001)
    us = answer(make_batch(CASE, usual), SETTING, {}, 7, measures=("us_cup", "us_tablespoon"))
    assert us.spoons.median == pytest.approx(20 / 0.245 / 14.787, rel=0.001)


def test_demand_is_summed_day_by_day_over_months_and_years():
    months = [
        MonthDemand(dt.date(2026, m, 1), 0.5, 1.0 if m < 7 else 2.0, 3.0) for m in range(1, 13)
    ]
    found = need(months, dt.date(2026, 6, 16), 30)
    assert found.middle_kg == pytest.approx((15 * 1 + 15 * 2) / (365.25 / 12))
    assert found.until == dt.date(2026, 7, 15)
    assert need(months, dt.date(2031, 6, 16), 30).middle_kg == pytest.approx(found.middle_kg)
    assert need(months, dt.date(2026, 6, 16), 30, 1.5).high_kg == pytest.approx(1.5 * found.high_kg)


def test_no_demand_is_told_as_such():
    with pytest.raises(ValueError, match="asks for no bran"):
        need([], START, 30)
    with pytest.raises(ValueError, match="asks for no bran"):
        need([MonthDemand(START, 0, 0, 0)], START, 30)


def test_a_weakening_lot_needs_a_larger_dose_and_the_next_is_mixed_in_time(made):
    assert weakening(made, 5, 0.02) == pytest.approx(1.0, abs=0.05)
    assert 1.0 < weakening(made, 180, 0.02) <= 2.0
    until = dt.date(2026, 6, 30)
    lead = packing_day(made) + 1
    assert start_next(made, until) + dt.timedelta(days=lead) == dt.date(2026, 7, 1)


def test_wet_brewery_grain_needs_no_water_and_is_not_called_dried(drawn):
    wish = Wish(5.0, Mixture({"spent_grain": 1.0}, moisture=0.76))
    told = answer(make_batch(replace(CASE, wish=wish), drawn), SETTING, {}, seed=7)
    assert "water" not in [line.name for line in told.weighed]
    assert "press out or dry off" in told.steps[0].text
    assert told.carriers == "brewery grain"
    assert "dried brewery grain" not in told.model_dump_json()
    assert Mixture({"spent_grain": 1.0}).words == "dried brewery grain"


def test_us_readers_get_no_metric_figure_alone(made):
    told = answer(made, Setting(START, "us"), {}, seed=7)
    text = " ".join((*(s.text for s in told.steps), *told.tests, told.drying.text))
    assert "centimetre" not in text
    assert "0.39 to 0.79 in" in text
    assert "°C" not in text


def test_places_ask_together_for_the_sum_and_err_apart():
    first, until = dt.date(2026, 3, 2), dt.date(2026, 4, 1)
    found = together([Need(first, until, 1.0, 4.0, 8.0), Need(first, until, 6.0, 10.0, 13.0)])
    assert (found.low_kg, found.middle_kg, found.high_kg) == (9.0, 14.0, 19.0)
    assert (found.first, found.until) == (first, until)


def test_what_moves_the_good_days_most_comes_first_with_both_ends(told, made):
    gaps = [one.better_days - one.worse_days for one in told.movers]
    assert gaps == sorted(gaps, reverse=True)
    assert min(gaps) >= 0
    assert {one.name for one in told.movers} == {"start", "store", "moisture"}
    store = next(one for one in told.movers if one.name == "store")
    assert store.better_days == pytest.approx(np.median(made.good_days_cool))
    assert "in a refrigerator" in store.text


def test_bran_kept_moist_is_not_told_how_dryness_moves_it(drawn):
    moist = make_batch(replace(CASE, drying=Drying("none", 22, 0.5)), drawn)
    told = answer(moist, SETTING, {}, seed=7)
    assert {one.name for one in told.movers} == {"start", "store"}
