"""Set-up answers while the sliders move, and a place begins from it."""

import datetime as dt
import re

import pytest
from django.urls import reverse


def answer(client, **wishes):
    form = {"people": "3", "litres": "19", "mix": "household", "risk_percent": "5", **wishes}
    return client.post(reverse("web:setup_answer"), form).content.decode()


def needed(text):
    return int(re.search(r"You need (\d+) vessel", text)[1])


def test_twice_the_people_need_more_vessels(people, as_):
    client = as_("stranger")
    few, many = answer(client, people="2"), answer(client, people="8")
    assert needed(many) > needed(few)


def test_every_figure_comes_with_its_range(people, as_):
    text = answer(as_("stranger"))
    figures, ranges = text.count('class="figure"'), re.findall(r'class="range">([^<]+)', text)
    assert figures == len(ranges) == 6
    assert all(re.search(r"\d.*\d", one) for one in ranges)


def test_while_it_is_reckoned_the_vessel_to_be_stands_there(people, as_, home):
    for path in (reverse("web:new_place"), reverse("web:setup", args=[home.id])):
        text = as_("coordinator").get(path).content.decode()
        assert re.search(r'class="setupshelf to-be"><svg', text), path


def test_a_wish_out_of_bounds_is_told_in_one_line(people, as_):
    text = answer(as_("stranger"), people="lots")
    assert "People: found" in text
    assert text.count("fault") == 1


def test_a_place_begins_from_its_plan(people, as_):
    from sourloam.logbook.models import Place

    client = as_("stranger")
    form = {"name": "Mill House", "people": "4", "litres": "25", "keep": "1", "zone": "UTC"}
    page = client.post(reverse("web:new_place"), form)
    place = Place.objects.get(name="Mill House")
    assert page.url == reverse("web:shelf", args=[place.pk])
    assert place.entries.order_by("seq").first().kind == "place_described"
    assert client.get(page.url).status_code == 200


def test_only_a_coordinator_changes_the_plan(home, as_):
    path = reverse("web:setup", args=[home.id])
    assert as_("keeper").post(path, {"people": "5", "keep": "1"}).status_code == 403
    as_("coordinator").post(path, {"people": "5", "keep": "1"})
    newest = home.place.entries.order_by("-seq").first()
    assert newest.kind == "place_described"
    assert newest.body["site"]["scraps"][0]["people"] == 5
    assert newest.body["site"]["bed"], "beds that the sliders do not touch stay"


def test_a_place_from_a_plan_has_its_vessels_on_the_shelf_and_its_bed(people, as_):
    from sourloam.logbook.models import Place

    client = as_("stranger")
    form = {"name": "Mill House", "people": "2", "litres": "19", "area_m2": "6", "keep": "1"}
    page = client.post(reverse("web:new_place"), {**form, "stand": "3"})
    place = Place.objects.get(name="Mill House")
    assert place.entries.filter(kind="vessel_added").count() == 3
    bed = place.entries.get(kind="bed_added").body["spec"]
    assert (bed["length"], bed["width"]) == ("5 m", "1.2 m")
    shelf = client.get(page.url).content.decode()
    assert "Vessel 3" in shelf
    assert "Vessel 4" not in shelf


def test_without_script_as_many_vessels_stand_as_the_answer_says(people, as_):
    from sourloam.logbook.models import Place

    client = as_("stranger")
    form = {"name": "Mill House", "people": "2", "litres": "19", "risk_percent": "5"}
    many = needed(answer(client, **form))
    client.post(reverse("web:new_place"), {**form, "keep": "1", "stand": ""})
    place = Place.objects.get(name="Mill House")
    assert place.entries.filter(kind="vessel_added").count() == many


def test_a_place_may_say_its_own_weather(people, as_):
    from sourloam.logbook.models import Place

    client = as_("stranger")
    own = {"weather": "own", "mean_c": "4", "swing_k": "14", "warmest_month": "7"}
    form = {"name": "Hill House", "people": "2", "area_m2": "6", "risk_percent": "5", **own}
    client.post(reverse("web:new_place"), {**form, "keep": "1", "stand": "1"})
    entry = Place.objects.get(name="Hill House").entries.get(kind="place_described")
    said = {"mean": "4 °C", "swing": "14 °C", "warmest": "07-15"}
    assert entry.body["site"]["climate"] == said


@pytest.mark.slow
def test_frozen_ground_asks_for_more_vessels_than_mild_ground(people, as_):
    client = as_("stranger")
    cold = {"weather": "own", "mean_c": "-2", "swing_k": "16", "warmest_month": "7"}
    many = {"people": "8", "area_m2": "40"}
    assert needed(answer(client, **many, **cold)) > needed(answer(client, **many))


def test_a_reader_in_us_units_sees_sliders_in_them(people, as_):
    from sourloam.logbook.models import Preference

    Preference.objects.create(person=people["stranger"], units="us")
    text = as_("stranger").get(reverse("web:new_place")).content.decode()
    assert re.search(r'for="s-room_c"[^>]*>66 °F<', text)
    assert re.search(r'for="s-litres"[^>]*>5 gal<', text)


def example(name):
    import json
    import tomllib
    from pathlib import Path

    text = (Path(__file__).parents[2] / "examples" / f"{name}.toml").read_text("utf-8")
    return json.loads(json.dumps(tomllib.loads(text), default=str))


@pytest.mark.parametrize("name", ["home", "cafe", "school", "garden"])
def test_what_no_slider_moved_stays_as_it_was_written(name):
    from sourloam.site import Site
    from sourloam.web.setup.wishes import document, read_wishes, wishes_of

    base = example(name)
    before = wishes_of(Site.model_validate(base))
    made = document(read_wishes({}, dt.date(2026, 6, 1), before), base)
    for kind, was in zip(made["vessel"], base["vessel"], strict=True):
        was["owned"] = kind["owned"]
    assert made == base


@pytest.mark.parametrize(
    ("described", "slider"),
    [
        ({"from": "people", "people": 4}, "people"),
        ({"from": "meals", "meals": "cafe_cover", "per_day": 80}, "meals"),
        ({"from": "measured", "amount": "3 kg/day"}, "kg_a_day"),
    ],
)
def test_a_place_has_sliders_in_the_terms_in_which_it_was_described(described, slider):
    from sourloam.site import Site
    from sourloam.web.setup.sliders import wish_fields
    from sourloam.web.setup.wishes import wishes_of

    base = example("home") | {"scraps": [described]}
    fields = wish_fields(wishes_of(Site.model_validate(base)), base, "metric")
    sliders = {one["name"] for one in fields["sliders"]}
    assert {slider, "owned_0", "area_m2", "risk_percent"} <= sliders
    assert {word for word, _said in fields["rooms"]} == {"indoors", "shed", "cellar", "outdoors"}


def test_a_place_that_stands_counts_its_vessels_and_tells_what_fewer_would_mean(home, as_):
    client = as_("coordinator")
    text = client.get(reverse("web:setup", args=[home.id])).content.decode()
    for name in ("people", "owned_0", "risk_percent", "room_c"):
        assert f'type="range" name="{name}"' in text
    assert re.search(r'name="owned_0"[^>]* value="3"', text), "three stand on the shelf"

    def chance(owned):
        said = answer(client, place=home.id, owned_0=str(owned))
        return re.search(rf"with {owned} vessels?</span><span class=\"figure\">([^<]+)", said)[1]

    assert int(chance(1).split()[0]) > 50
    assert chance(9) == "less than 4\xa0%"


def test_a_shed_follows_the_weather_and_asks_for_no_temperature(people, as_):
    from sourloam.logbook.models import Place

    form = {"name": "Mill Shed", "people": "2", "room": "shed", "keep": "1", "stand": "1"}
    as_("stranger").post(reverse("web:new_place"), form)
    entry = Place.objects.get(name="Mill Shed").entries.get(kind="place_described")
    assert entry.body["site"]["room"] == {"kind": "shed"}
