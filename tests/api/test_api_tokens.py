"""A token does what its scope and its maker's role both allow, and nothing once it is withdrawn."""

import hashlib
import json

import pytest
from django.test import Client
from django.urls import reverse
from house_of_tests import entry
from program import Program, problem_of

from sourloam.logbook import models, programmes, tokens
from sourloam.logbook.permissions import SCOPES, TABLE, may_by_token
from sourloam.logbook.refusals import Refused


def test_without_a_standing_token_nothing_opens(home):
    for said in ("", "Bearer ", "Bearer loam_wrong", "Basic YTpi", "Bearer ñ"):
        answer = Client().get("/api/v1/me", headers={"authorization": said})
        assert problem_of(answer)["reason"] == "token"
        assert answer.status_code == 401
        assert answer.headers["WWW-Authenticate"] == "Bearer"


def test_a_session_opens_nothing_here(home, as_):
    assert as_("coordinator").get("/api/v1/me").status_code == 401


def test_the_secret_is_not_kept(program):
    found = program()
    kept = models.Token.objects.get()
    assert kept.token_hash == hashlib.sha256(found.token.encode()).hexdigest()
    assert not [v for v in vars(kept).values() if isinstance(v, str) and found.token in v]


def test_a_token_tells_whose_it_is_and_when_it_was_used(program):
    said = json.loads(program("read").get("/me").content)
    assert (said["scope"], said["person"]) == ("read", "coordinator")
    assert models.Token.objects.get().used_at is not None


# r reads, w writes entries as a keeper, m manages; by hand, one letter a scope that may
BY_SCOPE = {
    "see": "rlm",
    "take out": "rlm",
    "send photo": "lm",
    "write fed": "lm",
    "write struck": "lm",
    "write place_described": "m",
    "change place": "m",
    "bring in": "m",
    "invite reader": "m",
    "withdraw keeper": "m",
    "make token": "",
}


@pytest.mark.parametrize("action", BY_SCOPE)
def test_a_coordinators_token_holds_what_is_written_for_its_scope(action):
    allowed = {s[0] for s in SCOPES if may_by_token("coordinator", s, action)}
    assert allowed == set(BY_SCOPE[action])


def test_no_token_holds_more_than_the_role_of_its_maker():
    for role in ("keeper", "gardener", "reader"):
        for action in TABLE:
            if role not in TABLE[action]:
                assert not any(may_by_token(role, scope, action) for scope in SCOPES)


def test_only_coordinators_make_tokens(home):
    for who in ("keeper", "gardener", "reader", "stranger"):
        with pytest.raises(Refused):
            tokens.make(home.people[who], home.id, "Scale", "read")


def test_a_token_follows_its_makers_role(home, program):
    found = program("manage")
    held = models.Membership.objects.get(person=home.people["coordinator"])
    models.Membership.objects.filter(pk=held.pk).update(role="gardener")
    note = entry(home.id, "noted", {"note": "dry"})
    assert found.post("entries", note).status_code == 201
    assert problem_of(found.post("entries", _fed(home)))["reason"] == "role"
    models.Membership.objects.filter(pk=held.pk).update(role="reader")
    assert found.post("entries", entry(home.id, "noted", {"note": "wet"})).status_code == 403
    assert found.get("").status_code == 404  # the address itself holds nothing
    assert found.get("due").status_code == 200


def test_whoever_leaves_takes_their_tokens_along(home, program):
    from sourloam.logbook.people import withdraw_person

    other = models.Membership.objects.get(person=home.people["keeper"])
    models.Membership.objects.filter(pk=other.pk).update(role="coordinator")
    found, everywhere = program("read"), program("read", everywhere=True)
    withdraw_person(home.people["keeper"], home.id, home.people["coordinator"].pk)
    assert found.get("due").status_code == 401
    assert everywhere.get("due").status_code == 404


def test_a_closed_account_closes_its_tokens(home, program):
    found = program("read")
    person = home.people["coordinator"]
    person.is_active = False
    person.save()
    assert found.get("due").status_code == 401


def test_a_token_reaches_its_place_only_or_all_of_its_maker(home, program):
    from sourloam.logbook.people import make_place

    second = make_place(home.people["coordinator"], "Shed").pk
    strange = make_place(home.people["stranger"], "Elsewhere").pk
    here, all_ = program("manage"), program("manage", everywhere=True)
    for place, answers in ((second, (404, 200)), (strange, (404, 404))):
        asked = [one.get(f"/places/{place}").status_code for one in (here, all_)]
        assert tuple(asked) == answers
    listed = [json.loads(one.get("/places").content)["items"] for one in (here, all_)]
    assert [len(items) for items in listed] == [1, 2]
    new = {"id": "0f0f0f0f-0000-4000-8000-00000000000a", "name": "Third"}
    assert problem_of(here.post("/places", new))["reason"] == "scope"
    assert all_.post("/places", new).status_code == 201
    assert all_.post("/places", new).status_code == 200
    assert models.Place.objects.filter(name="Third").count() == 1


def test_too_many_requests_are_told_how_long_to_wait(home, program, monkeypatch):
    from sourloam.api import caller, pacing

    monkeypatch.setattr(caller, "of_tokens", pacing.Pace(3))
    found = program("read")
    assert [found.get("/me").status_code for _ in range(5)] == [200, 200, 200, 429, 429]
    answer = found.get("/me")
    assert problem_of(answer)["reason"] == "pace"
    assert 0 < int(answer.headers["Retry-After"]) <= 61


def test_guessing_is_slowed_down(home, program, monkeypatch):
    from sourloam.api import caller, pacing

    monkeypatch.setattr(caller, "of_strangers", pacing.Pace(3))
    wrong = Program(home.id, "loam_guess")
    assert [wrong.get("/me").status_code for _ in range(5)] == [401, 401, 401, 429, 429]


def test_a_pace_lets_go_after_a_minute():
    from sourloam.api.pacing import Pace

    now = [0.0]
    pace = Pace(2, lambda: now[0])
    assert [pace.wait_s("a") for _ in range(3)] == [None, None, 61]
    assert pace.wait_s("b") is None
    now[0] = 60.5
    assert pace.wait_s("a") is None


def test_the_page_makes_shows_once_lists_and_withdraws(home, as_):
    client, url = as_("coordinator"), reverse("web:tokens", args=[home.id])
    assert url in client.get(reverse("web:people", args=[home.id])).content.decode()
    form = {"name": "Scale at the door", "scope": "log", "reach": "this"}
    assert client.post(reverse("web:make_token", args=[home.id]), form).url == url
    page = client.get(url).content.decode()
    secret = page.split('value="loam_')[1].split('"')[0]
    assert "Scale at the door" in page
    assert "loam_" not in client.get(url).content.decode()
    found = Program(home.id, f"loam_{secret}")
    assert found.get("due").status_code == 200
    kept = models.Token.objects.get()
    client.post(reverse("web:withdraw_token", args=[home.id, kept.pk]))
    assert found.get("due").status_code == 401
    assert "Scale at the door" not in client.get(url).content.decode()


@pytest.mark.parametrize(
    "form",
    [
        {"name": "", "scope": "log"},
        {"name": "x" * 41, "scope": "log"},
        {"name": "Scale", "scope": "all"},
        {"name": "Scale"},
    ],
)
def test_a_token_that_can_not_be_is_told_on_its_page(home, as_, form):
    answer = as_("coordinator").post(reverse("web:make_token", args=[home.id]), form, follow=True)
    assert "40" in answer.content.decode() or "Choose" in answer.content.decode()
    assert not models.Token.objects.exists()


def test_the_page_is_for_coordinators(home, as_):
    for who in ("keeper", "gardener", "reader"):
        client = as_(who)
        assert client.get(reverse("web:tokens", args=[home.id])).status_code == 403
        assert client.post(reverse("web:make_token", args=[home.id]), {}).status_code == 403
        people = client.get(reverse("web:people", args=[home.id])).content.decode()
        assert reverse("web:tokens", args=[home.id]) not in people


def test_nobody_ends_the_token_of_another_for_all_their_places(home, program):
    program("read", everywhere=True)
    kept = models.Token.objects.get()
    member = models.Membership.objects.get(person=home.people["keeper"])
    models.Membership.objects.filter(pk=member.pk).update(role="coordinator")
    with pytest.raises(Refused):
        tokens.withdraw(home.people["keeper"], home.id, str(kept.pk))
    tokens.withdraw(home.people["coordinator"], home.id, str(kept.pk))


@pytest.fixture
def town(home):
    """A programme of somebody without a place, in which the keeper helps."""
    made = programmes.make_programme(home.people["stranger"], "Town exchange")
    models.ProgrammeMember.objects.create(
        programme=made, person=home.people["keeper"], role="helper"
    )
    return made


def test_a_coordinator_without_a_place_makes_a_token_in_a_programme(town, home, as_):
    client, url = as_("stranger"), reverse("web:programme_tokens", args=[town.pk])
    settings = client.get(reverse("web:programme_settings", args=[town.pk]))
    assert url in settings.content.decode()
    form = {"name": "Scale on the van", "scope": "log"}
    assert client.post(reverse("web:programme_make_token", args=[town.pk]), form).url == url
    secret = client.get(url).content.decode().split('value="loam_')[1].split('"')[0]
    found = Program(home.id, f"loam_{secret}")
    assert found.get(f"/programmes/{town.pk}/morning").status_code == 200
    assert found.ask("PATCH", f"/programmes/{town.pk}", {"name": "Other"}).status_code == 403
    assert found.get("due").status_code == 404
    kept = models.Token.objects.get()
    client.post(reverse("web:programme_withdraw_token", args=[town.pk, kept.pk]))
    assert found.get(f"/programmes/{town.pk}/morning").status_code == 401


def test_helpers_make_no_token_of_a_programme_and_end_none(town, home, as_):
    tokens.make_in_programme(home.people["stranger"], town.pk, "Scale", "read")
    kept = models.Token.objects.get()
    client = as_("keeper")
    assert client.get(reverse("web:programme_tokens", args=[town.pk])).status_code == 403
    with pytest.raises(Refused) as refused:
        tokens.make_in_programme(home.people["keeper"], town.pk, "Scale", "read")
    assert refused.value.status == 403
    with pytest.raises(Refused) as refused:
        tokens.withdraw_in_programme(home.people["keeper"], town.pk, str(kept.pk))
    assert refused.value.status == 404


def _fed(home):
    return entry(home.id, "fed", {"vessel": "blue", "amount": {"mass_kg": 1.0}})
