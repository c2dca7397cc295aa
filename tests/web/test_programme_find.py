"""From any page of a programme: its places by name, its parts by a word, lists by what is wrong."""

import datetime as dt
import re

import pytest
from django.urls import reverse

from sourloam.logbook import programmes
from sourloam.logbook.models import PlaceSummary
from sourloam.logbook.people import make_place
from sourloam.programme import PlaceFacts, VesselFacts
from sourloam.programme.facts import BranFacts


@pytest.fixture
def town(people):
    """A programme of five places, one of each trouble and one without."""
    made = programmes.make_programme(people["coordinator"], "Town exchange")
    today = programmes.today(made)
    daily = tuple(today - dt.timedelta(days=n) for n in range(9, -1, -1))
    quiet = tuple(today - dt.timedelta(days=n) for n in range(109, 99, -1))
    free = VesselFacts("b", "Spare", "empty")

    def bring(name, days=daily, vessels=(), bran=None):
        place = make_place(people["stranger"], name)
        made.places.create(place=place, joined=today)
        facts = PlaceFacts(place.pk, name, "home", today, (*vessels, free), days, bran=bran)
        PlaceSummary.objects.update_or_create(place=place, defaults={"facts": facts.as_json()})

    resting = VesselFacts("a", "Red", "resting", 12.0, today)
    bring("182 Tanner's Yard", vessels=(resting, VesselFacts("c", "Blue", "ready", 9.0, today)))
    bring("School at Mill Lane 295", vessels=(VesselFacts("a", "Red", "failed", 9.0, today),))
    bring("106 Quince Street", quiet)
    none_left = BranFacts(0.0, (0.02, 0.03, 0.04))
    bring("1061 Quince Street", bran=none_left)
    bring("Café Núñez", bran=none_left)
    return made


def names(answer):
    assert answer.status_code == 200
    found = re.findall(
        r'<a class="sign" href="[^"]*/p/[^"]*"[^>]*>(.*?)</a>', answer.content.decode()
    )
    return [name.replace("&#x27;", "'") for name in found]


@pytest.mark.parametrize(
    ("asked", "first"),
    [
        ("182 Tanner", "182 Tanner's Yard"),
        ("quince street 106", "106 Quince Street"),
        ("School 295", "School at Mill Lane 295"),
        ("nunez cafe", "Café Núñez"),
    ],
)
def test_a_place_is_found_by_its_words_in_any_order(town, as_, asked, first):
    client = as_("coordinator")
    assert names(client.get(reverse("web:find"), {"in": town.pk, "q": asked}))[0] == first
    assert names(client.get(reverse("web:find"), {"q": asked}))[0] == first
    listed = client.get(reverse("web:programme_places", args=[town.pk]), {"q": asked})
    assert first in names(listed)


@pytest.mark.parametrize(
    ("asked", "leads_to"),
    [
        ("bran", "#bran-week"),
        ("training", "/log"),
        ("full", "?show=full"),
        ("silent", "?show=quiet"),
        ("van", "/settings"),
        ("funder", "/figures"),
    ],
)
def test_a_word_leads_to_a_part_of_the_programme(town, as_, asked, leads_to):
    text = as_("coordinator").get(reverse("web:find"), {"in": town.pk, "q": asked}).content.decode()
    main = text.partition("<main")[2]
    assert any(url.endswith(leads_to) for url in re.findall(r'href="([^"]+)"', main))


def test_a_name_is_read_out_without_a_comma_before_nothing(town, as_):
    text = as_("coordinator").get("/find", {"in": town.pk, "q": "Tanner"}).content.decode()
    assert "182 Tanner" in text
    assert not re.search(r'aria-label="[^"]*, "', text)


def test_find_in_the_header_of_a_programme_looks_there_and_strangers_do_not(town, as_):
    client = as_("coordinator")
    text = client.get(reverse("web:programme", args=[town.pk])).content.decode()
    assert f'href="/find?in={town.pk}"' in text
    asked = {"in": town.pk, "q": "xylophone"}
    assert "Nothing here is called" in client.get("/find", asked).content.decode()
    assert as_("keeper").get("/find", asked).status_code == 404
    assert names(as_("keeper").get("/find", {"q": "Tanner"})) == []


@pytest.mark.parametrize(
    ("show", "expected"),
    [
        ("full", ["182 Tanner's Yard"]),
        ("failed", ["School at Mill Lane 295"]),
        ("quiet", ["106 Quince Street"]),
        ("bran", ["1061 Quince Street", "Café Núñez"]),
        ("beds", []),
        ("nonsense", 5),
    ],
)
def test_places_are_listed_by_what_is_the_matter(town, as_, show, expected):
    answer = as_("coordinator").get(f"/g/{town.pk}/places", {"show": show})
    found = names(answer)
    assert (len(found) if show == "nonsense" else found) == expected
    if show == "full":
        assert "2 vessels stand full there." in answer.content.decode()


def test_numbers_of_the_morning_lead_to_their_lists_and_long_lists_go_on(town, as_, monkeypatch):
    from sourloam.web.programmes import morning as programme_page
    from sourloam.web.programmes import place_list

    monkeypatch.setattr(programme_page, "_SHORT", 1)
    monkeypatch.setattr(place_list, "_LISTED", 2)
    client = as_("coordinator")
    text = client.get(f"/g/{town.pk}/").content.decode()
    assert {"full", "bran"} <= set(re.findall(r"/places\?show=(\w+)", text))
    first = client.get(f"/g/{town.pk}/places", {"q": "s"})
    more = re.search(r'href="(\?[^"]+from=2)"', first.content.decode())[1].replace("&amp;", "&")
    rest = client.get(f"/g/{town.pk}/places{more}")
    assert (len(names(first)), len(names(rest))) == (2, 2)
