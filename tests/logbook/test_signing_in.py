"""Signing in: few tries, the person's language, nothing before there is a keeper."""

import pytest
from django.contrib.auth.models import User
from django.urls import reverse
from logbook_cast import PASSWORD

from sourloam.logbook import people
from sourloam.logbook.models import Preference

pytestmark = pytest.mark.django_db


def sign_in(client, name, password, **more):
    return client.post(reverse("web:enter"), {"username": name, "password": password}, **more)


@pytest.mark.parametrize("page", ["/", "/enter", "/settings", "/p/x/", "/join/x"])
def test_before_the_first_keeper_every_page_leads_to_the_one_that_makes_one(client, page):
    answer = client.get(page)
    assert (answer.status_code, answer["Location"]) == (302, "/start")


def test_the_first_page_takes_a_name_and_a_password_and_then_is_gone(client):
    assert client.get("/start").status_code == 200
    given = {"username": "Ana", "password": PASSWORD}
    assert client.post("/start", given).status_code == 302
    assert User.objects.get().username == "Ana"
    client.logout()
    assert client.post("/start", {**given, "username": "Eve"}).status_code == 302
    assert User.objects.count() == 1


def test_after_eight_wrong_tries_even_the_right_password_must_wait(client):
    people.make_first_keeper("Ana", PASSWORD)
    for _ in range(8):
        assert sign_in(client, "Ana", "wrong").status_code in (403, 422, 429)
    assert sign_in(client, "Ana", PASSWORD).status_code in (403, 422, 429)
    assert "_auth_user_id" not in client.session


def test_seven_wrong_tries_and_then_the_right_one_open(client):
    people.make_first_keeper("Ana", PASSWORD)
    for _ in range(7):
        sign_in(client, "Ana", "wrong")
    assert sign_in(client, "Ana", PASSWORD).status_code == 302


def test_somebody_elses_tries_do_not_lock_a_person_out_of_their_own_address(client):
    people.make_first_keeper("Ana", PASSWORD)
    for _ in range(9):
        sign_in(client, "Ana", "wrong", REMOTE_ADDR="192.0.2.7")
    assert sign_in(client, "Ana", PASSWORD, REMOTE_ADDR="192.0.2.8").status_code == 302


def test_pages_follow_the_language_that_the_person_chose(client):
    person = people.make_first_keeper("Ana", PASSWORD)
    Preference.objects.create(person=person, language="es")
    sign_in(client, "Ana", PASSWORD)
    assert client.get("/settings", headers={"accept-language": "en"})["Content-Language"] == "es"


def test_every_answer_carries_the_headers_that_guard_it(client):
    people.make_first_keeper("Ana", PASSWORD)
    answer = client.get("/enter")
    wanted = {
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Referrer-Policy": "same-origin",
        "Cross-Origin-Opener-Policy": "same-origin",
    }
    assert {key: answer[key] for key in wanted} == wanted
    assert "script-src 'self'" in answer["Content-Security-Policy"]
    sign_in(client, "Ana", PASSWORD)
    cookie = client.cookies["sessionid"]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")
