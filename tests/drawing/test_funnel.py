"""How a narrowing forecast is drawn."""

import re

import pytest

from sourloam.drawing.funnel import FunnelPicture, FunnelRow, draw_funnel
from sourloam.drawing.palette import classes

ROWS = (
    FunnelRow("1 Sep", 10.0, 30.0, None, "3 %"),
    FunnelRow("9 Sep", 15.0, 27.0, 40.0, "5 %"),
    FunnelRow("17 <Sep>", 22.0, 25.0, 28.0, "61 %"),
)
PICTURE = FunnelPicture(
    ROWS, (10.0, 50.0), ((10.0, "1 Oct"), (30.0, "21 Oct")), "Full, entry by entry", "said", "fails"
)


def bars(svg):
    found = re.findall(r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)"', svg)
    return [tuple(map(float, bar)) for bar in found]


def test_bars_stand_one_under_the_other_and_a_narrower_range_is_shorter():
    drawn = bars(draw_funnel(PICTURE))
    assert len(drawn) == 3
    assert [y for _x, y, _w in drawn] == sorted(y for _x, y, _w in drawn)
    assert drawn[0][2] > drawn[1][2] > drawn[2][2]
    assert drawn[0][0] < drawn[1][0] < drawn[2][0]


def test_words_are_escaped_and_only_known_classes_are_used():
    svg = draw_funnel(PICTURE)
    assert "17 &lt;Sep&gt;" in svg
    assert "61 %" in svg
    assert set(re.findall(r'class="(d-[\w-]+)"', svg)) <= set(classes())
    assert "<title>Full, entry by entry</title>" in svg


def test_a_range_without_an_end_reaches_the_axis_end_and_one_without_a_middle_has_no_dot():
    rows = (FunnelRow("a", 10.0, None, None), *ROWS[1:])
    svg = draw_funnel(FunnelPicture(rows, (10.0, 50.0), (), "t"))
    assert svg.count("<circle") == 2
    assert len(bars(svg)) == 3


def test_one_row_or_an_axis_of_no_length_is_refused():
    with pytest.raises(ValueError, match="two rows"):
        FunnelPicture(ROWS[:1], (0.0, 1.0), (), "t")
    with pytest.raises(ValueError, match="two rows"):
        FunnelPicture(ROWS, (1.0, 1.0), (), "t")
