"""A trench to be dug: where in the bed, and how deep, at first sight."""

import re

import pytest

from sourloam.drawing import BedPicture, DigPicture, TrenchCut, TrenchPicture, draw_bed
from sourloam.drawing import draw_trench_cut as draw_cut

DIG = DigPicture(1.5, 0.3, 0.6, "dig here", "1.5 m from the beginning")


def test_what_is_to_be_dug_is_dashed_where_it_is_due_and_only_it_is_labelled():
    old = TrenchPicture(2.0, 0.3, "working", "from 3 May")
    drawn = draw_bed(BedPicture("Bed", 5.0, 1.2, (old,), dig=DIG))
    left, high = re.search(
        r'x="([\d.]+)" y="[\d.]+" width="[\d.]+" height="([\d.]+)"[^>]*d-middle', drawn
    ).groups()
    assert float(left) == pytest.approx(4 + (1.5 - 0.15) * 372 / 5, abs=1)
    whole = float(re.search(r'height="([\d.]+)"[^>]*d-trench', drawn)[1])
    assert float(high) == pytest.approx(whole / 2, abs=1), "half of the bed's width"
    assert "stroke-dasharray" in drawn
    assert "dig here" in drawn
    assert "1.5 m from the beginning" in drawn
    assert "from 3 May" not in drawn
    assert "from 3 May" in draw_bed(BedPicture("Bed", 5.0, 1.2, (old,)))


def cut(**more):
    measures = {"depth_m": 0.3, "width_m": 0.3, "cover_m": 0.2} | more
    return TrenchCut(**measures, deep="30 cm", wide="30 cm", cover="20 cm", ferment="ferment")


def test_the_ferment_lies_below_its_cover_to_scale():
    def ferment(**more):
        return float(re.search(r'height="([\d.]+)" class="d-trench"', draw_cut(cut(**more)))[1])

    assert ferment(cover_m=0.1) == pytest.approx(2 * ferment(cover_m=0.2), rel=0.01)
    assert ferment(cover_m=0.3) > 5, "there is always some to be seen"


def test_a_trench_without_depth_is_no_trench():
    with pytest.raises(ValueError, match="above 0"):
        cut(depth_m=0)
