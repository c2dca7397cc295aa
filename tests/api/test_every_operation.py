"""Every operation of the API, asked by nobody, strangers, less of a scope, and every role."""

import json
import uuid
from functools import cache

import pytest
from django.test import Client
from house_of_tests import ROLES, entry

from sourloam.api.operations import DECLARED
from sourloam.logbook.permissions import SCOPES

MEMBERS = "ckgr"
#: What writes or takes a whole place out: the least scope, and the roles whose token may.
WATCHED = {
    "bring_in_new": ("manage", ""),  # a token of one place makes no other
    "new_place": ("manage", ""),
    "change_place": ("manage", "c"),
    "bring_in": ("manage", "c"),
    "invite": ("manage", "ck"),
    "withdraw_invitation": ("manage", "ck"),
    "withdraw_person": ("manage", "ck"),
    "write_entry": ("log", "ck"),
    "write_entries": ("log", MEMBERS),  # each of them is answered by itself
    "write_reading": ("log", "ck"),
    "send_photo": ("log", "ckg"),
    "sheet": ("log", "ck"),
    "take_out": ("read", "ck"),
    "take_out_tables": ("read", "ck"),
}
#: Asked by POST, for a document is sent along; they write nothing.
RECKONED = {"plan_of", "garden_of", "rescue", "trial"}
#: They run a model or set type: asked only by whom they are shut to.
LONG = {*RECKONED, "plan", "garden_of_place", "forecasts", "forecast", "achieved", "batch"}
SHUT = (401, 403, 404)


class Operation:
    """One line of the document."""

    def __init__(self, path, method, raw):
        self.path, self.method, self.name = path, method.upper(), raw["operationId"]
        self.scope, self.of_place = DECLARED[self.name].scope, "{place}" in path
        self.long = self.name in LONG or path.endswith(".pdf")

    def asked(self, token, known, body=None):
        """The status of an answer."""
        path = self.path
        for name, value in known.items():
            path = path.replace(f"{{{name}}}", str(value))
        headers = {"authorization": f"Bearer {token}"} if token else {}
        sent = {} if self.method == "GET" else {"data": json.dumps(body or {})}
        client = Client(raise_request_exception=False)
        answer = client.generic(
            self.method, path, content_type="application/json", headers=headers, **sent
        )
        return answer.status_code


@cache
def operations():
    document = Client().get("/api/v1/openapi.json").json()
    methods = ("get", "post", "put", "patch", "delete")
    return [
        Operation(path, method, raw)
        for path, found in document["paths"].items()
        for method, raw in found.items()
        if method in methods and "/programmes" not in path  # test_api_programmes asks those
    ]


@pytest.fixture
def known(home):
    """What stands there, by the names of the addresses."""
    from sourloam.logbook.people import invite

    home.write("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5)
    link = uuid.uuid4()
    invite(home.people["coordinator"], home.id, "reader", link)
    things = {"vessel": "blue", "bed": "wall", "lot": "may-1", "photo": "a" * 64}
    things |= {"entry": home.place.entries.first().pk, "person": home.people["reader"].pk}
    return {"place": home.id, "invitation": link, **things}


def body_of(name, place):
    layer = entry(place, "fed", {"vessel": "blue", "amount": {"mass_kg": 1.0}}, 0.2)
    bodies = {
        "change_place": {"name": "Another name"},
        "invite": {"id": str(uuid.uuid4()), "role": "reader"},
        "write_entry": layer,
        "write_entries": {"entries": [layer]},
        "write_reading": {"at": layer["at"], "temperature_c": 19.0},
    }
    return bodies.get(name, {})


def test_what_writes_is_watched_and_all_else_is_only_read(home):
    """An operation that is new, or asks for another scope, gets its row above."""
    found = {one.name: one for one in operations()}
    watched = {name: found[name].scope for name in WATCHED}
    assert watched == {name: scope for name, (scope, _) in WATCHED.items()}
    for name in found.keys() - WATCHED:
        assert found[name].scope == "read", name
        assert found[name].method == "GET" or name in RECKONED, name
    assert len(found) > 40


def test_without_a_token_every_operation_is_shut(home, known, monkeypatch, record_property):
    from sourloam.api import caller, pacing

    monkeypatch.setattr(caller, "of_strangers", pacing.Pace(10**6))
    asked = {one.name: one.asked("", known) for one in operations()}
    record_property("tries", len(asked))
    assert set(asked.values()) == {401}, asked


def test_a_stranger_finds_no_place_that_is_not_theirs(home, known, people, record_property):
    from sourloam.logbook import tokens
    from sourloam.logbook.people import make_place

    theirs = make_place(people["stranger"], "Elsewhere").pk
    made = [tokens.make(people["stranger"], theirs, "t", "manage", all_) for all_ in (False, True)]
    tried = [one for one in operations() if one.of_place]
    for token in made:
        asked = {one.name: one.asked(token, known, body_of(one.name, home.id)) for one in tried}
        assert set(asked.values()) == {404}, asked
    record_property("tries", 2 * len(tried))


@pytest.mark.parametrize("scope", SCOPES)
def test_a_token_of_less_than_the_scope_opens_nothing_that_wants_more(
    program, known, scope, record_property
):
    token, order = program(scope).token, list(SCOPES)
    more = [one for one in operations() if order.index(one.scope) > order.index(scope)]
    asked = {one.name: one.asked(token, known, body_of(one.name, known["place"])) for one in more}
    record_property("tries", len(asked))
    assert set(asked.values()) <= {403}, asked
    assert asked or scope == "manage"


@pytest.mark.parametrize("role", ROLES)
def test_a_token_opens_what_its_makers_role_of_today_opens(
    program, known, home, role, record_property
):
    from sourloam.logbook.models import Membership

    token = program("manage").token
    Membership.objects.filter(place_id=home.id, person=home.people["coordinator"]).update(role=role)
    asked = {}
    for one in operations():
        opens = role[0] in WATCHED.get(one.name, ("", MEMBERS))[1]
        if not (opens and one.long):
            answer = one.asked(token, known, body_of(one.name, home.id))
            asked[one.name] = (answer not in SHUT or one.name == "photo", opens, answer)
    record_property("tries", len(asked))
    wrong = {name: found for name, found in asked.items() if found[0] != found[1]}
    assert not wrong
