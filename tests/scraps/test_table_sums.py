"""Sums of the table's columns: a slip of the keyboard, or a change not meant, shows here."""

from math import fsum

import pytest

from sourloam.evidence import book
from sourloam.scraps import CARRIERS, CLASSES

# constituent; sum over all classes of value, low, high
SUMS = [
    ("water", 6.6277, 5.8139, 7.3231),
    ("sugars", 0.254002, 0.146997, 0.449834),
    ("starch", 1.054879, 0.803735, 1.25546),
    ("fibre", 2.0239, 1.72631, 2.33163),
    ("protein", 1.07679, 0.866814, 1.31521),
    ("fat", 0.705538, 0.491999, 0.933412),
    ("acids", 0.045207, 0.028376, 0.083116),
    ("other", 0.312787, 0.1830013, 0.50696),
    ("ash", 0.913741, 0.663397, 1.296546),
    ("p", 0.0709415, 0.04090443, 0.1048017),
    ("k", 0.050441, 0.03897757, 0.064585),
    ("na", 0.01554067, 0.008433237, 0.03593004),
    ("ca", 0.2448914, 0.1776003, 0.3281863),
    ("buffer", 0.79, 0.44831, 1.3896),
    ("ph", 73.9, 67.6, 81.5),
    ("density", 5395, 4120, 6740),
    ("lactic", 45.5, 32.1, 62.3),
    ("entero", 45.5, 29.3, 63.8),
]


def column(part):
    """Sums over all classes of value, low and high."""
    rows = [book()[f"scraps.{name}.{part}"] for name in (*CLASSES, *CARRIERS)]
    return [fsum(getattr(row, end) for row in rows) for end in ("value", "low", "high")]


@pytest.mark.parametrize(("part", "value", "low", "high"), SUMS)
def test_a_change_of_the_composition_table_is_deliberate(part, value, low, high):
    found = column(part)
    meant = ", ".join(f"{total:.7g}" for total in found)
    told = f'if the table was meant to change, write ("{part}", {meant}) in SUMS'
    assert found == pytest.approx([value, low, high], rel=1e-6), told
