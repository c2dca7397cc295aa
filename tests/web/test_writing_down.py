"""Entries come in by a form or from a phone's queue, and each is one entry."""

import json

import pytest
from django.urls import reverse
from house_of_tests import entry

HOUR = 3600


@pytest.fixture
def send(home, as_):
    def sent(raw, who="keeper"):
        client = as_(who) if who else None
        return client.post(reverse("web:entries"), json.dumps(raw), "application/json")

    return sent


def drained(home, **more):
    body = {"vessel": "blue", "volume_ml": 150.0, "use": "plants"}
    return entry(home.id, "drained", body, **more)


def test_the_same_entry_sent_again_is_one_entry(home, send):
    from sourloam.logbook.models import Entry

    raw = drained(home)
    assert send(raw).status_code == 201
    assert send(raw).status_code == 200
    assert Entry.objects.filter(pk=raw["id"]).count() == 1


def test_another_entry_under_a_known_id_is_a_clash_told_in_one_line(home, send):
    raw = drained(home)
    send(raw)
    answer = send({**raw, "body": {**raw["body"], "volume_ml": 90.0}})
    assert answer.status_code == 409
    assert "\n" not in answer.json()["detail"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"kind": "sung"},
        {"body": {"vessel": "blue"}},
        {"body": {"vessel": "blue", "volume_ml": False}},
        {"at": "yesterday"},
        {"id": "1"},
    ],
)
def test_a_wrong_entry_is_told_in_one_line(home, send, wrong):
    answer = send({**drained(home), **wrong})
    assert answer.status_code == 422
    assert 0 < len(answer.json()["detail"]) < 500
    assert "\n" not in answer.json()["detail"]


@pytest.mark.parametrize("text", ["", "{", "1", '"x"', "null", "[" * 5000])
def test_what_is_no_json_object_is_told_in_one_line(home, as_, text):
    answer = as_("keeper").post(reverse("web:entries"), text, "application/json")
    assert answer.status_code == 422


def test_each_of_several_entries_has_its_own_answer(home, send):
    known = drained(home)
    send(known)
    answer = send([known, drained(home), {**drained(home), "kind": "sung"}, 7])
    assert answer.status_code == 200
    assert [one["status"] for one in answer.json()["entries"]] == [200, 201, 422, 422]


def test_a_reader_writes_nothing(home, send):
    assert send(drained(home), "reader").status_code == 403


def test_a_stranger_writes_nothing(home, send):
    assert send(drained(home), "stranger").status_code == 403


def test_a_phone_that_is_signed_out_hears_so(home, client):
    answer = client.post(reverse("web:entries"), json.dumps(drained(home)), "application/json")
    assert answer.status_code == 401


def test_a_form_without_script_writes_an_entry(home, as_):
    from sourloam.logbook.models import Entry

    form = {
        "vessel": "blue",
        "amount-way": "measure=bowl",
        "amount-n": "1.5",
        "kinds": "household",
        "bran_g:n1": "25",
        "temperature_c:f": "",
    }
    answer = as_("keeper").post(reverse("web:log", args=[home.id, "fed"]), form)
    assert answer.status_code == 302
    body = Entry.objects.order_by("-seq").first().body
    assert body["amount"] == {"measure": "bowl", "count": 1.5}
    assert body["bran_g"] == 25


def test_a_vessel_put_up_by_form_stands_on_the_shelf(home, as_):
    client = as_("keeper")
    form = {"name": "Red pail", "kind": "19 L pail", "where": "shed"}
    client.post(reverse("web:add_vessel", args=[home.id]), form)
    assert "Red pail" in client.get(reverse("web:shelf", args=[home.id])).content.decode()


def test_a_bed_laid_out_by_form_is_drawn(home, as_):
    client = as_("keeper")
    form = {"name": "Salad bed", "length": "2", "width": "1.2", "texture": "loam"}
    client.post(reverse("web:add_bed", args=[home.id]), form)
    assert "Salad bed" in client.get(reverse("web:beds", args=[home.id])).content.decode()


def test_a_gardener_puts_up_no_vessel(home, as_):
    form = {"name": "Red pail", "kind": "19 L pail"}
    assert as_("gardener").post(reverse("web:add_vessel", args=[home.id]), form).status_code == 403


def test_two_corrections_of_one_entry_are_both_shown(home, as_):
    first = home.write("drained", {"vessel": "blue", "volume_ml": 100.0}, 1)
    for volume in (111.0, 222.0):
        body = {"vessel": "blue", "volume_ml": volume}
        home.write("drained", body, 1, supersedes=first["id"])
    text = as_("keeper").get(reverse("web:vessel", args=[home.id, "blue"])).content.decode()
    assert "Two versions" in text
    assert "111 mL" in text
    assert "222 mL" in text


def test_a_photo_is_kept_and_seen_by_the_people_of_its_place_only(home, as_):
    import io

    from django.core.files.uploadedfile import SimpleUploadedFile
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (64, 48), "purple").save(out, "JPEG")
    file = SimpleUploadedFile("a.jpg", out.getvalue(), "image/jpeg")
    answer = as_("keeper").post(reverse("web:photos"), {"place": home.id, "file": file})
    assert answer.status_code == 201
    path = reverse("web:photo", args=[home.id, answer.json()["photo"]])
    assert as_("reader").get(path)["Content-Type"] == "image/jpeg"
    assert as_("stranger").get(path).status_code == 404


def test_what_is_no_photo_is_refused(home, as_):
    from django.core.files.uploadedfile import SimpleUploadedFile

    file = SimpleUploadedFile("a.jpg", b"not a photo", "image/jpeg")
    answer = as_("keeper").post(reverse("web:photos"), {"place": home.id, "file": file})
    assert answer.status_code == 422
