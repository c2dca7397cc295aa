"""What the API tells of a place is what its pages tell."""

import datetime as dt
import io
import json

import pytest
from django.db import DatabaseError, OperationalError, ProgrammingError
from house_of_tests import site_document
from program import problem_of

from sourloam.logbook import models


def said(answer, status=200):
    assert answer.status_code == status, answer.content
    return json.loads(answer.content)


def test_the_work_is_the_pages_work(home, program, as_, rf):
    from sourloam.web import reading

    request = rf.get("/")
    request.user = home.people["coordinator"]
    page = reading.inside(reading.house(request, home.id))
    found = said(program("read").get("due"))
    assert [one["key"] for one in found["items"]] == [due.key for due in page.dues]
    assert found["items"][0]["why"]
    assert said(program("read").get("due?days=0"))["items"] == [
        one for one in found["items"] if one["on"] <= found["today"]
    ]


def test_the_work_of_all_places_stands_by_place(home, program):
    found = said(program("read", everywhere=True).get("/due"))
    assert [one["place"] for one in found["items"]] == [home.id]
    assert found["next"] is None


def test_vessels_have_the_stage_that_the_shelf_shows(home, program):
    found = said(program("read").get("vessels"))["items"]
    stages = {one["id"]: one["stage"] for one in found}
    assert stages == {"blue": "filling", "green": "resting", "tin": "dirty"}
    blue = said(program("read").get("vessels/blue"))
    assert blue["filling"]["layers"] == 10
    assert blue["filling"]["liquid_ml"] == 120.0


def test_lists_go_on_where_they_ended(home, program):
    found = program("read")
    first = said(found.get("vessels?limit=2"))
    rest = said(found.get(f"vessels?limit=2&after={first['next']}"))
    assert [one["id"] for one in first["items"] + rest["items"]] == ["blue", "green", "tin"]
    assert rest["next"] is None


def test_a_forecast_is_told_as_it_is_kept(home, program):
    summary = {"full_on": {"low": "2026-03-01", "median": "2026-03-04", "high": "2026-03-09"}}
    models.Forecast.objects.create(place_id=home.id, vessel="blue", seq=7, summary=summary)
    found = program("read")
    assert said(found.get("vessels/blue/forecast"))["says"] == summary
    every = said(found.get("forecasts"))
    assert every["waits"] is True
    assert [one["vessel"] for one in every["items"]] == ["blue"]
    assert problem_of(found.get("vessels/green/forecast"))["status"] == 404


def test_beds_tell_their_trenches_and_crops(home, program):
    found = said(program("read").get("beds"))
    (wall,) = found["items"]
    assert [one["state"] for one in wall["trenches"]] == ["working"]
    assert [one["crop"] for one in wall["growing"]] == ["leek"]
    assert found["sow"]
    assert said(program("read").get("beds/wall")) == wall


def test_lots_tell_what_they_are_worth(home, program):
    home.write("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5)
    (lot,) = said(program("read").get("lots"))["items"]
    assert lot["stage"] == "store"
    assert lot["worth"]["usable"] is True
    assert said(program("read").get("lots/may-1")) == lot


def test_stores_tell_measures_and_bran(home, program):
    found = said(program("read").get("stores"))
    assert [one["name"] for one in found["measures"]] == ["Bowlful"]
    assert found["bran_used_g"] == 21 * 20


def test_bran_that_another_place_of_the_maker_recalled_is_usable_nowhere(home, program):
    from house_of_tests import entry

    from sourloam.logbook.people import make_place
    from sourloam.logbook.recording import record_entry

    home.write("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5)
    found = program("read", everywhere=True)
    path = f"/places/{home.id}"
    before = said(found.get(f"{path}/stores"))
    assert before["bran_usable_kg"] > 1.5
    assert before["bran_until"] > str(dt.date.today())
    maker = home.people["coordinator"]
    hall = make_place(maker, "Hall", "UTC").pk
    for kind, body in (("received", {"mass_kg": 1.0}), ("recalled", {"note": "green spots"})):
        assert record_entry(maker, entry(hall, f"bran_{kind}", {"lot": "may-1", **body}, 0)).stored
    after = said(found.get(f"{path}/stores"))
    assert after["bran_usable_kg"] == 0
    assert after["bran_left_kg"] == before["bran_left_kg"]
    assert said(found.get(f"{path}/lots/may-1"))["worth"]["usable"] is False


def test_what_is_not_there_is_one_problem(home, program):
    found = program("read")
    for path in ("vessels/no", "beds/no", "lots/no", "photos/no", "v", "due/x"):
        assert problem_of(found.get(path))["status"] == 404, path


def test_another_method_is_told_which_are_right(home, program):
    answer = program("manage").ask("PUT", "due")
    assert problem_of(answer)["status"] == 405
    assert answer.headers["Allow"] == "GET"


def test_a_place_is_told_and_changed(home, program):
    found = program("manage")
    assert said(found.get(f"/places/{home.id}"))["zone"] == "Europe/Dublin"
    changed = said(found.ask("PATCH", f"/places/{home.id}", {"name": "Flat at the corner"}))
    assert (changed["name"], changed["zone"]) == ("Flat at the corner", "Europe/Dublin")
    wrong = problem_of(found.ask("PATCH", f"/places/{home.id}", {"zone": "Moon/Sea"}))
    assert wrong["status"] == 422
    assert said(found.get("description"))["site"] == site_document()


def test_people_are_invited_once_and_withdrawn(home, program):
    found = program("manage")
    new = {"id": "0f0f0f0f-0000-4000-8000-00000000000b", "role": "gardener"}
    made = said(found.post("invitations", new), 201)
    assert "/join/" in made["link"]
    assert said(found.post("invitations", new))["link"] is None
    assert problem_of(found.post("invitations", {**new, "role": "reader"}))["status"] == 409
    gardener = home.people["gardener"].pk
    left = said(found.ask("DELETE", f"people/{gardener}"))
    assert "gardener" not in [one["name"] for one in left["people"]]
    assert said(found.ask("DELETE", f"invitations/{new['id']}"))["invitations"] == []
    own = home.people["coordinator"].pk
    assert problem_of(found.ask("DELETE", f"people/{own}"))["status"] == 409
    assert problem_of(found.ask("DELETE", f"people/{10**30}"))["status"] == 404


def test_signs_lead_to_a_remedy_and_the_entry_that_keeps_it(home, program):
    found = program("log")
    signs = said(found.get("/signs"))["items"]
    assert {"vessel", "ground"} == {one["stage"] for one in signs}
    answer = said(found.post("rescue", {"vessel": "blue", "seen": ["rotten_smell"]}))
    assert answer["answer"]["cautions"]
    assert answer["entry"]["vessel"] == "blue"
    for wrong in (
        {"seen": ["rotten_smell"]},
        {"vessel": "blue", "bed": "wall"},
        {"vessel": "blue", "seen": ["no_such"]},
        {"bed": "wall", "seen": ["rotten_smell"]},
    ):
        assert problem_of(found.post("rescue", wrong))["status"] == 422
    assert problem_of(found.post("rescue", {"vessel": "no"}))["status"] == 404


@pytest.mark.parametrize("day", ["20150101", "-4.5e-48", "1e9", "2026-03-01T00:00", "1.3.2026"])
def test_a_day_is_written_as_a_day_or_refused(home, program, day):
    told = problem_of(program("read").get(f"achieved?first={day}"))
    assert (told["status"], told["field"]) == (422, "first")
    assert "2026-03-01" in told["detail"]


@pytest.mark.parametrize(
    ("error", "status"),
    [
        (DatabaseError("database disk image is malformed"), 503),
        (OperationalError("database or disk is full"), 503),
        (ProgrammingError("no such column"), 500),
    ],
    ids=["torn", "full", "ours"],
)
def test_a_store_that_breaks_is_told_as_such_and_a_fault_of_ours_as_ours(
    home, program, monkeypatch, error, status
):
    from sourloam.api import standing

    def broken(*_args, **_more):
        raise error

    asked = program("read")
    monkeypatch.setattr(standing, "_inside", broken)
    assert problem_of(asked.get("due"))["status"] == status


def test_what_was_achieved_is_ordered_first_and_told_later(home, program):
    found = program("read")
    waits = found.get("achieved")
    assert said(waits, 202)["waits"] is True
    assert waits.headers["Retry-After"]
    assert problem_of(found.get("achieved?first=2026-03-02&last=2026-03-01"))["status"] == 422


@pytest.mark.slow
def test_a_plan_and_a_garden_are_those_of_the_commands(home, program):
    from sourloam.planning import make_plan
    from sourloam.site import Site

    found = program("read")
    plan = said(found.get("plan?members=20&seed=3"))
    site = Site.model_validate(site_document())
    assert plan == json.loads(make_plan(site, 1, 20, 3).model_dump_json())
    elsewhere = said(found.post("/plans", {"site": site_document(), "members": 20, "seed": 3}))
    assert elsewhere == plan
    assert said(found.get("garden?members=20"))["beds"]


WRONG_PLACES = (
    ({"site": {}}, "site"),
    ({"site": {"site": {"name": "x", "colour": 1}}}, "site"),
    ({"site": site_document(), "members": 3}, "members"),
    ({"site": site_document() | {"climate": {"csv": "/etc/passwd"}}}, "csv"),
    ({}, "site"),
)


def test_a_place_that_can_not_be_planned_is_told_in_one_line(home, program):
    found = program("read")
    for sent, word in WRONG_PLACES:
        told = problem_of(found.post("/plans", sent))
        assert told["status"] == 422
        assert word in told["detail"]


def test_a_place_without_a_description_has_no_plan(home, program):
    from sourloam.logbook.people import make_place

    bare = make_place(home.people["coordinator"], "Bare").pk
    found = program("read", everywhere=True)
    assert problem_of(found.get(f"/places/{bare}/plan"))["status"] == 409


def test_a_place_goes_out_and_comes_in(home, program):
    found = program("manage")
    out = found.get("place.json")
    assert json.loads(out.content)["place"]["name"] == "Flat at 4 Alder Row"
    back = found.form("file", file=_named("place.json", out.content))
    assert said(back)["new"] == 0
    assert found.get("place.zip").content.startswith(b"PK")
    assert problem_of(found.form("file", file=_named("a.json", b"{}")))["status"] == 422
    assert problem_of(found.form("file"))["field"] == "file"
    assert problem_of(program("log").form("file", file=_named("a.json", b"{}")))["status"] == 403


def _named(name, content):
    from django.core.files.uploadedfile import SimpleUploadedFile

    return SimpleUploadedFile(name, content)


def test_a_photo_is_kept_and_given_back_drawn_anew(home, program):
    from PIL import Image

    drawn = io.BytesIO()
    Image.new("RGB", (8, 8), "green").save(drawn, "PNG")
    found = program("log")
    name = said(found.form("photos", file=_named("a.png", drawn.getvalue())), 201)["photo"]
    assert found.get(f"photos/{name}").content.startswith(b"\xff\xd8")
    assert problem_of(found.form("photos", file=_named("a.png", b"no")))["status"] == 422
    assert problem_of(program("read").form("photos", file=_named("a.png", b"no")))["status"] == 403


def test_weighings_are_looked_at_first_and_taken_in_once(home, program):
    found = program("log")
    text = "date,vessel,kg\n2026-03-01,Blue pail,0.8\n2026-03-02,blue,0.6\n"
    looked = said(found.post("weighings", {"text": text}))
    assert (looked["taken"], len(looked["lines"])) == (False, 2)
    took = [said(found.post("weighings", {"text": text, "take": True})) for _ in range(2)]
    assert [(one["new"], one["known"]) for one in took] == [(2, 0), (0, 2)]
    open_ = problem_of(found.post("weighings", {"text": "date,kg\n2026-03-01,1\n"}))
    assert open_["field"] == "vessel"
    assert problem_of(found.post("weighings", {"text": "hello"}))["status"] == 422


def test_the_season_and_the_week_are_printed(home, program):
    found = program("read")
    for what in ("season.pdf", "week.pdf?paper=letter&language=es", "bran.pdf"):
        assert found.get(what).content.startswith(b"%PDF")
    waits = found.get("achieved.pdf")
    assert problem_of(waits)["status"] == 503
    assert waits.headers["Retry-After"]


def test_a_fault_of_ours_is_a_problem_too(home, program, monkeypatch):
    from sourloam.api import standing

    def fail(*_args, **_more):
        raise RuntimeError("the shelf fell")

    monkeypatch.setattr(standing, "paged", fail)
    told = problem_of(program("read").get("vessels"))
    assert (told["status"], told["reason"]) == (500, "server")
    assert "shelf" not in told["detail"]


def test_before_a_first_keeper_programs_are_sent_to_no_page(db, client):
    assert problem_of(client.get("/api/v1/me"))["status"] == 401


def test_no_address_asks_the_store_much(home, program, django_assert_max_num_queries):
    found = program("read")
    found.get("/me")
    for path in ("due", "vessels", "beds", "lots", "stores", "forecasts", "entries", "people"):
        with django_assert_max_num_queries(12):
            assert found.get(path).status_code == 200
