"""The first keeper, places, links to join, roles taken away."""

import datetime as dt
import re

import pytest
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.utils import timezone
from logbook_cast import PASSWORD, fed

from sourloam.logbook import people
from sourloam.logbook import settings as as_shipped
from sourloam.logbook.models import Invitation, Membership, Place
from sourloam.logbook.permissions import role_of
from sourloam.logbook.recording import record_entry
from sourloam.logbook.refusals import Refused

pytestmark = pytest.mark.django_db


def test_the_first_keeper_is_made_once():
    assert people.is_first_start()
    people.make_first_keeper("Ana", PASSWORD)
    assert not people.is_first_start()
    with pytest.raises(Refused) as refused:
        people.make_first_keeper("Bea", PASSWORD)
    assert refused.value.status == 409
    assert User.objects.count() == 1


def test_the_first_keeper_looks_after_places_that_wait_for_one(db):
    Place.objects.create(id="waits", name="Flat at Alder Row")
    keeper = people.make_first_keeper("Ana", PASSWORD)
    assert role_of(keeper, "waits") == "coordinator"


def test_passwords_are_kept_by_argon2_only(settings):
    settings.PASSWORD_HASHERS = as_shipped.PASSWORD_HASHERS
    keeper = people.make_first_keeper("Ana", PASSWORD)
    assert keeper.password.startswith("argon2$argon2id$")
    assert PASSWORD not in keeper.password
    assert keeper.check_password(PASSWORD)


@pytest.mark.parametrize(
    "weak", ["", "short", "1234567890123", "password123", "anastasiaanastasia"]
)
def test_weak_passwords_are_refused(weak):
    with pytest.raises(ValidationError):
        people.make_first_keeper("anastasiaanastasia", weak)
    assert people.is_first_start()


@pytest.mark.parametrize("name", ["", "  ", "x" * 81, "a\nb", "a\x00b", "\u202eabc"])
def test_names_that_can_not_be_shown_are_refused(name):
    with pytest.raises(Refused):
        people.make_first_keeper(name, PASSWORD)


def test_two_people_can_not_have_one_name_in_whatever_letters(cast):
    token = people.invite(cast.coordinator, cast.home.pk, "reader")
    with pytest.raises(Refused):
        people.join_as_new(token, "KEEPER", PASSWORD)


@pytest.mark.parametrize(("name", "zone"), [("", "UTC"), ("x" * 81, "UTC"), ("Home", "Mars/Base")])
def test_a_place_needs_a_name_and_a_zone_that_exist(cast, name, zone):
    with pytest.raises(Refused) as refused:
        people.make_place(cast.coordinator, name, zone)
    assert refused.value.status == 422


def test_a_link_brings_somebody_new_in_with_its_role(cast):
    token = people.invite(cast.coordinator, cast.home.pk, "gardener")
    found = people.find_invitation(token)
    assert (found.place, found.role) == (cast.home, "gardener")
    person, place = people.join_as_new(token, "Dora", PASSWORD)
    assert (place, role_of(person, cast.home.pk)) == (cast.home, "gardener")
    assert Invitation.objects.get().used == 1


def test_only_a_hash_of_a_links_secret_is_kept(cast):
    token = people.invite(cast.coordinator, cast.home.pk, "reader")
    kept = Invitation.objects.values().get()
    assert token not in map(str, kept.values())
    assert re.fullmatch("[0-9a-f]{64}", kept["token_hash"])
    assert len(token) >= 32


def test_two_links_never_carry_the_same_secret(cast):
    tokens = {people.invite(cast.coordinator, cast.home.pk, "reader") for _ in range(20)}
    assert len(tokens) == 20


@pytest.mark.parametrize("end", ["withdrawn", "expired", "wrong"])
def test_a_link_that_ended_opens_nothing(cast, end):
    token = people.invite(cast.coordinator, cast.home.pk, "reader")
    row = Invitation.objects.get()
    if end == "withdrawn":
        people.withdraw_invitation(cast.keeper, cast.home.pk, str(row.pk))
    elif end == "expired":
        Invitation.objects.update(expires_at=timezone.now() - dt.timedelta(seconds=1))
    else:
        token = token[:-1] + ("A" if token[-1] != "A" else "B")
    with pytest.raises(Refused) as refused:
        people.join(cast.stranger, token)
    assert refused.value.status == 404
    assert role_of(cast.stranger, cast.home.pk) is None


def test_a_link_works_for_two_weeks(cast):
    people.invite(cast.coordinator, cast.home.pk, "reader")
    left = Invitation.objects.get().expires_at - timezone.now()
    assert dt.timedelta(days=13, hours=23) < left <= dt.timedelta(days=14)


@pytest.mark.parametrize(
    ("who", "role", "status"),
    [
        ("keeper", "keeper", 403),
        ("keeper", "coordinator", 403),
        ("gardener", "reader", 403),
        ("reader", "reader", 403),
        ("stranger", "reader", 404),
        ("gone", "reader", 404),
        ("coordinator", "emperor", 422),
    ],
)
def test_who_may_not_invite_is_refused(cast, who, role, status):
    with pytest.raises(Refused) as refused:
        people.invite(cast.people[who], cast.home.pk, role)
    assert refused.value.status == status
    assert not Invitation.objects.exists()


@pytest.mark.parametrize("role", ["reader", "gardener", "keeper"])
def test_a_link_never_lowers_a_role_that_somebody_holds(cast, role):
    token = people.invite(cast.coordinator, cast.home.pk, role)
    people.join(cast.keeper, token)
    assert role_of(cast.keeper, cast.home.pk) == "keeper"
    assert Invitation.objects.get().used == 0


@pytest.mark.parametrize("role", ["gardener", "keeper", "coordinator"])
def test_a_link_raises_a_lower_role(cast, role):
    people.join(cast.reader, people.invite(cast.coordinator, cast.home.pk, role))
    assert role_of(cast.reader, cast.home.pk) == role
    assert Invitation.objects.get().used == 1


def test_who_came_back_lower_is_not_raised_by_a_link_from_before(cast):
    old = people.invite(cast.coordinator, cast.home.pk, "keeper")
    people.withdraw_person(cast.coordinator, cast.home.pk, cast.keeper.pk)
    people.join(cast.keeper, people.invite(cast.coordinator, cast.home.pk, "reader"))
    people.join(cast.keeper, old)
    assert role_of(cast.keeper, cast.home.pk) == "reader"


def test_who_was_withdrawn_comes_back_only_by_a_newer_link(cast):
    old = people.invite(cast.coordinator, cast.home.pk, "keeper")
    people.withdraw_person(cast.coordinator, cast.home.pk, cast.keeper.pk)
    with pytest.raises(Refused):
        people.join(cast.keeper, old)
    people.join(cast.keeper, people.invite(cast.coordinator, cast.home.pk, "reader"))
    assert role_of(cast.keeper, cast.home.pk) == "reader"


def test_who_was_withdrawn_writes_nothing_more_but_what_they_wrote_stays(cast):
    assert record_entry(cast.keeper, fed(cast.home.pk)).stored
    people.withdraw_person(cast.coordinator, cast.home.pk, cast.keeper.pk)
    assert record_entry(cast.keeper, fed(cast.home.pk)).status == 403
    assert cast.home.entries.count() == 1


def test_the_links_of_who_was_withdrawn_end_and_no_others(cast):
    theirs = people.invite(cast.keeper, cast.home.pk, "gardener")
    another = people.invite(cast.coordinator, cast.home.pk, "gardener")
    people.withdraw_person(cast.coordinator, cast.home.pk, cast.keeper.pk)
    with pytest.raises(Refused) as refused:
        people.join(cast.keeper, theirs)
    assert refused.value.status == 404
    with pytest.raises(Refused):
        people.join_as_new(theirs, "Dora", PASSWORD)
    assert people.join_as_new(another, "Dora", PASSWORD)[1] == cast.home


def test_links_to_another_place_outlive_a_withdrawal(cast):
    elsewhere = people.invite(cast.stranger, cast.other.pk, "reader")
    people.join(cast.stranger, people.invite(cast.coordinator, cast.home.pk, "reader"))
    people.withdraw_person(cast.coordinator, cast.home.pk, cast.stranger.pk)
    people.join(cast.keeper, elsewhere)
    assert role_of(cast.keeper, cast.other.pk) == "reader"


def test_the_last_coordinator_stays(cast):
    with pytest.raises(Refused) as refused:
        people.withdraw_person(cast.coordinator, cast.home.pk, cast.coordinator.pk)
    assert refused.value.status == 409


def test_anybody_may_leave(cast):
    people.withdraw_person(cast.reader, cast.home.pk, cast.reader.pk)
    assert role_of(cast.reader, cast.home.pk) is None


@pytest.mark.parametrize(
    ("who", "whom", "status"),
    [
        ("keeper", "coordinator", 403),
        ("gardener", "reader", 403),
        ("reader", "gardener", 403),
        ("stranger", "reader", 404),
        ("coordinator", "stranger", 404),
    ],
)
def test_who_may_not_withdraw_is_refused(cast, who, whom, status):
    with pytest.raises(Refused) as refused:
        people.withdraw_person(cast.people[who], cast.home.pk, cast.people[whom].pk)
    assert refused.value.status == status
    assert Membership.objects.filter(place=cast.home, withdrawn_at=None).count() == 4


@pytest.mark.parametrize("name", ["nonsense", "00000000-0000-4000-8000-000000000001"])
def test_a_link_that_is_not_there_can_not_be_withdrawn(cast, name):
    with pytest.raises(Refused) as refused:
        people.withdraw_invitation(cast.coordinator, cast.home.pk, name)
    assert refused.value.status == 404


def test_a_link_of_another_place_can_not_be_withdrawn(cast):
    people.invite(cast.stranger, cast.other.pk, "reader")
    link = str(Invitation.objects.get().pk)
    with pytest.raises(Refused):
        people.withdraw_invitation(cast.coordinator, cast.home.pk, link)
    assert Invitation.objects.get().withdrawn_at is None
