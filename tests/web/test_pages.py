"""Every page is asked the same questions."""

import pytest
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

MOST_QUERIES = 12
OF_PLACE = {
    "shelf": (),
    "vessel": ("blue",),
    "beds": (),
    "setup": (),
    "people": (),
    "labels": (),
}
OF_PERSON = ("today", "settings", "new_place")
POSTED = {
    "add_vessel": (),
    "add_bed": (),
    "invite": (),
    "log": ("looked",),
    "withdraw_person": (1,),
    "withdraw_invitation": ("x",),
}


def address(home, name):
    parts = {**OF_PLACE, **POSTED}
    return reverse(f"web:{name}", args=[home.id, *parts[name]])


@pytest.mark.parametrize("name", OF_PLACE)
@pytest.mark.parametrize("role", ["coordinator", "keeper", "gardener", "reader"])
def test_everybody_of_a_place_sees_its_pages(home, as_, name, role):
    assert as_(role).get(address(home, name)).status_code == 200


@pytest.mark.parametrize("name", [*OF_PLACE, *POSTED])
def test_a_stranger_finds_nothing(home, as_, name):
    client = as_("stranger")
    ask = client.post if name in POSTED else client.get
    assert ask(address(home, name)).status_code == 404


@pytest.mark.parametrize("name", OF_PLACE)
def test_nobody_sees_a_place_without_signing_in(home, client, name):
    answer = client.get(address(home, name))
    assert answer.status_code == 302
    assert answer.url.startswith(reverse("web:enter"))


@pytest.mark.parametrize("name", OF_PERSON)
def test_the_pages_of_a_person_ask_for_signing_in(home, client, as_, name):
    assert client.get(reverse(f"web:{name}")).status_code == 302
    assert as_("stranger").get(reverse(f"web:{name}")).status_code == 200


@pytest.mark.parametrize("name", POSTED)
def test_what_changes_something_is_never_got(home, as_, name):
    assert as_("coordinator").get(address(home, name)).status_code == 405


@pytest.mark.parametrize("name", [*OF_PLACE, *OF_PERSON])
def test_a_page_asks_the_database_at_most_twelve_times(home, as_, name):
    from django.db import connection

    client = as_("coordinator")
    path = address(home, name) if name in OF_PLACE else reverse(f"web:{name}")
    client.get(path)
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert client.get(path).status_code == 200
    assert len(asked) <= MOST_QUERIES


def test_more_vessels_cost_no_more_questions(home, as_):
    from django.db import connection

    client, path = as_("coordinator"), reverse("web:today")

    def questions():
        client.get(path)
        with CaptureQueriesContext(connection) as asked:
            client.get(path)
        return len(asked)

    before = questions()
    for number in range(20):
        spec = {"name": "19 L pail", "volume": "19 L"}
        body = {"vessel": f"more-{number}", "name": f"More {number}", "spec": spec}
        home.write("vessel_added", body)
    assert questions() == before


@pytest.mark.parametrize("name", ["today", "shelf", "vessel", "beds"])
def test_a_phone_may_keep_the_pages_it_needs_in_a_shed(home, as_, name):
    path = address(home, name) if name in OF_PLACE else reverse(f"web:{name}")
    assert as_("keeper").get(path)["X-Keep"] == "1"


@pytest.mark.parametrize("name", ["people", "setup", "labels"])
def test_other_pages_are_not_kept(home, as_, name):
    assert "X-Keep" not in as_("coordinator").get(address(home, name))


@pytest.mark.parametrize("name", [*OF_PLACE, *OF_PERSON])
def test_no_page_holds_style_or_script_within(home, as_, name):
    path = address(home, name) if name in OF_PLACE else reverse(f"web:{name}")
    text = as_("coordinator").get(path).content.decode()
    assert " style=" not in text
    assert "<style" not in text
    assert "onclick" not in text
    assert all("src=" in part.split(">")[0] for part in text.split("<script")[1:])


def test_what_people_wrote_is_text_and_never_marks(home, as_):
    evil = "<script>alert(1)</script>"
    spec = {"name": "19 L pail", "volume": "19 L"}
    home.write("vessel_added", {"vessel": "evil", "name": evil, "spec": spec, "where": evil})
    home.write("noted", {"vessel": "evil", "note": evil})
    for path in (reverse("web:today"), reverse("web:vessel", args=[home.id, "evil"])):
        assert "<script>alert" not in as_("reader").get(path).content.decode()


def test_many_places_are_named_below_those_that_are_drawn(home, as_):
    from sourloam.logbook.people import make_place

    for number in range(14):
        make_place(home.people["coordinator"], f"Place {number}")
    text = as_("coordinator").get(reverse("web:today")).content.decode()
    assert text.count('<details class="house"') == 8
    assert "Other places" in text
    assert all(f"Place {number}" in text for number in range(14))


def test_labels_come_by_sheets_of_twenty_four(home, as_):
    spec = {"name": "19 L pail", "volume": "19 L"}
    for number in range(30):
        body = {"vessel": f"more-{number}", "name": f"More {number}", "spec": spec}
        home.write("vessel_added", body)
    path = address(home, "labels")
    counts = [
        as_("reader").get(path + f"?sheet={n}").content.decode().count("<li>") for n in (1, 2)
    ]
    assert counts == [24, 9]


def test_an_unknown_vessel_is_not_found(home, as_):
    path = reverse("web:vessel", args=[home.id, "nobody"])
    assert as_("coordinator").get(path).status_code == 404


def test_a_label_leads_to_its_vessel(home, as_):
    from sourloam.web import short

    path = reverse("web:label", args=[short.code(home.id, "blue")])
    assert as_("reader").get(path).url == reverse("web:vessel", args=[home.id, "blue"])
    assert as_("stranger").get(path).status_code == 404


def test_a_reader_is_offered_nothing_to_write(home, as_):
    text = as_("reader").get(address(home, "vessel")).content.decode()
    assert "data-entry" not in text


def test_a_gardener_may_look_but_not_feed(home, as_):
    text = as_("gardener").get(address(home, "vessel")).content.decode()
    assert 'data-entry="looked"' in text
    assert 'data-entry="fed"' not in text


def test_pages_open_in_spanish(home, as_):
    client = as_("coordinator")
    answer = client.post(reverse("web:settings"), {"units": "us", "language": "es"})
    assert answer.status_code == 302
    text = client.get(address(home, "vessel")).content.decode()
    assert 'lang="es"' in text
    assert "Anotar una capa" in text
    assert "onzas líquidas" in text


def test_a_place_with_nothing_yet_says_what_comes_first(people, client):
    from sourloam.logbook.people import make_place

    bare = make_place(people["stranger"], "Bare place")
    client.force_login(people["stranger"], backend="django.contrib.auth.backends.ModelBackend")
    shelf = reverse("web:shelf", args=[bare.pk])
    today = client.get(reverse("web:today")).content.decode()
    assert f'class="button go" href="{shelf}"' in today
    page = client.get(shelf).content.decode()
    assert '<details class="more" open><summary>Add a vessel' in page
    assert "how many you need" in page
    assert "Print labels" not in page
    beds = client.get(reverse("web:beds", args=[bare.pk])).content.decode()
    assert '<details class="more noprint" open><summary>Add a bed' in beds
    labels = client.get(reverse("web:labels", args=[bare.pk])).content.decode()
    assert f'class="button go" href="{shelf}"' in labels
