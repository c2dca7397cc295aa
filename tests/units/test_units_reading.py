"""What people write is read exactly, or refused in one clear line."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.units import UNITS, UnitError, parse

CLEAR = [
    ("19 L", "volume", 0.019),
    ("19l", "volume", 0.019),
    ("5 US gal", "volume", 5 * 3.785411784e-3),
    ("5 imp gal", "volume", 5 * 4.54609e-3),
    ("5 gal (US)", "volume", 5 * 3.785411784e-3),
    ("5 U.S. gallons", "volume", 5 * 3.785411784e-3),
    ("2 tbsp US", "small_volume", 29.5735295625e-6),
    ("20 ºC", "temperature", 20.0),
    ("2 US tbsp", "small_volume", 29.5735295625e-6),
    ("1 1/2 US cups", "volume", 1.5 * 236.5882365e-6),
    ("½ lb", "mass", 0.226796185),
    ("2.5 kg", "mass", 2.5),
    (".5 kg", "mass", 0.5),
    ("1 Mg", "mass", 1000.0),
    ("1 mg", "small_mass", 1e-6),
    ("68 °F", "temperature", 20.0),
    ("-4 F", "temperature", -20.0),
    ("−5 °C", "temperature", -5.0),
    ("293.15 K", "temperature", 20.0),
    ("9 °F", "temperature_difference", 5.0),
    ("5 °C", "temperature_difference", 5.0),
    ("300 mm", "length", 0.3),
    ("12 in", "length", 0.3048),
    ("30 sq ft", "area", 30 * 0.3048**2),
    ("0.3 kg/day", "mass_rate", 0.3),
    ("2.1 kg per week", "mass_rate", 0.3),
    ("30 mL / day", "volume_rate", 30e-6),
    ("150 g/m2", "mass_per_area", 0.15),
    ("0.25 kg/L", "density", 250.0),
    ("70 %", "share", 0.7),
    ("0.7", "share", 0.7),
    ("20 g/kg", "share", 0.02),
    ("1:100", "ratio", 100.0),
    ("1 : 37.5", "ratio", 37.5),
    ("2 weeks", "duration", 14.0),
    ("12 h", "duration", 0.5),
    ("1 year", "duration", 365.25),
]


@pytest.mark.parametrize(("text", "dimension", "expected"), CLEAR)
def test_a_clear_quantity_is_read_exactly(text, dimension, expected):
    assert parse(text, dimension) == pytest.approx(expected, rel=1e-12)


REFUSED = [
    ("5 gal", "volume", "5 US gal or 5 imp gal"),
    ("2 tablespoons", "small_volume", "2 US tbsp or 2 metric tbsp"),
    ("2 T", "small_volume", "2 US tbsp"),
    ("1 cup", "volume", "1 US cup or 1 metric cup"),
    ("3 fl oz", "small_volume", "3 US fl oz or 3 imp fl oz"),
    ("3 fl. oz.", "small_volume", "3 US fl oz or 3 imp fl oz"),
    ("1 ton", "mass", "differs between countries"),
    ("5 kg", "volume", "is no volume: expected 19 L"),
    ("20 oz", "volume", "is no volume"),
    ("5 F", "mass", "is no mass"),
    ("3 kg/day", "mass", "is no mass"),
    ("5 kg", "temperature", "expected 20 °C"),
    ("5 K/day", "temperature", "expected 20 °C"),
    ("5", "mass", "give a unit, for example 2.5 kg"),
    ("5 furlongs", "length", "unknown unit 'furlongs'"),
    ("5 kg/", "mass", "unknown unit"),
    ("2,5 kg", "mass", "write decimals with a point"),
    ("1,000 kg", "mass", "write decimals with a point"),
    ("nan kg", "mass", "is no quantity"),
    ("inf kg", "mass", "is no quantity"),
    ("1e999 kg", "mass", "finite"),
    ("1e12 kg", "mass", "too large"),
    ("1/0 kg", "mass", "divides by zero"),
    ("-3 kg", "mass", "must not be below 0"),
    ("-300 °C", "temperature", "below absolute zero"),
    ("kg", "mass", "is no quantity"),
    ("", "mass", "is no quantity"),
    ("1 kg; rm", "mass", "unknown unit"),
    ("9" * 5000 + " kg", "mass", "is no quantity"),
    ("1:0:3", "ratio", "unknown unit"),
]


@pytest.mark.parametrize(("text", "dimension", "reason"), REFUSED)
def test_an_unclear_quantity_is_refused_in_one_line(text, dimension, reason):
    with pytest.raises(UnitError) as refusal:
        parse(text, dimension)
    message = str(refusal.value)
    assert reason in message
    assert "\n" not in message
    assert len(message) < 220


@pytest.mark.parametrize("odd", [math.nan, math.inf, -math.inf, True, None, [1]])
def test_a_bare_number_must_be_a_finite_number(odd):
    with pytest.raises(UnitError):
        parse(odd, "mass", "kg")


def test_a_bare_number_takes_the_default_unit():
    assert parse(19, "volume", "L") == pytest.approx(0.019, rel=1e-12)
    assert parse("68", "temperature", "°F") == pytest.approx(20, rel=1e-12)
    assert parse("68 °C", "temperature", "°F") == 68


def test_an_ambiguous_default_is_refused_too():
    with pytest.raises(UnitError, match="US gal or"):
        parse("5", "volume", "gal")


@given(st.text(max_size=40), st.sampled_from(sorted(UNITS)))
@settings(max_examples=300, derandomize=True, deadline=None)
def test_any_text_is_read_as_a_finite_number_or_refused(text, dimension):
    try:
        number = parse(text, dimension)
    except UnitError as refusal:
        number, message = 0.0, str(refusal)
    else:
        message = ""
    assert math.isfinite(number)
    assert len(message.splitlines()) <= 1


@given(st.floats(1e-3, 1e5), st.sampled_from(["kg", "g", "lb", "oz", "t"]))
@settings(max_examples=60, derandomize=True, deadline=None)
def test_masses_scale_with_their_number(number, unit):
    assert parse(f"{number!r} {unit}", "mass") == pytest.approx(
        number * parse(f"1 {unit}", "mass"), rel=1e-12
    )
