"""Entries and readings through the API: once each, told clearly, as the pages would write them."""

import datetime as dt
import json
import uuid

from house_of_tests import entry
from program import problem_of

from sourloam.logbook import models
from sourloam.logbook.standing import state_of

NOW = "2026-03-01T18:30:00Z"


def fed(home, mass_kg=1.0, **more):
    return entry(home.id, "fed", {"vessel": "blue", "amount": {"mass_kg": mass_kg}}, **more)


def said(answer):
    return json.loads(answer.content)


def test_an_entry_sent_again_is_one_entry_and_another_under_its_id_is_refused(home, program):
    found, one = program(), fed(home)
    before = models.Entry.objects.count()
    assert [found.post("entries", one).status_code for _ in range(3)] == [201, 200, 200]
    clash = problem_of(found.post("entries", {**fed(home, 2.0), "id": one["id"]}))
    assert (clash["status"], clash["reason"], clash["field"]) == (409, "clash", "id")
    assert models.Entry.objects.count() == before + 1


def test_the_tokens_name_stands_beside_its_maker(home, program):
    one = fed(home)
    program(name="Scale").post("entries", one)
    kept = models.Entry.objects.get(pk=one["id"])
    assert kept.by == "Scale (coordinator)"
    assert kept.person == home.people["coordinator"]


WRONG_ENTRIES = (
    ({"id": "7"}, 422, "id"),
    ({"id": None}, 422, "id"),
    ({"kind": "eaten"}, 422, "kind"),
    ({"kind": 7}, 422, "kind"),
    ({"at": "yesterday"}, 422, "at"),
    ({"at": "1066-10-14T09:00:00Z"}, 422, "at"),
    ({"place": "another"}, 422, "place"),
    ({"body": {"vessel": "blue"}}, 422, "amount"),
    ({"body": {"vessel": "blue", "amount": {"mass_kg": False}}}, 422, "mass_kg"),
    ({"body": {"vessel": "nowhere", "amount": {"mass_kg": 1}}}, 422, None),
    ({"body": []}, 422, None),
    ({"supersedes": "x"}, 422, "supersedes"),
    ({"colour": "green"}, 422, None),
)


def test_what_is_no_entry_is_one_problem_with_its_field(home, program):
    found = program()
    for change, status, field in WRONG_ENTRIES:
        told = problem_of(found.post("entries", {**fed(home), **change}))
        assert (told["status"], told.get("field")) == (status, field), change


WRONG_BODIES = (
    (b" ", "application/json", 400),
    (b"{", "application/json", 400),
    (b"[" * 5000, "application/json", 400),
    (b'"\xff"', "application/json", 400),
    (b'{"id": "\\ud800"}', "application/json", 400),
    (b'{"id": "\\u0000"}', "application/json", 422),
    (b'{"a": NaN}', "application/json", 400),
    (b"[]", "application/json", 422),
    (b"null", "application/json", 422),
    (b"{}", "text/plain", 415),
    (b"{}", "application/x-www-form-urlencoded", 415),
)


def test_what_is_no_object_of_json_is_one_problem(home, program):
    found = program()
    for body, kind, status in WRONG_BODIES:
        answer = found.post("entries", data=body, content_type=kind)
        assert problem_of(answer)["status"] == status, body[:20]


def test_too_much_at_once_is_refused_before_it_is_read(home, program):
    body = b'{"id": "' + b"x" * 4_100_000 + b'"}'
    answer = program().post("entries", data=body, content_type="application/json")
    assert problem_of(answer)["status"] == 413


def test_of_many_entries_each_is_answered_by_itself(home, program):
    good, bad, strange = fed(home), {**fed(home), "kind": "eaten"}, 7
    described = entry(home.id, "place_described", {"site": {}})
    answer = program().post("many-entries", {"entries": [good, bad, strange, described, good]})
    items = said(answer)["items"]
    assert [one["status"] for one in items] == [201, 422, 422, 403, 200]
    assert items[3]["reason"] == "scope"


def test_many_entries_are_a_list_of_at_most_200(home, program):
    found = program()
    for sent in ([], {"entries": 7}, {"entries": [{}] * 201}, {"a": []}):
        assert problem_of(found.post("many-entries", sent))["status"] == 422


def test_a_token_that_logs_does_not_describe_the_place_nor_strike_its_description(home, program):
    described = models.Entry.objects.get(kind="place_described")
    strike = entry(home.id, "struck", {}, supersedes=str(described.pk))
    told = problem_of(program("log").post("entries", strike))
    assert (told["status"], told["reason"]) == (403, "role")
    assert program("manage").post("entries", strike).status_code == 201


def test_a_token_that_reads_writes_nothing(home, program):
    found, before = program("read"), models.Entry.objects.count()
    assert problem_of(found.post("entries", fed(home)))["reason"] == "scope"
    reading = {"at": NOW, "temperature_c": 18.4}
    assert problem_of(found.post("readings", reading))["reason"] == "scope"
    assert models.Entry.objects.count() == before


def test_a_sensor_whose_clock_is_wrong_is_told_so(home, program):
    late = dt.datetime.now(dt.UTC) + dt.timedelta(hours=1)
    answer = program().post("readings", {"at": late.isoformat(), "temperature_c": 18.0})
    assert (problem_of(answer)["status"], problem_of(answer)["field"]) == (422, "at")
    for never_set in ("1970-01-01T00:05:00Z", "0001-01-01T00:00:00+14:00"):
        answer = program().post("readings", {"at": never_set, "temperature_c": 18.0})
        assert (problem_of(answer)["status"], problem_of(answer)["field"]) == (422, "at")
    fast = dt.datetime.now(dt.UTC) + dt.timedelta(minutes=2)
    sent = {"at": fast.isoformat(), "temperature_c": 18.0}
    assert program().post("readings", sent).status_code == 201


def test_readings_become_entries_that_the_log_knows(home, program):
    found = program()
    warm = {"at": NOW, "temperature_c": 18.4}
    inside = {**warm, "vessel": "blue", "temperature_c": 21.0}
    weight = {"at": NOW, "vessel": "blue", "mass_kg": 9.2, "empty_kg": 1.1}
    for reading in (warm, inside, weight):
        assert found.post("readings", reading).status_code == 201
        assert found.post("readings", reading).status_code == 200
    state, _seq = state_of(home.id, "Europe/Dublin")
    assert [r.body.temperature_c for r in state.stores.warmths] == [18.4]
    kinds = [r.kind for r in state.vessel("blue").log if r.body in _bodies(inside, weight)]
    assert sorted(kinds) == ["warmth_read", "weighed"]


def _bodies(*readings):
    from sourloam.ledger import parse_body

    told = [{k: v for k, v in one.items() if k != "at"} for one in readings]
    return [parse_body("weighed" if "mass_kg" in t else "warmth_read", t) for t in told]


def test_another_value_for_the_same_moment_is_no_silent_second_reading(home, program):
    found = program()
    assert found.post("readings", {"at": NOW, "temperature_c": 18.4}).status_code == 201
    told = problem_of(found.post("readings", {"at": NOW, "temperature_c": 18.5}))
    assert (told["status"], told["field"]) == (409, "id")
    own = {"id": str(uuid.uuid4()), "at": NOW, "temperature_c": 18.5}
    assert found.post("readings", own).status_code == 201


WRONG_READINGS = (
    ({"temperature_c": 18}, "at"),
    ({"at": NOW}, "temperature_c"),
    ({"at": "2026-03-01T18:30:00", "temperature_c": 18}, "at"),
    ({"at": 1772389800, "temperature_c": 18}, "at"),
    ({"at": NOW, "temperature_c": 184}, "temperature_c"),
    ({"at": NOW, "temperature_c": "18"}, "temperature_c"),
    ({"at": NOW, "temperature_c": True}, "temperature_c"),
    ({"at": NOW, "mass_kg": 9}, "vessel"),
    ({"at": NOW, "mass_kg": 9, "vessel": "Blue Pail"}, "vessel"),
    ({"at": NOW, "temperature_c": 18, "mass_kg": 9, "vessel": "blue"}, "temperature_c"),
    ({"at": NOW, "temperature_c": 18, "colour": 1}, "colour"),
)


def test_a_reading_that_is_none_is_told_by_its_field(home, program):
    found = program()
    for reading, field in WRONG_READINGS:
        told = problem_of(found.post("readings", reading))
        assert (told["status"], told["field"]) == (422, field), reading


def test_a_reading_of_a_vessel_that_nobody_put_up_is_refused(home, program):
    reading = {"at": NOW, "temperature_c": 18.0, "vessel": "nowhere"}
    assert problem_of(program().post("readings", reading))["reason"] == "vessel"


def test_entries_are_read_in_pages_in_the_order_in_which_they_came(home, program):
    found, after, got = program("read"), None, []
    while after is not None or not got:
        page = said(found.get("entries" + (f"?limit=10&after={after}" if after else "?limit=10")))
        got += page["items"]
        after = page["next"]
    numbers = [one["seq"] for one in got]
    assert numbers == list(range(1, models.Entry.objects.count() + 1))
    assert got[-1]["hash"] == models.Place.objects.get(pk=home.id).last_hash


def test_entries_are_chosen_by_kind_and_by_what_they_are_about(home, program):
    found = program("read")
    kinds = {one["kind"] for one in said(found.get("entries?vessel=blue&limit=200"))["items"]}
    assert kinds == {"vessel_added", "fed", "drained", "ph_read"}
    only = said(found.get("entries?vessel=blue&kind=ph_read"))["items"]
    assert [one["body"]["ph"] for one in only] == [4.4]
    assert said(found.get("entries?bed=wall"))["items"]


def test_a_question_that_can_not_be_is_told_by_its_field(home, program):
    found = program("read")
    for query in ("limit=0", "limit=201", "limit=x", "after=-1", "kind=A%00", "vesel=blue"):
        told = problem_of(found.get(f"entries?{query}"))
        assert (told["status"], told["field"]) == (422, query.partition("=")[0]), query


def test_what_goes_out_comes_in_as_the_same_entry(home, program):
    found = program("manage")
    for one in said(found.get("entries?limit=200"))["items"]:
        kept = {k: v for k, v in one.items() if k not in ("seq", "hash") and v is not None}
        assert found.post("entries", kept).status_code == 200


def test_one_entry_is_found_by_its_id_in_its_own_place_only(home, program):
    found, kept = program("read"), models.Entry.objects.order_by("seq").first()
    assert said(found.get(f"entries/{kept.pk}"))["seq"] == 1
    for other in (uuid.uuid4(), "x"):
        assert problem_of(found.get(f"entries/{other}"))["status"] == 404
