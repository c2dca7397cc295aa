"""Set-up answers while the sliders move, and a place begins from it."""

import re

from django.urls import reverse


def answer(client, **wishes):
    form = {"people": "3", "litres": "19", "mix": "household", "risk_percent": "5", **wishes}
    return client.post(reverse("web:setup_answer"), form).content.decode()


def needed(text):
    return int(re.search(r"(\d+) vessels? of", text)[1])


def test_twice_the_people_need_more_vessels(people, as_):
    client = as_("stranger")
    few, many = answer(client, people="2"), answer(client, people="8")
    assert needed(many) > needed(few)


def test_every_figure_comes_with_its_range(people, as_):
    text = answer(as_("stranger"))
    figures, ranges = text.count('class="figure"'), re.findall(r'class="range">([^<]+)', text)
    assert figures == len(ranges) == 4
    assert all(re.search(r"\d.*\d", one) for one in ranges)


def test_a_wish_out_of_bounds_is_told_in_one_line(people, as_):
    text = answer(as_("stranger"), people="lots")
    assert "people: found" in text
    assert text.count("fault") == 1


def test_a_place_begins_from_its_plan(people, as_):
    from sourloam.logbook.models import Place

    client = as_("stranger")
    form = {"name": "Mill House", "people": "4", "litres": "25", "keep": "1", "zone": "UTC"}
    page = client.post(reverse("web:new_place"), form)
    place = Place.objects.get(name="Mill House")
    assert page.url == reverse("web:shelf", args=[place.pk])
    assert place.entries.get().kind == "place_described"
    assert client.get(page.url).status_code == 200


def test_only_a_coordinator_changes_the_plan(home, as_):
    path = reverse("web:setup", args=[home.id])
    assert as_("keeper").post(path, {"people": "5", "keep": "1"}).status_code == 403
    as_("coordinator").post(path, {"people": "5", "keep": "1"})
    newest = home.place.entries.order_by("-seq").first()
    assert newest.kind == "place_described"
    assert newest.body["site"]["scraps"][0]["people"] == 5
    assert newest.body["site"]["bed"], "beds that the sliders do not touch stay"
