"""A sack of inoculated bran: as full as it is, tied or open, struck out when recalled."""

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from sourloam.drawing.sack import SackPicture, draw_sack

STRONG = (6.0, 7.0, 8.0)
SACK = SackPicture("oak-1", "store", 0.6, STRONG, need=6.4, sign="2 Mar", title="oak-1: in store")


def drawn(**changed):
    return draw_sack(replace(SACK, **changed))


def of_class(svg, name):
    return [e for e in ElementTree.fromstring(svg).iter() if e.get("class") == name]


def bran_top(svg):
    (bran,) = of_class(svg, "d-plate")
    return float(re.match(r"M[\d.]+ ([\d.]+)", bran.get("d")).group(1))


def height(svg, name):
    """Of a level line."""
    (drawn_line,) = of_class(svg, name)
    return float(re.match(r"M[\d.]+ ([\d.]+)", drawn_line.get("d")).group(1))


def test_a_fuller_sack_holds_bran_higher_up():
    tops = [bran_top(drawn(fill=part)) for part in (0.1, 0.4, 0.7, 1.0)]
    assert tops == sorted(tops, reverse=True)
    steps = [a - b for a, b in pairwise(tops)]
    assert steps == pytest.approx([steps[0]] * 3, abs=0.2)


def test_an_empty_sack_holds_none_and_more_than_all_is_full():
    assert of_class(drawn(fill=0.0), "d-plate") == []
    assert bran_top(drawn(fill=3.0)) == bran_top(drawn(fill=1.0))


def test_only_a_recalled_lot_is_struck_out():
    for state in ("souring", "dried", "store", "used_up"):
        assert not of_class(drawn(state=state), "d-bad"), state
    assert len(of_class(drawn(state="recalled"), "d-bad")) == 2


def test_states_look_different_without_colour():
    states = ("souring", "store", "used_up", "recalled")
    shapes = {re.sub(r"class='[^']*'|class=\"[^\"]*\"", "", drawn(state=s)) for s in states}
    assert len(shapes) == len(states)


def test_the_band_runs_from_the_weak_to_the_strong_end_with_the_middle_in_it():
    svg = drawn()
    (band,) = of_class(svg, "d-band")
    top, tall = float(band.get("y")), float(band.get("height"))
    assert top < height(svg, "d-middle") < top + tall
    enough = height(svg, "d-limit")
    assert height(svg, "d-middle") < enough, "10^7 stands above the 10^6.4 needed"
    assert height(drawn(strength=(3.5, 5.0, 6.0)), "d-middle") > enough


def test_no_strength_no_scale():
    svg = drawn(strength=None)
    for name in ("d-band", "d-middle", "d-limit"):
        assert of_class(svg, name) == []


def test_cells_beyond_the_scale_stay_on_it():
    tall = float(ElementTree.fromstring(drawn()).get("viewBox").split()[3])
    (band,) = of_class(drawn(strength=(0.0, 2.0, 12.0)), "d-band")
    assert float(band.get("y")) >= 0
    assert float(band.get("y")) + float(band.get("height")) <= tall


def test_names_from_people_are_text():
    svg = drawn(sign="<b>&", title='"<script>')
    assert "<script>" not in svg
    assert "<b>" not in svg


def test_sacks_beside_each_other_are_of_one_size_whether_their_strength_is_known_or_not():
    sizes = {re.search(r'viewBox="([^"]+)"', drawn(strength=s))[1] for s in (STRONG, None)}
    assert len(sizes) == 1
