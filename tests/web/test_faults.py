"""Whoever can't be served reads one line in their language and finds the way home."""

import json

import pytest
from django.test import Client
from django.urls import reverse

SPANISH = {"headers": {"accept-language": "es"}}


def words(answer):
    return answer.content.decode().split("<main", 1)[1].split("</main>")[0]


def has_a_way_home(answer):
    return f'href="{reverse("web:today")}"' in words(answer)


@pytest.mark.parametrize(
    ("language", "line"), [("en", "Nothing stands here"), ("es", "Aquí no hay nada")]
)
def test_an_address_that_is_not_there_gets_a_page_in_the_readers_language(people, language, line):
    answer = Client(headers={"accept-language": language}).get("/no/such/page")
    assert answer.status_code == 404
    assert line in words(answer)
    assert has_a_way_home(answer)
    assert "<svg" in words(answer)


def test_what_a_role_does_not_hold_is_told_with_whom_to_ask(home, as_):
    answer = as_("gardener").post(reverse("web:add_vessel", args=[home.id]), {"name": "Red"})
    assert answer.status_code == 403
    assert "coordinator" in words(answer)
    assert has_a_way_home(answer)


def test_a_form_without_its_token_gets_a_page_that_says_what_to_do(home, people):
    strict = Client(enforce_csrf_checks=True, headers={"accept-language": "es"})
    answer = strict.post(reverse("web:enter"), {"username": "keeper", "password": "x"})
    assert answer.status_code == 403
    assert "vuelve a enviar" in words(answer)
    assert has_a_way_home(answer)


@pytest.fixture
def broken(monkeypatch, home, people):
    """A signed-in person whose page breaks, in a house whose store answers no more."""
    from sourloam.web.views import stores

    def fail(*_args, **_more):
        raise RuntimeError("the shelf fell")

    monkeypatch.setattr(stores, "stores_page", fail)
    client = Client(raise_request_exception=False, headers={"accept-language": "es"})
    client.force_login(people["keeper"], backend="django.contrib.auth.backends.ModelBackend")
    return client


def test_a_fault_of_ours_is_told_as_ours_and_tells_nothing_else(home, broken):
    answer = broken.get(reverse("web:stores", args=[home.id]))
    assert answer.status_code == 500
    assert "La culpa es nuestra" in words(answer)
    assert "shelf fell" not in answer.content.decode()
    assert has_a_way_home(answer)


def test_the_page_of_a_fault_asks_the_store_nothing(rf):
    """No store is at hand here: to ask it is an error."""
    from sourloam.web.views.faults import broken

    assert broken(rf.get("/")).status_code == 500


def test_a_store_that_is_gone_still_gets_the_page(home, people, monkeypatch):
    from django.contrib.sessions.backends.db import SessionStore
    from django.db import OperationalError

    def gone(*_args, **_more):
        raise OperationalError("unable to open database file")

    client = Client(raise_request_exception=False)
    client.force_login(people["keeper"], backend="django.contrib.auth.backends.ModelBackend")
    monkeypatch.setattr(SessionStore, "load", gone)
    answer = client.get(reverse("web:today"))
    assert answer.status_code == 500
    assert "Something broke on our side" in words(answer)


@pytest.mark.parametrize("kind", ["torn", "odd"])
def test_a_torn_log_is_told_and_a_fault_of_ours_is_not_hidden_behind_it(
    home, people, monkeypatch, kind
):
    from django.db import DatabaseError, ProgrammingError

    from sourloam.web import reading

    sorts = {
        "torn": (DatabaseError("database disk image is malformed"), 503, "full or broken"),
        "odd": (ProgrammingError("no such column"), 500, "Something broke on our side"),
    }
    error, status, said = sorts[kind]

    def broken(*_args, **_more):
        raise error

    client = Client(raise_request_exception=False)
    client.force_login(people["keeper"], backend="django.contrib.auth.backends.ModelBackend")
    monkeypatch.setattr(reading, "insides", broken)
    answer = client.get(reverse("web:today"))
    assert (answer.status_code, said in words(answer)) == (status, True)


def test_too_many_fields_are_refused_in_one_line(home, as_):
    fields = {f"f{number}": "x" for number in range(600)}
    answer = as_("keeper").post(reverse("web:log", args=[home.id, "noted"]), fields)
    assert answer.status_code == 400
    assert "Too much at once" in words(answer)


def test_opening_the_address_of_a_form_is_no_blank_page(home, as_):
    answer = as_("keeper").get(reverse("web:log", args=[home.id, "noted"]))
    assert answer.status_code == 405
    assert has_a_way_home(answer)


def test_a_phones_queue_still_gets_json(home, as_):
    answer = as_("keeper").post(reverse("web:entries"), "{", "application/json")
    assert json.loads(answer.content)["status"] == 422
