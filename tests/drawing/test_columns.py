"""Amounts as columns: to scale, told without overlap, none cut off."""

import re
import xml.etree.ElementTree as ET

import pytest

from sourloam.drawing.columns import Column, ColumnsPicture, draw_columns, scale

SVG = "{http://www.w3.org/2000/svg}"
WORDS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


def picture(values):
    months = (
        Column(WORDS[n % 12], str(2020 + n // 12) if n % 12 == 0 else "", value)
        for n, value in enumerate(values)
    )
    return ColumnsPicture(tuple(months), "kg", "Scraps", "said")


def drawn(values):
    return ET.fromstring(draw_columns(picture(values)))


def heights(root):
    columns = [p.get("d") for p in root.iter(f"{SVG}path") if p.get("class") == "d-fresh"]
    return [float(re.search(r"v-([\d.]+)", d)[1]) for d in columns]


def test_columns_are_to_scale_and_a_month_without_scraps_has_none():
    low, high = heights(drawn([10.0, 0.0, 40.0]))
    assert high == pytest.approx(4 * low, abs=0.2)


@pytest.mark.parametrize("most", [0.0, 0.013, 1.0, 3.9, 401.7, 20_000.0])
def test_the_scale_begins_at_nothing_and_reaches_the_most_in_a_few_round_steps(most):
    ticks = scale(most)
    assert ticks[0] == 0
    assert ticks[-1] >= most
    assert 2 <= len(ticks) <= 5


@pytest.mark.parametrize("number", [1, 14, 60, 240])
def test_every_word_stands_within_the_drawing_and_beside_the_last(number):
    root = drawn([float(n + 1) for n in range(number)])
    wide = float(root.get("viewBox").split()[2])
    assert wide == 380 or number > 30
    for kind, row in (("middle", "d-small"), (None, "d-name")):
        ends = 0.0
        for text in root.iter(f"{SVG}text"):
            if text.get("class") == row and text.get("text-anchor") == kind:
                size = len(text.text) * 13 * 0.58
                left = float(text.get("x")) - (size / 2 if kind else 0)
                assert left >= ends
                assert left + size <= wide + 10
                ends = left + size
    assert len(heights(root)) == number


def test_nothing_logged_is_an_empty_plank():
    assert heights(drawn([])) == []


def test_the_range_of_a_column_is_drawn_within_the_scale():
    one = Column("nitrogen", "", 2.0, (1.0, 4.5))
    root = ET.fromstring(draw_columns(ColumnsPicture((one,), "kg", "Garden", "said", "leaf")))
    strokes = [p.get("d") for p in root.iter(f"{SVG}path") if p.get("class") == "d-line"]
    upright = next(
        d for d in strokes if d.count("L") == 1 and len(set(re.findall(r"[ML]([\d.]+)", d))) == 1
    )
    low, top = (float(y) for y in re.findall(r" ([\d.]+)", upright))
    (column,) = [p.get("d") for p in root.iter(f"{SVG}path") if p.get("class") == "d-leaf"]
    tall = float(re.search(r"v-([\d.]+)", column)[1])
    assert low - top == pytest.approx(tall * 3.5 / 2, abs=0.2)
    assert top >= 20
