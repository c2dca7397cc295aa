"""A mistake is corrected by a form filled with what was written; the first version stays."""

import html
import re

import pytest
from django.urls import reverse


def newest(home, kind):
    return home.place.entries.filter(kind=kind).order_by("-seq").first()


def form_of(text):
    """Fields of the one form of a page as a browser would send them."""
    text = text[text.index('data-entry="') :]
    text = text[: text.index("</form>")]
    sent = {}
    for tag in re.findall(r"<input[^>]*>", text):
        name, value = re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)
        loose = 'type="radio"' in tag or 'type="checkbox"' in tag
        if name and (not loose or " checked" in tag):
            sent.setdefault(name[1], []).append(html.unescape(value[1]) if value else "")
    for name, inside in re.findall(r'<textarea[^>]*name="([^"]*)"[^>]*>([^<]*)<', text):
        sent[name] = [html.unescape(inside)]
    for name, inside in re.findall(r'<select[^>]*name="([^"]*)"[^>]*>(.*?)</select>', text):
        chosen = re.search(r'value="([^"]*)" selected', inside)
        sent[name] = [chosen[1]] if chosen else []
    return sent


def opened(home, client, raw):
    page = client.get(reverse("web:correct", args=[home.id, raw["id"]]))
    assert page.status_code == 200
    return form_of(page.content.decode())


BODIES = {
    "fed": {
        "vessel": "blue", "amount": {"mass_kg": 1.234}, "kinds": "cafe", "bran_g": 33.0,
        "lot": "lot-7", "temperature_c": 17.5, "pieces": "whole", "note": "peel & cores",
    },
    "drained": {"vessel": "blue", "volume_ml": 87.0, "use": "kept"},
    "ph_read": {"vessel": "blue", "ph": 4.2, "of": "solid"},
    "looked": {"vessel": "blue", "signs": ["sour_smell", "flies"], "note": "few"},
    "fill_marked": {"vessel": "blue", "fraction": 0.75},
    "weighed": {"vessel": "blue", "mass_kg": 9.5, "empty_kg": 1.1},
    "warmth_read": {"vessel": "blue", "temperature_c": 12.0},
    "moved": {"vessel": "blue", "where": "shed"},
    "noted": {"vessel": "blue", "note": "the lid is cracked"},
    "planted": {"bed": "wall", "crop": "leek", "along_m": 1.25},
    "liquid_fed": {"bed": "wall", "litres": 0.3, "parts_of_water": 200.0},
    "measure_set": {"measure": "tub", "name": "Tub", "mass_kg": 0.84},
    "bran_received": {"lot": "may-2", "mass_kg": 2.0, "strength": 7.5},
    "bran_ordered": {"mass_kg": 3.0},
}  # fmt: skip


@pytest.mark.parametrize("kind", list(BODIES))
@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_form_that_is_not_touched_says_the_same_again(home, as_, kind, units):
    from sourloam.logbook.models import Preference

    Preference.objects.create(person=home.people["coordinator"], units=units)
    raw, client = home.write(kind, BODIES[kind], 2), as_("coordinator")
    sent = opened(home, client, raw)
    client.post(reverse("web:log", args=[home.id, kind]), sent)
    again = newest(home, kind)
    assert str(again.pk) != raw["id"]
    assert str(again.supersedes) == raw["id"]
    assert again.at.isoformat()[:23] == raw["at"][:23], "it happened when it happened"
    assert near(again.body, raw["body"])


def near(one, other):
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(near(one[k], other[k]) for k in one)
    if isinstance(one, float):
        return one == pytest.approx(other, rel=5e-6)
    return one == other


def test_the_mended_number_counts_and_its_page_says_so(home, as_):
    raw, client = home.write("drained", BODIES["drained"], 2), as_("keeper")
    sent = opened(home, client, raw)
    sent["volume_ml:n1"] = ["143"]
    back = client.post(reverse("web:log", args=[home.id, "drained"]), sent)
    assert back.url == reverse("web:vessel", args=[home.id, "blue"])
    text = client.get(back.url).content.decode()
    assert "143 mL" in text
    assert "87 mL" not in text
    assert "corrected" in text


def test_a_mix_by_shares_survives_a_correction_of_its_mass(home, as_):
    body = {"vessel": "blue", "amount": {"mass_kg": 1.0}, "kinds": {"citrus": 0.4, "starchy": 0.6}}
    raw, client = home.write("fed", body, 1), as_("keeper")
    sent = opened(home, client, raw)
    sent["amount-n"] = ["1.5"]
    client.post(reverse("web:log", args=[home.id, "fed"]), sent)
    again = newest(home, "fed").body
    assert again["kinds"] == body["kinds"]
    assert again["amount"] == {"mass_kg": 1.5}


def test_a_gardener_corrects_no_layer_and_a_stranger_sees_none(home, as_):
    raw = home.write("fed", BODIES["fed"], 1)
    path = reverse("web:correct", args=[home.id, raw["id"]])
    assert as_("gardener").get(path).status_code == 403
    assert as_("stranger").get(path).status_code == 404


def test_an_entry_that_was_replaced_is_not_corrected_again(home, as_):
    raw = home.write("drained", BODIES["drained"], 2)
    home.write("drained", {**BODIES["drained"], "volume_ml": 90.0}, 2, supersedes=raw["id"])
    path = reverse("web:correct", args=[home.id, raw["id"]])
    assert as_("keeper").get(path).status_code == 404
