"""Conversions against the legal definitions and printed tables."""

import pytest

from sourloam.units import parse

INCH = 0.0254  # international yard and pound agreement of 1959: 1 yd = 0.9144 m


def test_a_us_gallon_is_231_cubic_inches():
    # NIST Handbook 44, Appendix C.
    assert parse("1 US gal", "volume") == pytest.approx(231 * INCH**3, rel=1e-14)
    assert parse("1 US gal", "volume") == pytest.approx(128 * parse("1 US fl oz", "volume"))
    assert parse("1 US cup", "volume") == pytest.approx(8 * parse("1 US fl oz", "volume"))


def test_an_imperial_gallon_is_fixed_by_law_and_is_277_cubic_inches():
    # Weights and Measures Act 1985 (UK), Schedule 1: 4.54609 cubic decimetres, 160 fl oz.
    gallon = parse("1 imp gal", "volume")
    assert gallon == pytest.approx(4.54609e-3, rel=1e-14)
    assert gallon / INCH**3 == pytest.approx(277.42, abs=0.005)
    assert gallon / parse("1 US gal", "volume") == pytest.approx(1.20095, abs=5e-6)
    assert gallon == pytest.approx(160 * parse("1 imp fl oz", "volume"))


def test_the_pound_and_the_yard_are_those_of_the_law():
    # Weights and Measures Act 1985 (UK), section 1.
    assert parse("1 lb", "mass") == pytest.approx(0.45359237, rel=1e-15)
    assert parse("16 oz", "mass") == pytest.approx(0.45359237, rel=1e-14)
    assert parse("1 yd", "length") == pytest.approx(0.9144, rel=1e-15)
    assert parse("36 in", "length") == pytest.approx(0.9144, rel=1e-14)


def test_a_pound_in_a_cubic_yard_is_0_593276_kg_m3():
    assert parse("1 lb/cu yd", "density") == pytest.approx(0.593276, abs=5e-7)


DILUTIONS = [
    ("US tbsp", "US gal", 128.0),
    ("US tbsp", "imp gal", 153.7),
    ("metric tbsp", "US gal", 126.2),
    ("metric tbsp", "imp gal", 151.5),
    ("uk tbsp", "US gal", 106.6),
    ("uk tbsp", "imp gal", 128.0),
    ("au tbsp", "US gal", 94.6),
    ("au tbsp", "imp gal", 113.7),
    ("canadian tbsp", "US gal", 133.2),
    ("canadian tbsp", "imp gal", 160.0),
]


@pytest.mark.parametrize(("spoon", "gallon", "parts"), DILUTIONS)
def test_two_tablespoons_to_a_gallon(spoon, gallon, parts):
    """Worked by hand from the definitions; two US tablespoons to a US gallon are 1:128."""
    liquid, water = parse(f"2 {spoon}", "volume"), parse(f"1 {gallon}", "volume")
    assert water / liquid == pytest.approx(parts, abs=0.051)
    if parts in (128.0, 160.0):
        assert water / liquid == pytest.approx(parts, rel=1e-12)
