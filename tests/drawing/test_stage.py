"""A vessel of a comparison: what acts on it can be seen, and told apart without colour."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from sourloam import drawing
from sourloam.drawing import palette

LAYERS = tuple(drawing.LayerPicture(1.0, ph) for ph in (3.9, 4.6, 6.2))
PLAIN = drawing.StagePicture(
    drawing.VesselPicture("pail", "closed", layers=LAYERS, level=0.6), "A", 20.0, "20 °C", "A"
)


def without_colour(svg):
    return re.sub(r' class="[^"]*"', "", svg)


def test_a_stage_is_sound_xml_of_known_classes():
    busy = replace(
        PLAIN, stone=1, bran=1, air=1, jug=0.5, mark="ready", spoilt_top=True, drips=True
    )
    root = ElementTree.fromstring(drawing.draw_stage(busy))
    classes = {e.get("class") for e in root.iter() if e.get("class")}
    assert classes <= {*palette.classes(), "drawing"}
    assert root[0].tag.endswith("title")


@pytest.mark.parametrize(
    "more",
    [
        {"stone": 0.5},
        {"bran": 0.5},
        {"air": 0.5},
        {"jug": 0.5},
        {"spoilt_top": True},
        {"drips": True},
        {"mark": "failed"},
        {"warmth_c": 4.0},
        {"warmth_c": 33.0},
    ],
)
def test_whatever_acts_is_seen_without_colour(more):
    changed = drawing.draw_stage(replace(PLAIN, **more))
    assert without_colour(changed) != without_colour(drawing.draw_stage(PLAIN))


def test_one_spoiled_layer_among_sour_ones_has_its_own_strokes():
    spoiled = tuple(replace(layer, spoiled=i == 0) for i, layer in enumerate(LAYERS))
    sound = drawing.draw_vessel(replace(PLAIN.vessel, layers=LAYERS))
    one_bad = drawing.draw_vessel(replace(PLAIN.vessel, layers=spoiled))
    assert "d-cross" in one_bad
    assert "d-cross" not in sound
    assert one_bad.count("d-spoiled") == 1


def test_more_bran_is_more_grains():
    def grains(share):
        return drawing.draw_stage(replace(PLAIN, bran=share)).count("h1.6")

    assert grains(0) == 0 < grains(0.3) < grains(1.0)


def test_a_jar_has_neither_tap_nor_grid_nor_jug():
    jar = replace(PLAIN.vessel, tap=False, plate=False, grid_height_m=0.0)
    drawn = drawing.draw_stage(replace(PLAIN, vessel=jar, jug=0.5))
    assert "d-tap" not in drawn
    assert "d-grid" not in drawn
    assert "d-liquid" not in drawn


def test_letters_of_two_side_by_side_can_be_read_on_a_phone():
    half_px = (390 - 2 * 16 - 2 * 7) / 2
    drawn = drawing.draw_stage(replace(PLAIN, jug=0.5, jug_word="320 mL"))
    scales = [float(s) for s in re.findall(r"scale\(([\d.]+)\)\"><text", drawn)]
    wide = float(re.search(r'width="([\d.]+)"', drawn)[1])
    assert len(scales) == 4
    assert min(scales) * 14 * half_px / wide >= 12


def test_every_mark_on_a_lid_has_a_swatch_of_its_own():
    marks = ("resting", "ready", "late", "failed", "held", "dirty")
    assert len({without_colour(drawing.draw_mark_swatch(mark)) for mark in marks}) == len(marks)


def test_a_band_moves_by_as_much_as_its_days_lie_apart():
    days = (0.0, 10.0, 20.0)
    rows = {"low": days, "middle": days, "high": days, "levels": ((20.0, ""),), "title": "t"}
    made = drawing.BandPicture(days, ticks=(), today=(5.0, "now"), **rows)
    at = [
        float(re.search(r'M([\d.]+) [^"]*" class="d-today"', drawing.draw_band(band))[1])
        for band in (made, replace(made, today=(15.0, "now")))
    ]
    assert at[1] - at[0] == pytest.approx(10 * drawing.pixels_a_day(20.0), abs=0.02)
