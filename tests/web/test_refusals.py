"""A refusal uses the words, the units and the language of the page, never a name of the ledger."""

import json
import re

import pytest
from django.urls import reverse

INTERNAL = re.compile(r"\w_(kg|ml|l|c|m|g)\b|\b(fed|struck|vessel|body|kinds|found|missing)\b")


@pytest.fixture
def in_spanish(home, as_):
    from sourloam.logbook.models import Preference

    person = home.people["keeper"]
    Preference.objects.create(person=person, units="metric", language="es")

    def sent(kind, form):
        client = as_("keeper")
        path = reverse("web:log", args=[home.id, kind])
        answer = client.post(path, form, headers={"accept-language": "es"}, follow=True)
        notes = re.findall(r'<p class="note" role="status">(.*?)</p>', answer.content.decode())
        return notes[0] if notes else ""

    return sent


LAYER = {"vessel": "blue", "kinds": "household"}
WRONG = [
    ("fed", {**LAYER, "amount-way": "mass_kg:n1", "amount-n": "900"}, "entre 0,001 kg y 500 kg"),
    ("fed", {**LAYER, "amount-way": "mass_kg:n1", "amount-n": "mucho"}, "debe ser un número"),
    ("fed", LAYER, "falta «Cuánto»"),
    ("fed", {**LAYER, "vessel": "nobody", "amount-way": "mass_kg:n1", "amount-n": "1"}, "estante"),
    ("drained", {"vessel": "blue", "volume_ml:n1": "1e9"}, "100 L"),
    ("drained", {"vessel": "blue", "volume_ml:n1": "nan"}, "debe ser un número"),
    ("moved", {"vessel": "blue", "where": "x" * 90}, "hasta 80 letras"),
    ("weighed", {"vessel": "blue", "mass_kg:n1": "1", "empty_kg:n1": "2"}, "vacío no puede"),
    ("noted", {"vessel": "blue", "note": "x", "at": "1066-10-14T09:00"}, "entre 1990 y 2100"),
    ("planted", {"bed": "nowhere", "crop": "leek"}, "trázalo antes"),
]


@pytest.mark.parametrize(("kind", "form", "said"), WRONG)
def test_a_refusal_in_spanish_says_what_people_see(in_spanish, kind, form, said):
    line = in_spanish(kind, form)
    assert said in line
    assert not INTERNAL.search(line), line


def test_a_refusal_tells_its_bounds_in_the_readers_units(home, as_):
    from sourloam.logbook.models import Preference

    Preference.objects.create(person=home.people["keeper"], units="us")
    body = {"vessel": "blue", "amount": {"mass_kg": 900}}
    raw = {"id": "7f6f6f3e-1d4e-4c4c-8c7c-0d3c8f6a1b2c", "place": home.id, "kind": "fed"}
    raw |= {"at": "2026-03-01T10:00:00Z", "written_at": "2026-03-01T10:00:00Z", "body": body}
    answer = as_("keeper").post(reverse("web:entries"), json.dumps(raw), "application/json")
    assert answer.status_code == 422
    assert re.search(r"lie between .* lb and 1102 lb; found 1984 lb", answer.json()["detail"])


CRAFTED = [
    {"a": "1", "a.b": "2"},
    {"signs": "x", "signs:list": "y"},
    {"a.b.c.d.e.f": "1"},
    {"json:json": "[" * 50_000},
    {"json:json": '{"a":' * 50_000},
    {"json:json": "7"},
]


@pytest.mark.parametrize("form", CRAFTED)
def test_a_crafted_form_is_told_so_in_one_line(home, as_, form):
    path = reverse("web:log", args=[home.id, "noted"])
    answer = as_("keeper").post(path, {"vessel": "blue", "note": "x", **form})
    assert answer.status_code == 400
    assert "load the page anew" in answer.content.decode()


def test_an_unknown_kind_is_told_so(home, as_):
    assert as_("keeper").post(reverse("web:log", args=[home.id, "sung"])).status_code == 400


HUGE = ["9" * 5000, "1e400", "-1e308", "0x10", "1_000", "1.2.3", "٣" * 400]


@pytest.mark.parametrize("text", HUGE)
def test_a_huge_or_odd_number_writes_nothing_and_breaks_nothing(home, as_, text):
    before = home.place.entries.count()
    form = {"vessel": "blue", "volume_ml:n1": text, "at": text}
    answer = as_("keeper").post(reverse("web:log", args=[home.id, "drained"]), form)
    assert answer.status_code == 302
    assert home.place.entries.count() == before


@pytest.mark.parametrize("number", ["9" * 30, "9" * 300])
def test_an_address_with_a_huge_number_is_not_found(home, as_, number):
    client = as_("coordinator")
    answer = client.post(f"/p/{home.id}/people/{number}")
    assert answer.status_code in (302, 404)
    assert client.get(f"/p/{home.id}/?page={number}").status_code == 200
    assert client.get(f"/p/{home.id}/labels?sheet={number}").status_code == 200


def test_a_letter_that_no_store_looks_for_is_not_found(home, as_):
    assert as_("keeper").get("/p/%00/").status_code == 404
    photo = as_("keeper").post(reverse("web:photos"), {"place": "\0"})
    assert photo.status_code == 422


def test_numbers_are_typed_with_a_comma(home, as_):
    form = {"vessel": "blue", "amount-way": "mass_kg:n1", "amount-n": "1,5"}
    as_("keeper").post(reverse("web:log", args=[home.id, "fed"]), form)
    newest = home.place.entries.order_by("-seq").first()
    assert newest.body["amount"] == {"mass_kg": 1.5}
    bed = {"name": "Salad bed", "length": "2,5", "width": "1,2"}
    as_("keeper").post(reverse("web:add_bed", args=[home.id]), bed)
    newest = home.place.entries.order_by("-seq").first()
    assert newest.body["spec"]["length"] == "2.5 m"


@pytest.mark.parametrize("size", ["0", "5000", "wide", ""])
def test_a_bed_of_no_size_is_told_its_bounds(home, as_, size):
    bed = {"name": "Salad bed", "length": size, "width": "1.2"}
    answer = as_("keeper").post(reverse("web:add_bed", args=[home.id]), bed, follow=True)
    assert "“Length” must" in answer.content.decode()


def test_spanish_pages_write_decimals_with_a_comma(home, as_):
    home.write("fed", {"vessel": "blue", "amount": {"mass_kg": 1.25}, "bran_g": 12.5})
    client = as_("keeper")
    client.post(reverse("web:settings"), {"units": "metric", "language": "es"})
    text = client.get(reverse("web:vessel", args=[home.id, "blue"])).content.decode()
    assert "1,25 kg" in text
    assert 'value="1,25"' in text
    visible = re.sub(r"<[^>]*>", " ", re.sub(r"<svg.*?</svg>|<script.*?</script>", "", text))
    assert not re.findall(r"\d\.\d", visible)


def test_an_entry_is_taken_out_without_script(home, as_):
    raw = home.write("drained", {"vessel": "blue", "volume_ml": 77.0})
    client, page = as_("keeper"), reverse("web:vessel", args=[home.id, "blue"])
    form = {"supersedes": raw["id"]}
    path = reverse("web:log", args=[home.id, "struck"])
    back = client.post(path, form, headers={"referer": f"http://testserver{page}"})
    assert back.url.endswith(page)
    assert "77 mL" not in client.get(page).content.decode()
