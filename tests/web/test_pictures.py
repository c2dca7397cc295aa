"""What the drawing of a vessel says of its layers."""

from dataclasses import replace

import pytest
from django.template.loader import render_to_string

from sourloam.drawing import LayerPicture, VesselPicture, sourness
from sourloam.logbook.standing import state_of
from sourloam.web.pictures import legend, picture_of
from sourloam.web.place.shelf import Standing
from sourloam.web.vessel.foresight import Foresight


def picture(home, phs, **raw):
    state, _ = state_of(home.id, home.place.zone)
    blue = next(v for v in state.vessels if v.id == "blue")
    began = blue.turn.began.day.isoformat()
    seen = Foresight({"began": began, "layer_ph_now": phs, **raw})
    return picture_of(blue, "filling", state, seen)


def steps(home, phs, **raw):
    return [sourness(layer.ph) for layer in picture(home, phs, **raw).layers]


@pytest.fixture
def with_a_new_layer(home):
    home.write("fed", {"vessel": "blue", "amount": {"mass_kg": 1.0}, "kinds": "household"}, 0.01)
    return home


def test_a_new_layer_is_fresh_and_leaves_the_older_ones_as_they_are(with_a_new_layer):
    assert steps(with_a_new_layer, [3.9] * 4 + [4.7] * 6) == [
        *["deep"] * 4,
        *["souring"] * 6,
        "fresh",
    ]


@pytest.mark.parametrize("phs", [[], [3.9] * 12])
def test_without_a_forecast_of_these_layers_nothing_is_known(with_a_new_layer, phs):
    assert set(steps(with_a_new_layer, phs)) == {"unknown"}


def test_a_forecast_of_an_earlier_filling_says_nothing(with_a_new_layer):
    assert set(steps(with_a_new_layer, [3.9] * 10, began="2020-01-01")) == {"unknown"}


def test_each_layer_is_labelled_with_its_range_or_its_middle_where_none_was_kept(home):
    ends = {"low": [3.7] * 10, "high": [3.7] * 5 + [4.6] * 5}
    ranged = picture(home, [3.7] * 5 + [4.1] * 5, layer_ph_range_now=ends)
    assert ranged.layers[0].label.endswith(": 3.7")
    assert ranged.layers[-1].label.endswith(": 3.7–4.6")
    assert ranged.words["labels"] == "pH, 8 in 10"
    plain = picture(home, [4.1] * 10)
    assert plain.layers[-1].label.endswith(", pH 4.1")
    assert plain.words["labels"] == ""


def test_the_legend_names_whatever_the_drawing_has(home):
    bare = VesselPicture("x", "filling", layers=(LayerPicture(1.0, 4.0),))
    usual = {row["word"] for row in legend(replace(bare, tap=False))}
    assert {row["word"] for row in legend(bare)} - usual == {"drain grid"}
    assert legend(replace(bare, liquid=0.01)) == legend(bare)
    full = replace(bare, liquid=0.5, marks=(0.4,))
    assert {row["word"] for row in legend(full)} - usual == {
        "drain grid",
        "liquid",
        "level that was marked last",
    }


@pytest.mark.parametrize(("soon", "keys"), [((True, True), 1), ((True, False), 1), ((False,), 0)])
def test_a_dashed_tag_has_its_key_once_and_is_heard(soon, keys):
    vessels = [Standing("/", "Blue", "filling", "", "feed", one, False, "") for one in soon]
    page = render_to_string("sourloam/_shelf.html", {"vessels": vessels})
    assert page.count("A dashed tag is not for today yet") == keys
    assert page.count("(not today yet)") == sum(soon)
