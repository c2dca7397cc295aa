"""Programmes by token: what the pages of a programme do, within scope and role."""

import datetime as dt
import json
import uuid

import pytest
from program import Program, problem_of

from sourloam.logbook import models, programmes, tokens
from sourloam.logbook.permissions import (
    PROGRAMME_SCOPES,
    PROGRAMME_TABLE,
    may_in_programme_by_token,
)
from sourloam.logbook.refusals import Refused


@pytest.fixture
def town(home):
    """The place in a programme with a hub; the keeper helps, the reader looks on."""
    people = home.people
    made = programmes.make_programme(people["coordinator"], "Town exchange")
    for who, role in (("keeper", "helper"), ("reader", "reader")):
        models.ProgrammeMember.objects.create(programme=made, person=people[who], role=role)
    programmes.add_place(people["coordinator"], made, home.id)
    programmes.change(people["coordinator"], made, {"latitude": 52.0, "longitude": 5.0})
    return made


@pytest.fixture
def asks(town, home):
    """``asks(scope, who)``: a program with a token for all places of a person."""

    def make(scope, who="coordinator"):
        place = home
        if who != "coordinator":  # only coordinators make tokens: of a place of their own
            from sourloam.logbook.people import make_place

            place = make_place(home.people[who], "A flat of their own")
        token = tokens.make(home.people[who], place.id, "Van", scope, everywhere=True)
        return Program(home.id, token)

    return make


def at(town, path=""):
    return f"/programmes/{town.pk}{path}"


def body(answer, status=200):
    assert answer.status_code == status, answer.content
    return json.loads(answer.content)


# r reads, l helps on rounds, m coordinates; by hand, one letter a scope that may
BY_SCOPE = {
    "see": "rlm",
    "write": "lm",
    "plan round": "lm",
    "change programme": "m",
    "add place": "m",
    "let place go": "m",
    "make token": "",
    "invite coordinator": "m",
    "invite helper": "m",
    "invite reader": "m",
    "invite place": "m",
    "withdraw coordinator": "m",
    "withdraw helper": "m",
    "withdraw reader": "m",
}


def test_every_action_is_written_here_once_more():
    assert set(BY_SCOPE) == set(PROGRAMME_TABLE)


@pytest.mark.parametrize("action", BY_SCOPE)
def test_a_token_holds_what_its_scope_and_its_makers_role_both_allow(action):
    of = {s[0] for s in PROGRAMME_SCOPES if may_in_programme_by_token("coordinator", s, action)}
    assert of == set(BY_SCOPE[action])
    for role in ("helper", "reader"):
        if role not in PROGRAMME_TABLE[action]:
            scopes = [s for s in PROGRAMME_SCOPES if may_in_programme_by_token(role, s, action)]
            assert scopes == []


NEW = "0f0f0f0f-0000-4000-8000-0000000000"
#: Every operation of a programme with the least scope, and the least role of its person.
OPERATIONS = [
    ("GET", "", None, "read", "reader"),
    ("PATCH", "", {"name": "Other"}, "manage", "coordinator"),
    ("GET", "/people", None, "read", "reader"),
    ("POST", "/links", {"id": NEW + "01", "role": "helper"}, "manage", "coordinator"),
    ("GET", "/links", None, "manage", "coordinator"),
    ("DELETE", "/links/" + NEW + "01", None, "manage", "coordinator"),
    ("DELETE", "/people/{reader}", None, "manage", "coordinator"),
    ("GET", "/places", None, "read", "reader"),
    ("POST", "/places", {"place": "{home}"}, "manage", "coordinator"),
    ("GET", "/places/{home}", None, "read", "reader"),
    ("PUT", "/places/{home}/whereabouts", {"how": "Bell"}, "log", "helper"),
    ("GET", "/morning", None, "read", "reader"),
    ("PUT", "/rounds/{today}", None, "log", "helper"),
    ("GET", "/rounds/{today}", None, "read", "reader"),
    ("GET", "/rounds/{today}/sheet.pdf", None, "read", "reader"),
    ("GET", "/entries", None, "read", "reader"),
    ("POST", "/entries", {"id": NEW + "02", "kind": "word", "place": "{home}", "body": {}},
     "log", "helper"),
    ("GET", "/figures", None, "read", "reader"),
    ("GET", "/exchange", None, "read", "reader"),
    ("DELETE", "/places/{home}", None, "manage", "coordinator"),
]  # fmt: skip
ORDER = ("read", "log", "manage")
ROLES = {"reader": "reader", "helper": "keeper", "coordinator": "coordinator"}


def filled(text, town, home):
    known = {
        "home": home.id,
        "reader": str(home.people["reader"].pk),
        "today": programmes.today(town).isoformat(),
    }
    for name, value in known.items():
        text = text.replace("{" + name + "}", value)
    return text


def test_the_table_holds_every_operation_of_a_programme():
    from sourloam.api.document import document
    from sourloam.api.urls import api

    root = "/api/v1/programmes/{programme}"
    names = {
        "{home}": "{place}",
        "{reader}": "{person}",
        "{today}": "{day}",
        "/links/" + NEW + "01": "/links/{link}",
    }
    found = {
        (method.upper(), path.removeprefix(root))
        for path, methods in document(api)["paths"].items()
        for method in methods
        if path.startswith(root)
    }
    written = set()
    for method, path, *_rest in OPERATIONS:
        for mine, theirs in names.items():
            path = path.replace(mine, theirs)
        written.add((method, path))
    assert written == found


@pytest.mark.parametrize("held", [(s, r) for s in ORDER for r in ROLES])
def test_each_operation_opens_for_its_scope_and_role_alone(town, home, asks, held):
    scope, role = held
    asked = asks(scope, ROLES[role])
    programmes.plan(home.people["coordinator"], town, programmes.today(town))
    for method, path, sent, least, least_role in OPERATIONS:
        text = None if sent is None else json.loads(filled(json.dumps(sent), town, home))
        answer = asked.ask(method, at(town, filled(path, town, home)), text)
        may = ORDER.index(scope) >= ORDER.index(least)
        may_role = [*ROLES].index(role) >= [*ROLES].index(least_role)
        if may and may_role:
            assert answer.status_code in (200, 201), (method, path, answer.content)
        else:
            said = problem_of(answer)
            assert said["status"] == 403, (method, path)
            assert said["reason"] == ("role" if may else "scope")


def test_strangers_and_tokens_of_one_place_find_no_programme(town, home, asks, program):
    assert problem_of(program("manage").get(at(town)))["reason"] == "scope"
    alone = asks("manage", "gardener")
    assert body(alone.get("/programmes"))["items"] == []
    for method, path, sent, _least, _role in OPERATIONS:
        text = None if sent is None else json.loads(filled(json.dumps(sent), town, home))
        assert alone.ask(method, at(town, filled(path, town, home)), text).status_code == 404


def test_a_programme_is_made_once_and_settled(home, asks):
    asked, new = asks("manage"), {"id": str(uuid.uuid4()), "name": "North", "zone": "Europe/Oslo"}
    made = body(asked.post("/programmes", new), 201)
    assert body(asked.post("/programmes", new)) == made
    assert (made["role"], made["zone"]) == ("coordinator", "Europe/Oslo")
    change = {"hub": "Yard", "latitude": 52.0, "longitude": 5.0, "starts": "09:00", "room": 8}
    settled = body(asked.ask("PATCH", f"/programmes/{new['id']}", change))
    assert (settled["hub"], settled["starts"], settled["room"]) == ("Yard", "09:00", 8)
    assert problem_of(asks("log").post("/programmes", new))["reason"] == "scope"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"latitude": 52.0}, "longitude"),
        ({"starts": "14:00", "ends": "09:00"}, "end"),
        ({"starts": "08:30+02:00"}, "starts"),
        ({"room": 0}, "room"),
    ],
)
def test_settings_that_can_not_be_are_told_in_one_line(town, asks, change, said):
    answer = asks("manage").ask("PATCH", at(town), change)
    problem = problem_of(answer)
    assert problem["status"] == 422
    assert said in problem["detail"]


def test_a_link_is_made_once_and_its_secret_told_once(town, asks):
    asked, new = asks("manage"), {"id": str(uuid.uuid4()), "role": "place"}
    first = body(asked.post(at(town, "/links"), new), 201)
    assert programmes.find_link(first["link"].rsplit("/", 1)[1]).programme == town
    assert body(asked.post(at(town, "/links"), new))["link"] is None
    clash = asked.post(at(town, "/links"), {**new, "role": "helper"})
    assert problem_of(clash)["status"] == 409


def test_links_are_listed_without_secrets_and_withdrawn(town, asks):
    asked, new = asks("manage"), {"id": str(uuid.uuid4()), "role": "place"}
    token = body(asked.post(at(town, "/links"), new), 201)["link"].rsplit("/", 1)[1]
    (listed,) = body(asked.get(at(town, "/links")))["links"]
    assert (listed["id"], listed["role"], listed["link"]) == (new["id"], "place", None)
    assert listed["by"] == "coordinator"
    assert body(asked.ask("DELETE", at(town, f"/links/{new['id']}")))["links"] == []
    with pytest.raises(Refused):
        programmes.find_link(token)
    for gone in (new["id"], "no-id"):
        assert asked.ask("DELETE", at(town, f"/links/{gone}")).status_code == 404


def test_the_morning_says_who_wants_somebody_and_why(town, home, asks):
    home.write("judged", {"vessel": "green", "verdict": "failed"})
    programmes.refresh(home.place)
    found = body(asks("read").get(at(town, "/morning")))
    assert (found["places"], found["waiting"]) == (1, 0)
    wanting = found["help"][0]
    assert wanting["place"] == home.id
    assert wanting["visit"]
    assert wanting["risks"][0]["what"] == "failed"
    assert "still stands there" in wanting["risks"][0]["why"]
    assert "clean vessel" in wanting["risks"][0]["helps"]
    assert len(found["known"]) >= 3


def test_a_place_is_told_with_its_vessels_and_never_its_notes(town, home, asks):
    home.write("noted", {"note": "a secret of the house"}, 1)
    asked = asks("read")
    listed = body(asked.get(at(town, "/places?limit=1")))
    assert listed["next"] is None
    place = body(asked.get(at(town, f"/places/{home.id}")))
    assert listed["items"] == [place]
    assert {vessel["id"] for vessel in place["vessels"]} >= {"blue", "green"}
    assert "secret" not in json.dumps(place)


def test_whereabouts_are_replaced_whole(town, home, asks):
    asked, path = asks("log"), at(town, f"/places/{home.id}/whereabouts")
    sent = {"latitude": 52.01, "longitude": 5.01, "opens": "08:00", "closes": "12:00"}
    place = body(asked.ask("PUT", path, {**sent, "how": "Bell"}))
    assert (place["opens"], place["how"]) == ("08:00", "Bell")
    assert body(asked.ask("PUT", path, {}))["latitude"] is None
    assert problem_of(asked.ask("PUT", path, {"latitude": 52.0}))["status"] == 422


def test_a_round_is_planned_read_and_printed(town, home, asks):
    asked = asks("log")
    where = {"latitude": 52.01, "longitude": 5.01}
    body(asked.ask("PUT", at(town, f"/places/{home.id}/whereabouts"), where))
    day = programmes.today(town)
    assert asked.get(at(town, f"/rounds/{day}")).status_code == 404
    planned = body(asked.ask("PUT", at(town, f"/rounds/{day}")))
    assert planned == body(asked.get(at(town, f"/rounds/{day}")))
    assert planned["stops"][0]["place"] == home.id
    assert planned["way"]["low"] < planned["way"]["high"]
    sheet = asked.get(at(town, f"/rounds/{day}/sheet.pdf?language=es"))
    assert sheet.content.startswith(b"%PDF")
    assert body(asked.get(at(town, "/morning")))["next_round"] == day.isoformat()
    missing = asked.get(at(town, f"/rounds/{day + dt.timedelta(days=400)}"))
    assert "No round" in problem_of(missing)["detail"]


def test_a_weighing_is_one_line_however_often_it_is_sent(town, home, asks):
    asked = asks("log", "keeper")
    sent = {
        "id": str(uuid.uuid4()),
        "kind": "fetched",
        "place": home.id,
        "body": {"kg": 14.5, "clean": 1, "contamination_kg": 0.5},
    }
    line = body(asked.post(at(town, "/entries"), sent), 201)
    assert line["by"] == "Van (keeper)"
    assert body(asked.post(at(town, "/entries"), sent)) == line
    other = asked.post(at(town, "/entries"), {**sent, "body": {"kg": 2.0}})
    assert problem_of(other)["status"] == 409
    assert body(asked.get(at(town, "/figures")))["fetched_kg"] == pytest.approx(14.0)
    vessels = body(asked.get(at(town, f"/places/{home.id}")))["vessels"]
    taken = [(one["id"], one["fetched_on"]) for one in vessels if one["stage"] == "fetched"]
    assert taken == [("green", programmes.today(town).isoformat())]
    assert body(asked.get(at(town, "/morning")))["fetched"] == 1
    out = {"id": str(uuid.uuid4()), "kind": "struck", "body": {}, "supersedes": line["id"]}
    body(asked.post(at(town, "/entries"), out), 201)
    assert body(asked.get(at(town, "/entries")))["items"] == []


def test_the_log_comes_in_parts_in_the_order_in_which_it_was_written(town, asks):
    asked = asks("log")
    for hours in (1.0, 2.0, 3.0):
        new = {"id": str(uuid.uuid4()), "kind": "hours", "body": {"hours": hours}}
        body(asked.post(at(town, "/entries"), new), 201)
    first = body(asked.get(at(town, "/entries?limit=2")))
    rest = body(asked.get(at(town, f"/entries?limit=2&after={first['next']}")))
    told = [line["body"]["hours"] for line in (*first["items"], *rest["items"])]
    assert told == [1.0, 2.0, 3.0]
    assert rest["next"] is None


def test_the_log_is_read_by_kind_and_by_day(town, asks):
    asked, day = asks("log"), programmes.today(town) - dt.timedelta(days=8)
    for kind, sent in (("training", {"people": 4}), ("hours", {"hours": 2})):
        new = {"id": str(uuid.uuid4()), "kind": kind, "body": sent, "day": day.isoformat()}
        assert body(asked.post(at(town, "/entries"), new), 201)["day"] == day.isoformat()
    found = body(asked.get(at(town, "/entries?kind=training")))["items"]
    assert [line["kind"] for line in found] == ["training"]
    assert problem_of(asked.get(at(town, "/entries?kind=dance")))["field"] == "kind"


def test_figures_are_of_the_months_that_are_asked_for(town, asks):
    asked, month = asks("log"), programmes.today(town).strftime("%Y-%m")
    new = {"id": str(uuid.uuid4()), "kind": "training", "body": {"people": 4}}
    body(asked.post(at(town, "/entries"), new), 201)
    now = body(asked.get(at(town, f"/figures?first={month}")))
    before = body(asked.get(at(town, "/figures?last=2020-12")))
    assert (now["trained"], before["trained"], before["by_month"]) == (4, 0, [])
    assert now["vessels"] == before["vessels"] > 0
    assert problem_of(asked.get(at(town, "/figures?first=2026-13")))["field"] == "first"


def test_what_is_wrong_with_a_line_or_a_round_is_named(town, asks):
    asked = asks("log")
    new = {"id": str(uuid.uuid4()), "kind": "fetched", "body": {"kg": 3}}
    said = problem_of(asked.post(at(town, "/entries"), new))
    assert (said["status"], said["field"]) == (422, "place")
    for day in ("1999-01-01", "2126-01-01"):
        said = problem_of(asked.ask("PUT", at(town, f"/rounds/{day}")))
        assert (said["status"], said["field"]) == (422, "day")


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"kind": "dance", "body": {}}, "kind"),
        ({"kind": "hours", "body": {"hours": -1}}, "hours"),
        ({"kind": "fetched", "body": {"kg": 1}}, "place"),
        ({"kind": "hours", "body": {"hours": 1}, "place": "elsewhere"}, "place"),
    ],
)
def test_a_line_that_can_not_be_is_refused_in_one_line(town, asks, sent, said):
    answer = asks("log").post(at(town, "/entries"), {"id": str(uuid.uuid4()), **sent})
    assert said in problem_of(answer)["detail"]


def test_the_climate_of_a_programme_waits_until_its_places_are_reckoned(town, asks):
    climate = body(asks("read").get(at(town, "/figures")))["climate"]
    assert (climate["places"], climate["waiting"], climate["scraps"]) == (0, 1, None)


def test_an_exchange_is_reckoned_as_it_is_asked(town, asks):
    asked = asks("read")
    slow = body(asked.get(at(town, "/exchange?fill=28&rest=14")))
    fast = body(asked.get(at(town, "/exchange?fill=7&rest=14")))
    assert fast["weekly"] > slow["weekly"]
    assert problem_of(asked.get(at(town, "/exchange?fill=0")))["status"] == 422
