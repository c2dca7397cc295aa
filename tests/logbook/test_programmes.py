"""Programmes: who may do what, links, places that come and go, a log that is written once."""

import datetime as dt
from types import SimpleNamespace

import pytest
from django.db import DatabaseError, transaction
from logbook_cast import raw

from sourloam.logbook import programmes
from sourloam.logbook.models import (
    AppendOnlyError,
    PlaceSummary,
    Programme,
    ProgrammeEntry,
    ProgrammeMember,
    ProgrammePlace,
)
from sourloam.logbook.permissions import (
    PROGRAMME_TABLE,
    may_in_programme,
    must_in_programme,
    programmes_of,
)
from sourloam.logbook.recording import record_entry
from sourloam.logbook.refusals import Refused
from sourloam.logbook.saving import saved_in
from sourloam.logbook.summarising import keep_facts
from sourloam.programme import BranFacts, PlaceFacts
from sourloam.programme.facts import LotFacts, LotWarning

# c coordinator, h helper, r reader
WRITTEN = {
    "see": "chr",
    "write": "ch",
    "plan round": "ch",
    "change programme": "c",
    "add place": "c",
    "let place go": "c",
    "make token": "c",
    "invite coordinator": "c",
    "invite helper": "c",
    "invite reader": "c",
    "invite place": "c",
    "withdraw coordinator": "c",
    "withdraw helper": "c",
    "withdraw reader": "c",
}
ROLES = ("coordinator", "helper", "reader")


@pytest.fixture
def town(cast):
    """A programme of the coordinator's with a helper (the keeper) and a reader; the home in it."""
    made = programmes.make_programme(cast.coordinator, "Alder Town exchange")
    ProgrammeMember.objects.create(programme=made, person=cast.keeper, role="helper")
    ProgrammeMember.objects.create(programme=made, person=cast.reader, role="reader")
    programmes.add_place(cast.coordinator, made, cast.home.pk)
    return SimpleNamespace(**vars(cast), programme=made)


def test_every_action_is_written_here_once_more():
    assert set(PROGRAMME_TABLE) == set(WRITTEN)


@pytest.mark.parametrize("action", WRITTEN)
def test_a_role_in_a_programme_holds_what_is_written_for_it(action):
    held = "".join(role[0] for role in ROLES if may_in_programme(role, action))
    assert held == WRITTEN[action]
    assert not may_in_programme(None, action)


def test_strangers_find_nothing_and_readers_change_nothing(town):
    with pytest.raises(Refused) as no:
        must_in_programme(town.stranger, town.programme.pk, "see")
    assert no.value.status == 404
    with pytest.raises(Refused) as no:
        programmes.write(town.reader, town.programme, "hours", {"hours": 1})
    assert no.value.status == 403


def test_a_place_comes_in_only_by_its_own_coordinator(town):
    with pytest.raises(Refused):
        programmes.add_place(town.coordinator, town.programme, town.other.pk)
    token = programmes.invite(town.coordinator, town.programme, "place")
    with pytest.raises(Refused):
        programmes.join(town.stranger, token, town.home.pk)
    programmes.join(town.stranger, token, town.other.pk)
    assert set(ProgrammePlace.objects.values_list("place_id", flat=True)) == {
        town.home.pk,
        town.other.pk,
    }
    assert not programmes_of(town.stranger).exists()


def test_whoever_brought_a_place_in_may_take_it_out_again(town):
    token = programmes.invite(town.coordinator, town.programme, "place")
    programmes.join(town.stranger, token, town.other.pk)
    programmes.let_go(town.stranger, town.programme, town.other.pk)
    assert [one.id for one in programmes.facts_in(town.programme)] == [town.home.pk]
    programmes.join(town.stranger, token, town.other.pk)
    assert len(programmes.facts_in(town.programme)) == 2


def test_a_withdrawn_role_comes_back_only_by_a_later_link(town):
    old = programmes.invite(town.coordinator, town.programme, "helper")
    programmes.withdraw(town.coordinator, town.programme, town.keeper.pk)
    assert not programmes_of(town.keeper).exists()
    with pytest.raises(Refused):
        programmes.join(town.keeper, old)
    programmes.join(town.keeper, programmes.invite(town.coordinator, town.programme, "reader"))
    assert programmes_of(town.keeper).get().role == "reader"
    with pytest.raises(Refused) as last:
        programmes.withdraw(town.coordinator, town.programme, town.coordinator.pk)
    assert last.value.status == 409


def test_a_line_is_written_once_whoever_asks(town):
    body = {"kg": 14.5, "clean": 1}
    first = programmes.write(town.keeper, town.programme, "fetched", body, town.home.pk)
    again = programmes.write(
        town.keeper, town.programme, "fetched", body, town.home.pk, entry=first.pk
    )
    assert again.pk == first.pk
    with pytest.raises(AppendOnlyError):
        first.save()
    with pytest.raises(AppendOnlyError):
        ProgrammeEntry.objects.all().delete()
    from django.db import connection

    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE logbook_programmeentry SET kind = 'word'")
    programmes.write(town.keeper, town.programme, "struck", {}, supersedes=str(first.pk))
    assert programmes.entries(town.programme) == []


@pytest.mark.parametrize(
    ("kind", "body", "place", "said"),
    [
        ("fetched", {"kg": -1}, "home", "kg"),
        ("fetched", {"kg": 1}, "", "place"),
        ("training", {"people": 1.5}, "", "people"),
        ("question", {}, "", "note"),
        ("dance", {}, "", "kind"),
        ("hours", {"hours": 1, "more": 2}, "", "more"),
    ],
)
def test_what_can_not_be_is_refused_in_one_line(town, kind, body, place, said):
    where = town.home.pk if place else ""
    with pytest.raises(Refused) as no:
        programmes.write(town.keeper, town.programme, kind, body, where)
    assert said in str(no.value)
    assert "\n" not in str(no.value)
    assert (no.value.status, no.value.field) == (422, said)


def test_a_line_may_be_of_a_day_that_was_and_not_of_one_that_comes(town):
    today = programmes.today(town.programme)

    def write(days, **more):
        on = programmes.Beside(on=today + dt.timedelta(days=days))
        return programmes.write(
            town.keeper, town.programme, "training", {"people": 3}, beside=on, **more
        )

    late = write(-7)
    assert late.day == today - dt.timedelta(days=7)
    assert write(-7, entry=late.pk).pk == late.pk
    for days in (1, -4000):
        with pytest.raises(Refused) as no:
            write(days)
        assert (no.value.status, no.value.field) == (422, "day")
    with pytest.raises(Refused) as other:
        write(-6, entry=late.pk)
    assert other.value.status == 409


@pytest.mark.parametrize("days", [-1, 61, 36500])
def test_a_round_is_planned_for_a_day_that_comes_soon(town, days):
    day = programmes.today(town.programme) + dt.timedelta(days=days)
    with pytest.raises(Refused) as no:
        programmes.plan(town.keeper, town.programme, day)
    assert (no.value.status, no.value.field) == (422, "day")


def test_facts_follow_the_entries_of_a_place(town):
    from sourloam.logbook.renewing import renew

    spec = {"name": "19 L pail", "volume": "19 L"}
    added = {"vessel": "blue", "name": "Blue pail", "spec": spec}
    assert record_entry(town.coordinator, raw(town.home.pk, "vessel_added", added)).stored
    fed = {"vessel": "blue", "amount": {"mass_kg": 2.0}}
    assert record_entry(town.coordinator, raw(town.home.pk, "fed", fed)).stored
    assert programmes.facts_in(town.programme)[0].kg == 0
    renew(town.home.pk)
    facts = programmes.facts_in(town.programme)[0]
    assert facts.kg == pytest.approx(2.0, rel=0.02)
    assert [v.stage for v in facts.filling] == ["filling"]
    assert PlaceSummary.objects.get().seq == 2


def test_bran_recalled_at_one_place_is_good_at_no_other(town):
    from sourloam.logbook.programmes.facts import facts_at

    token = programmes.invite(town.coordinator, town.programme, "place")
    programmes.join(town.stranger, token, town.other.pk)
    lots = (LotFacts("oak-1", 0.6), LotFacts("ash-1", 0.3))
    bran = BranFacts(0.9, (0.01, 0.02, 0.03), lots=lots)
    today = dt.date.today()
    there = PlaceFacts(town.home.pk, "Home", "home", today, bran=bran)
    recall = LotWarning("oak-1", today, recalled=True)
    for found in (there, PlaceFacts(town.other.pk, "Other", "home", today, warns=(recall,))):
        keep_facts(found.id, 1, found.as_json())
    every = {one.id: one for one in programmes.facts_in(town.programme)}
    row = ProgrammePlace.objects.get(place_id=town.home.pk)
    for one in (every[town.home.pk], facts_at(row, today)):
        assert one.bran.left_kg == pytest.approx(0.3)


def test_a_round_is_planned_kept_and_found_again(town):
    with pytest.raises(Refused):
        programmes.plan(town.keeper, town.programme, dt.date.today())
    town.programme.latitude, town.programme.longitude = 52.0, 5.0
    town.programme.save()
    day = programmes.today(town.programme)
    assert programmes.plan(town.keeper, town.programme, day).stops == ()
    assert programmes.next_round(town.programme)[0] == day
    assert programmes.round_on(town.programme, day).van.room == town.programme.room


def test_bran_that_was_left_somewhere_is_no_longer_at_the_hub(town):
    def at_hub():
        return Programme.objects.get(pk=town.programme.pk).bran_kg

    programmes.change(town.coordinator, town.programme, {"bran_kg": 6.0})
    left = programmes.write(town.keeper, town.programme, "bran", {"kg": 2.0}, town.home.pk)
    programmes.write(town.keeper, town.programme, "bran", {"kg": 2.0}, town.home.pk, entry=left.pk)
    assert at_hub() == 4.0
    for _twice in range(2):
        programmes.write(town.keeper, town.programme, "struck", {}, supersedes=str(left.pk))
        assert at_hub() == 6.0


def test_a_place_that_never_wrote_is_told_and_does_not_wait(town):
    PlaceSummary.objects.all().delete()
    joined = programmes.today(town.programme) - dt.timedelta(days=60)
    ProgrammePlace.objects.update(joined=joined)
    found, (facts,) = programmes.morning_of(town.programme)
    assert (facts.id, facts.joined, facts.entry_days) == (town.home.pk, joined, ())
    assert [one.place.id for one in found.help] == [town.home.pk]
    assert saved_in(town.programme, 0.0).waiting == 0
