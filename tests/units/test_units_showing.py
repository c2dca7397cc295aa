"""Numbers are shown rounded as a person would, and read back to what was shown."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.units import (
    SYSTEMS,
    UNITS,
    parse,
    percent,
    show,
    show_count,
    show_on_bed,
    show_range,
    spoons,
)

SHOWN = [
    (15.9, "mass", "metric", "15.9 kg"),
    (15.9, "mass", "us", "35 lb"),
    (0.0634, "small_mass", "metric", "63 g"),
    (0.0072, "small_mass", "metric", "7.2 g"),
    (1.35, "small_mass", "metric", "1.35 kg"),
    (0.0283495, "small_mass", "us", "1 oz"),
    (93e-6, "small_volume", "metric", "93 mL"),
    (93e-6, "small_volume", "us", "3.1 US fl oz"),
    (0.019, "volume", "metric", "19 L"),
    (0.018927, "volume", "us", "5 US gal"),
    (0.3, "length", "metric", "30 cm"),
    (0.3048, "length", "us", "12 in"),
    (0.0254, "small_length", "us", "1 in"),
    (2.0, "area", "metric", "2 m²"),
    (2.0, "area", "us", "22 sq ft"),
    (20.04, "temperature", "metric", "20 °C"),
    (20.0, "temperature", "us", "68 °F"),
    (-0.2, "temperature", "metric", "0 °C"),
    (5.0, "temperature_difference", "us", "9 °F"),
    (0.15, "mass_per_area", "metric", "150 g/m²"),
    (0.3, "mass_rate", "metric", "0.3 kg a day"),
    (0.3, "mass_rate", "us", "0.66 lb a day"),
    (30e-6, "volume_rate", "metric", "30 mL a day"),
    (0.7, "share", "metric", "70\u00a0%"),
    (0.0123, "share", "metric", "1.2\u00a0%"),
    (128.0, "ratio", "us", "1:128"),
    (0.5, "duration", "metric", "12 hours"),
    (1.0, "duration", "metric", "1 day"),
    (14.0, "duration", "metric", "14 days"),
    (52.0, "duration", "metric", "7.4 weeks"),
    (0.0, "mass", "metric", "0 kg"),
    (math.inf, "duration", "metric", "beyond the horizon"),
    (math.nan, "mass", "us", "not known"),
]


@pytest.mark.parametrize(("value", "dimension", "system", "text"), SHOWN)
def test_a_number_is_shown_in_the_readers_units(value, dimension, system, text):
    assert show(value, dimension, system) == text


RANGES = [
    (60e-6, 120e-6, "small_volume", "60 to 120 mL"),
    (42, 56, "duration", "6 to 8 weeks"),
    (15.91, 15.93, "mass", "15.9 kg"),
    (40, math.inf, "duration", "5.7 weeks to beyond the horizon"),
    (math.inf, math.inf, "duration", "beyond the horizon"),
    (-5, 5, "temperature", "-5 to 5 °C"),
]


@pytest.mark.parametrize(("low", "high", "dimension", "text"), RANGES)
def test_a_range_is_shown_in_one_unit(low, high, dimension, text):
    assert show_range(low, high, dimension) == text


@pytest.mark.parametrize("dimension", sorted(UNITS))
@pytest.mark.parametrize("system", SYSTEMS)
def test_every_dimension_can_be_shown_in_every_system(dimension, system):
    assert any(digit in show(1.0, dimension, system) for digit in "123456789")


def test_an_unknown_system_or_dimension_is_an_error():
    with pytest.raises(KeyError):
        show(1.0, "mass", "troy")
    with pytest.raises(KeyError):
        show(1.0, "charm", "metric")


@given(
    st.floats(1e-6, 1e4),
    st.sampled_from(["mass", "small_mass", "volume", "small_volume", "length", "area"]),
    st.sampled_from(SYSTEMS),
)
@settings(max_examples=150, derandomize=True, deadline=None)
def test_what_is_shown_reads_back_within_the_rounding(value, dimension, system):
    assert parse(show(value, dimension, system), dimension) == pytest.approx(value, rel=0.051)


def test_a_level_us_tablespoon_of_wheat_bran_is_three_and_a_half_grams():
    assert spoons(0.00362275738, 245) == pytest.approx(1, rel=1e-6)
    assert spoons(0.0049, 245, "australian_tablespoon") == pytest.approx(1, rel=1e-6)
    assert spoons(0.00725, 245) == pytest.approx(2.0, rel=2e-3)
    with pytest.raises(KeyError):
        spoons(0.1, 245, "shovel")


def test_a_nutrient_on_a_bed_is_told_on_a_square_metre_or_on_100_square_feet():
    assert show_on_bed(0.017) == "17 g/m²"
    assert show_on_bed(0.017, "us") == "5.6 oz on 100 sq ft"


def test_a_share_is_told_in_whole_hundredths_that_stay_on_one_line():
    assert [percent(share) for share in (0, 0.596, 1)] == ["0\u00a0%", "60\u00a0%", "100\u00a0%"]


@pytest.mark.parametrize(
    ("power", "text"),
    [
        (7.2, "16 million"),
        (4.4, "25,000"),
        (6, "1 million"),
        (5.9999, "1 million"),
        (9.1, "1.3 billion"),
        (1, "10"),
        (-0.1, "none"),
    ],
)
def test_a_count_of_many_is_said_as_people_say_it(power, text):
    assert show_count(power) == text
