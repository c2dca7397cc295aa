"""A layer once more, and the bran that its lot asks for."""

import datetime as dt
import html
import json
import re

import pytest
from django.urls import reverse

WITH_MORE = re.compile(
    r'value="([^"]*)"><button class="go" aria-label="With ([^:"]*): Feed Blue pail"'
)


@pytest.fixture
def page(home, as_):
    """The pail's page after a layer of two kilograms with so much bran of a good lot."""
    home.write("bran_received", {"lot": "oak-1", "mass_kg": 2.0}, 5)

    def shown(grams, **more):
        layer = {"vessel": "blue", "amount": {"mass_kg": 2.0}, "lot": "oak-1", **more}
        if grams is not None:
            layer["bran_g"] = grams
        home.write("fed", layer, 2)
        return as_("keeper").get(reverse("web:vessel", args=[home.id, "blue"])).content.decode()

    return shown


def test_too_little_bran_is_said_and_one_tap_gives_what_the_lot_asks_for(page):
    shown = page(5)
    assert "bran 5 g" in shown, "the same again stays what it was"
    assert '<button aria-label="Same again: Feed Blue pail"' in shown, "enough is what stands out"
    body, said = WITH_MORE.search(shown).groups()
    assert f"Too little: give about {said} of bran oak-1." in shown
    layer = json.loads(html.unescape(body))
    assert said == f"{layer['bran_g']:.0f} g"
    assert layer["amount"] == {"mass_kg": 2.0}
    assert layer["lot"] == "oak-1"
    assert f'value="{layer["bran_g"]:.0f}"' in shown, "the form begins with the same"


@pytest.mark.parametrize("grams", [200, None])
def test_enough_bran_and_bran_that_nobody_measured_are_passed_over(page, grams):
    shown = page(grams)
    assert "Same again: " in shown
    assert not WITH_MORE.search(shown)


def test_where_no_lot_is_known_nothing_is_asked_for(home):
    from sourloam.ledger.lot_dose import short_of
    from sourloam.logbook.standing import state_of

    state = state_of(home.id, home.place.zone)[0]
    layer = {"vessel": "blue", "amount": {"mass_kg": 2.0}, "bran_g": 1.0}
    assert short_of(state, layer, dt.date.today()) is None


def test_a_bowl_that_was_never_measured_is_not_guessed(page, home):
    from sourloam.ledger.lot_dose import short_of
    from sourloam.logbook.standing import state_of

    page(30)
    state = state_of(home.id, home.place.zone)[0]
    layer = {"amount": {"measure": "ladle", "count": 1}, "bran_g": 1.0}
    assert short_of(state, layer, dt.date.today()) is None
