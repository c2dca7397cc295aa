"""What the drawing of a vessel says of its layers."""

import pytest

from sourloam.drawing import sourness
from sourloam.logbook.standing import state_of
from sourloam.web.pictures import picture_of
from sourloam.web.vessel.foresight import Foresight


def steps(home, phs, **raw):
    state, _ = state_of(home.id, home.place.zone)
    blue = next(v for v in state.vessels if v.id == "blue")
    began = blue.turn.began.day.isoformat()
    seen = Foresight({"began": began, "layer_ph_now": phs, **raw})
    return [sourness(layer.ph) for layer in picture_of(blue, "filling", state, seen).layers]


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
