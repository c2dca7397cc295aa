"""What a drawing shows is what was to be shown."""

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam import drawing
from sourloam.drawing import palette
from sourloam.drawing.shape import Outline
from sourloam.drawing.svg import text_width
from sourloam.drawing.vessel import layer_tops_m

STATES = ("empty", "filling", "resting", "ready", "held", "failed", "dirty")
MASSES = st.lists(st.floats(0.01, 50), min_size=1, max_size=40)
FEW = settings(derandomize=True, max_examples=40, deadline=None)


def vessel(masses=(1.0, 2.0, 0.5), state="filling", level=0.7, **more):
    layers = tuple(drawing.LayerPicture(m, 3.6 + 0.3 * i, f"{i} Nov") for i, m in enumerate(masses))
    return drawing.VesselPicture("Blue <pail>", state, layers=layers, level=level, **more)


def all_drawings(standalone=False):
    yield from (drawing.draw_vessel(vessel(state=s), standalone=standalone) for s in STATES)
    trenches = tuple(
        drawing.TrenchPicture(i * 1.1, 0.3, s, "plant from 3 May")
        for i, s in enumerate(("working", "soon", "open"))
    )
    leek = drawing.PlantingPicture("leek", 3.6, 5)
    yield drawing.draw_bed(drawing.BedPicture("Wall bed", 5, 1.2, trenches, (leek,)), standalone)
    yield drawing.draw_band(band(), standalone=standalone)
    spans = tuple((i * 10.0, i * 10.0 + 10, s) for i, s in enumerate(STATES))
    season = drawing.SeasonPicture(
        80, (drawing.Strip("Blue pail", spans),), ((0, "Jan"), (79, "Mar")), "Season", today=70
    )
    yield drawing.draw_season(season, standalone)


def band(**more):
    rows = {"days": (0, 5, 10), "low": (0.1, 0.2, 0.3), "middle": (0.2, 0.3, 0.5)}
    rows |= {"high": (0.3, 0.5, 1.4), "ticks": ((0, "1 Nov"), (9.9, "11 Nov"))}
    return drawing.BandPicture(
        **rows, levels=((0, "empty"), (1, "full")), title="How full", limit=(1, "full"), **more
    )


@FEW
@given(MASSES, st.floats(0.05, 1), st.floats(0.7, 1.0))
def test_drawn_volume_goes_by_mass(masses, level, taper):
    picture = vessel(masses, level=level, base_diameter_m=0.30 * taper)
    outline, tops = picture.outline, layer_tops_m(picture)
    edges = [picture.grid_height_m, *tops]
    volumes = [outline.below_m3(b) - outline.below_m3(a) for a, b in zip(edges, tops, strict=False)]
    share = [v / sum(volumes) for v in volumes]
    assert share == pytest.approx([m / sum(masses) for m in masses], rel=1e-6, abs=1e-9)


@FEW
@given(st.floats(0.01, 1))
def test_layers_together_fill_the_stated_share_of_the_room(level):
    picture = vessel(level=level)
    outline, top = picture.outline, layer_tops_m(picture)[-1]
    sump = outline.below_m3(picture.grid_height_m)
    room = outline.below_m3(picture.height_m - picture.headroom_m) - sump
    assert (outline.below_m3(top) - sump) / room == pytest.approx(level, rel=1e-6)


@FEW
@given(st.floats(0.1, 1), st.floats(0.1, 1), st.floats(0.05, 2), st.floats(0.01, 0.99))
def test_reach_is_the_inverse_of_volume(top, base, tall, part):
    outline = Outline(top, base, tall)
    assert outline.reach_m(outline.below_m3(tall * part)) == pytest.approx(tall * part, rel=1e-5)


@pytest.mark.parametrize(
    ("ph", "step"),
    [(6.5, "fresh"), (5.5, "turning"), (4.8, "souring"), (4.3, "sour"), (3.7, "deep")],
)
def test_a_lower_ph_is_a_later_step(ph, step):
    assert drawing.sourness(ph) == step


def test_unknown_sourness_is_said_to_be_unknown():
    assert drawing.sourness(None) == "unknown"


def luminance(colour):
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", [palette.LIGHT, palette.DARK], ids=["light", "dark"])
def test_sourer_is_darker_in_both_themes_so_that_grey_print_keeps_the_order(theme):
    shades = [luminance(theme[f"sour-{name}"]) for name, _ in drawing.SOURNESS]
    assert all(after < before * 0.85 for before, after in pairwise(shades))


@pytest.mark.parametrize("theme", [palette.LIGHT, palette.DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["wall", "paper"])
def test_words_stand_out_from_their_ground(theme, ground):
    assert contrast(theme["ink"], theme[ground]) > 10
    for role in ("muted", "beet", "leaf", "frost"):
        assert contrast(theme[role], theme[ground]) > 4.5, role


def test_both_themes_name_the_same_colours():
    assert set(palette.LIGHT) == set(palette.DARK)


def test_every_drawing_is_sound_xml_with_a_title_and_only_known_classes():
    known = {*palette.classes(), "drawing"}
    for text in all_drawings():
        root = ElementTree.fromstring(text)
        assert root.find("{http://www.w3.org/2000/svg}title").text
        assert {e.get("class") for e in root.iter() if e.get("class")} <= known
        assert "style=" not in text


def test_a_drawing_that_stands_alone_needs_no_style_from_outside():
    for text in all_drawings(standalone=True):
        assert "<style>" in text
        assert "var(" not in text


def test_names_from_people_are_text_and_never_marks():
    assert "<pail>" not in drawing.draw_vessel(vessel())


def test_no_word_is_clipped():
    for text in all_drawings():
        root = ElementTree.fromstring(text)
        wide = float(root.get("viewBox").split()[2])
        for word in root.iter("{http://www.w3.org/2000/svg}text"):
            size = {"d-small": palette.SMALL, "d-name": 14}.get(word.get("class"), 13)
            x, long = float(word.get("x")), text_width(word.text or "", size)
            left = {"end": x - long, "middle": x - long / 2}.get(word.get("text-anchor"), x)
            assert left >= -1, word.text
            assert left + long <= wide + 1, word.text


def test_states_are_told_apart_without_colour():
    bare = {re.sub(r' class="[^"]*"', "", d) for d in map(small, STATES)}
    assert len(bare) == len(STATES)


def small(state):
    text = drawing.draw_vessel(vessel(state=state, title="same"), large=False)
    return text


def test_the_band_stays_inside_its_frame():
    root = ElementTree.fromstring(drawing.draw_band(band(seen=((5, 2.0),)), (300, 160)))
    for mark in root.iter("{http://www.w3.org/2000/svg}circle"):
        assert 0 < float(mark.get("cy")) < float(root.get("height")) - 30


def test_a_band_may_begin_above_nought():
    rows = {"days": (0.0, 10.0), "low": (5.0, 4.0), "middle": (5.5, 4.2), "high": (6.0, 4.5)}
    more = {"ticks": (), "levels": (), "title": "pH"}
    plain = drawing.draw_band(drawing.BandPicture(**rows, **more))
    lifted = drawing.draw_band(drawing.BandPicture(**rows, **more, floor=3.0))
    assert heights(lifted) > 1.5 * heights(plain), "the same fall is drawn taller"


def heights(svg):
    middle = re.search(r'd="(M[^"]*)"[^>]*class="d-middle"|class="d-middle"[^>]*d="(M[^"]*)"', svg)
    ys = [float(y) for _x, y in re.findall(r"([-\d.]+)[ ,]([-\d.]+)", middle[1] or middle[2])]
    return max(ys) - min(ys)


PHONE_PX = 390 - 2 * 16
WIDEST = (("pail", 0.3, 0.36), ("drum", 0.5, 0.9), ("tray", 0.6, 0.2))


def test_no_letter_of_a_page_is_smaller_than_twelve_pixels_on_a_phone():
    assert palette.SMALL * PHONE_PX / drawing.WIDE >= 12
    shapes = (vessel(top_diameter_m=d, base_diameter_m=d, height_m=h) for _, d, h in WIDEST)
    stop = drawing.MapStop(1, 1)
    drawn = [
        *map(drawing.draw_vessel, shapes),
        drawing.draw_band(band()),
        drawing.draw_bed(drawing.BedPicture("Wall bed", 5, 1.2)),
        drawing.draw_round(drawing.RoundPicture((stop,), "Yard")),
    ]
    for text in drawn:
        root = ElementTree.fromstring(text)
        assert float(root.get("width")) <= drawing.WIDE, root.get("aria-label")


def test_three_sacks_side_by_side_are_legible_on_a_phone():
    lot = drawing.SackPicture("alder-1", "store", 0.5, (5.0, 6.0, 7.0), sign="30 Sep")
    drawn = drawing.draw_sack(lot)
    scales = [float(s) for s in re.findall(r"scale\(([\d.]+)\)", drawn)]
    wide = float(re.search(r'width="([\d.]+)"', drawn)[1])
    assert len(scales) == 4
    assert min(scales) * palette.SMALL * PHONE_PX / 3 / wide >= 12
    assert "30 Sep" in drawn


def test_a_vessel_that_fills_is_closed_as_one_that_rests():
    def lid(state):
        return re.search(r'<rect [^>]*class="d-lid"/>', small(state))[0]

    assert lid("filling") == lid("resting") == lid("ready")
    assert "rotate" not in small("filling")


def words_at(svg):
    root = ElementTree.fromstring(svg)
    found = root.iter("{http://www.w3.org/2000/svg}text")
    return {t.text: (float(t.get("x")), float(t.get("y")), t.get("text-anchor")) for t in found}


@pytest.mark.parametrize("today", [0.0, 10.0])
def test_words_of_a_band_stand_above_its_curves_and_within_its_edge(today):
    said = "below pH 4.6 what spoils is held back for as long as the lid stays shut"
    rows = {"days": (0.0, 10.0), "low": (5.0, 4.0), "middle": (5.5, 4.2), "high": (6.0, 4.5)}
    picture = drawing.BandPicture(
        **rows,
        ticks=(),
        levels=((4.0, "4"), (7.0, "7")),
        title="pH",
        floor=3.0,
        limit=(4.6, said),
        seen=((2.0, 5.0),),
        seen_words="read from a strip",
        today=(today, "day 56"),
    )
    found = words_at(drawing.draw_band(picture))
    top = found["7"][1] - 4
    assert " ".join(text for text in found if len(text) > 1 and text in said) == said
    for text, (x, y, anchor) in found.items():
        if text in ("4", "7"):
            continue
        half = text_width(text, palette.SMALL) / 2
        assert y <= top, text
        assert (x - half if anchor else x) >= -1, text
        assert x + half * (1 if anchor else 2) <= drawing.WIDE + 1, text


def test_a_key_of_more_lines_takes_no_height_from_the_curves():
    def height(said):
        picture = replace(band(), limit=(1, said))
        return heights(drawing.draw_band(picture))

    assert height("words " * 30) == pytest.approx(height("short"))


def test_labels_of_layers_have_a_heading_and_a_mark_its_tip():
    headed = vessel(words={"full": "full", "half": "half", "labels": "pH, 8 in 10"}, marks=(0.5,))
    assert "pH, 8 in 10" in words_at(drawing.draw_vessel(headed))
    bare = vessel(words={"full": "full", "half": "half", "labels": ""})
    assert "pH, 8 in 10" not in drawing.draw_vessel(bare)
    assert 'l-10 -5v10Z" class="d-mark"' in drawing.draw_vessel(headed)
