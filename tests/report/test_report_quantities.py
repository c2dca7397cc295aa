"""Ranges and chances in words."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import rng

from sourloam.report.page import bar
from sourloam.report.quantities import BEYOND, amount, odds, one, span

UNITS = ("kg", "g", "L", "mL", "m", "m2", "g/m2", "kg/day", "°C", "%", "g/kg", "mL/kg", "days",
         "vessels", "layers", "spoons", "share", "kPa")  # fmt: skip


@pytest.mark.parametrize(
    ("quantity", "system", "said"),
    [
        (rng(26, 21, 33, "days"), "metric", "26 days (21 to 33)"),
        (rng(26, 21, None, "days"), "metric", f"26 days (21 to {BEYOND})"),
        (rng(None, 21, None, "days"), "metric", f"{BEYOND} (at the earliest 21 days)"),
        (rng(None, None, None, "days"), "us", BEYOND),
        (rng(589, 160, 6332, "days"), "metric", "589 days (160 days to 17 years)"),
        (rng(12.9, 9.7, 14.2, "kg"), "metric", "13 kg (9.7 to 14)"),
        (rng(8096, 3616, 9754, "kg"), "metric", "8100 kg (3620 to 9750)"),
        (rng(46, 0.0004, 107, "mL"), "us", "1.6 US fl oz (0 to 3.6)"),
        (rng(46, 5.4, 107, "mL/week"), "metric", "46 mL a week (5.4 to 107)"),
        (rng(0, 0, 1000, "mL"), "metric", "0 L (0 to 1)"),
        (rng(1970, 968, 3430, "g"), "metric", "1.97 kg (0.968 to 3.43)"),
        (rng(48, 39, 57, "%"), "metric", "48\u00a0% (39 to 57)"),
        (rng(20, 10, 30, "g/kg"), "us", "0.32 oz per lb (0.16 to 0.48)"),
        (rng(100, 0, 200, "mL/kg"), "us", "1.5 US fl oz per lb (0 to 3.1)"),
        (rng(1, 1, 1, "vessels"), "metric", "1 vessel"),
        (rng(85, 30, 1600, "mL"), "metric", "85 mL (30 to 1600)"),
        (rng(18.0, 17.0, 20.0, "°C"), "us", "64 °F (63 to 68)"),
        (rng(453.59237, 453.59237, 907.18474, "kg"), "us", "1000 lb (1000 to 2000)"),
        (rng(62.5, 62.5, 125, "g/kg"), "us", "1 oz per lb (1 to 2)"),
    ],
)
def test_a_range_reads_as_people_say_it(quantity, system, said):
    assert amount(quantity, system) == said


def test_the_ends_alone_carry_the_unit_once():
    assert span(rng(26, 21, 33, "days"), "metric") == "21 to 33 days"
    assert span(rng(85, 30, 1600, "mL"), "metric") == "0.03 to 1.6 L"


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (0.0, "0 in 100"),
        (0.001, "fewer than 1 in 100"),
        (0.034, "3 in 100"),
        (0.999, "more than 99 in 100"),
        (1.0, "100 in 100"),
    ],
)
def test_a_chance_is_so_many_in_a_hundred(chance, said):
    assert odds(chance) == said


@pytest.mark.parametrize(("cases", "least"), [(60, 2), (500, 1), (20, 5)])
def test_what_no_simulated_case_met_is_not_called_never(cases, least):
    assert odds(0.0, cases) == f"fewer than {least} in 100"
    assert odds(0.02, cases) == "2 in 100"


ANY = st.one_of(st.none(), st.floats(0, 1e9, allow_nan=False, allow_infinity=False))


@settings(derandomize=True, max_examples=300, deadline=None)
@given(ANY, ANY, ANY, st.sampled_from(UNITS), st.sampled_from(("metric", "us")))
def test_no_range_shows_a_sign_of_the_machine(median, low, high, unit, system):
    text = amount(rng(median, low, high, unit), system)
    assert not re.search(r"\b(nan|inf|None)\b|\d[eE][+-]?\d", text)
    if median is not None:
        assert re.search(r"\d [^\d(]|\d \(|%", text), text


@settings(derandomize=True, max_examples=200, deadline=None)
@given(st.floats(0, 1), st.floats(0, 1), st.integers(1, 60))
def test_a_larger_share_never_has_the_shorter_bar(first, second, columns):
    low, high = sorted((first, second))
    assert bar(low, columns).count("█") <= bar(high, columns).count("█")
    assert len(bar(low, columns)) == columns
    assert (bar(low, columns)[0] == "·") == (low == 0)


def test_one_figure_in_the_readers_units():
    assert one(19, "L", "metric") == "19 L"
    assert one(19, "L", "us") == "5 US gal"
    assert one(None, "days", "us") == BEYOND
