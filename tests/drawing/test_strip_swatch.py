"""What explains a strip looks like it when every colour is taken away."""

import re

import pytest

from sourloam import drawing


def strokes(svg):
    return re.findall(r'class="d-hatch"', svg)


@pytest.mark.parametrize("state", ["filling", "resting", "ready", "held", "failed"])
def test_a_swatch_has_strokes_where_its_strip_has(state):
    strip = drawing.Strip("A", ((0.0, 50.0, state),))
    season = drawing.draw_season(drawing.SeasonPicture(50.0, (strip,), (), title="A"))
    swatch = drawing.draw_strip_swatch(state)
    assert f"d-s-{state}" in swatch
    assert bool(strokes(swatch)) == bool(strokes(season))


def test_ready_and_held_differ_in_strokes():
    assert strokes(drawing.draw_strip_swatch("held"))
    assert not strokes(drawing.draw_strip_swatch("ready"))
