"""What stands follows from the entries alone, however they came in."""

from dataclasses import replace

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from logbook_cast import fed, raw

from sourloam.ledger import fold
from sourloam.logbook import standing
from sourloam.logbook.models import Place
from sourloam.logbook.recording import record_entry, store
from sourloam.logbook.standing import read_entries, state_of
from strategies.ledger_entries import ledgers

pytestmark = pytest.mark.django_db


@settings(
    max_examples=25,
    derandomize=True,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(ledgers(most=15), st.data())
@pytest.mark.slow
def test_brought_up_to_date_step_by_step_is_the_same_as_folded_at_once(db, ledger, data):
    order = data.draw(st.permutations(ledger))
    looks = data.draw(st.sets(st.integers(0, len(order)), max_size=4))
    with transaction.atomic():
        place = Place.objects.create(name="Flat at Alder Row")
        for number, entry in enumerate(order):
            store(replace(entry, place=place.pk), None)
            if number in looks:
                state_of(place.pk, "UTC")
        state, seq = state_of(place.pk, "UTC")
        assert seq == len(order)
        assert state == fold(read_entries(place.pk))
        transaction.set_rollback(True)


def test_a_layer_put_right_into_another_vessel_leaves_the_first_one(cast):
    layer = fed(cast.home.pk, "blue")
    record_entry(cast.keeper, layer)
    assert [v.id for v in state_of(cast.home.pk, "UTC")[0].vessels] == ["blue"]
    record_entry(cast.keeper, fed(cast.home.pk, "green", supersedes=layer["id"]))
    state, _seq = state_of(cast.home.pk, "UTC")
    assert [v.id for v in state.vessels] == ["green"]
    assert state == fold(read_entries(cast.home.pk))


def test_without_news_nothing_is_read_but_the_number_of_the_last_entry(
    cast, django_assert_num_queries
):
    record_entry(cast.keeper, fed(cast.home.pk))
    state_of(cast.home.pk, "UTC")
    with django_assert_num_queries(1):
        state_of(cast.home.pk, "UTC")


def test_one_new_entry_among_many_reads_only_its_own_vessel(cast, django_assert_max_num_queries):
    for number in range(40):
        record_entry(cast.keeper, fed(cast.home.pk, f"pail-{number}"))
    state_of(cast.home.pk, "UTC")
    record_entry(cast.keeper, fed(cast.home.pk, "pail-7"))
    with django_assert_max_num_queries(5):
        state, _seq = state_of(cast.home.pk, "UTC")
    assert len(state.vessel("pail-7").turns[0].layers) == 2


def test_a_store_that_was_set_back_is_read_anew(cast):
    with transaction.atomic():
        record_entry(cast.keeper, fed(cast.home.pk, "blue"))
        record_entry(cast.keeper, fed(cast.home.pk, "green"))
        assert len(state_of(cast.home.pk, "UTC")[0].vessels) == 2
        transaction.set_rollback(True)
    assert state_of(cast.home.pk, "UTC")[0].vessels == ()
    with transaction.atomic():
        record_entry(cast.keeper, fed(cast.home.pk, "tin"))
        record_entry(cast.keeper, fed(cast.home.pk, "jar"))
    assert [v.id for v in state_of(cast.home.pk, "UTC")[0].vessels] == ["jar", "tin"]


def test_what_is_kept_is_bounded_by_the_entries_behind_it(cast, monkeypatch):
    monkeypatch.setattr(standing, "_MOST_ENTRIES", 3)
    for place, person in ((cast.home, cast.keeper), (cast.other, cast.stranger)):
        for _ in range(2):
            record_entry(person, fed(place.pk))
        state_of(place.pk, "UTC")
    state_of(cast.other.pk, "UTC")
    assert [key[0] for key in standing._kept] == [cast.other.pk]


def test_the_day_of_an_entry_is_the_day_in_the_zone_of_the_place(cast):
    late = {"at": "2026-03-01T23:30:00Z", "written_at": "2026-03-01T23:30:00Z"}
    record_entry(cast.keeper, raw(cast.home.pk, "noted", {"note": "late"}, **late))
    days = [
        state_of(cast.home.pk, zone)[0].stores.notes[0].day.day for zone in ("UTC", "Europe/Madrid")
    ]
    assert days == [1, 2]


def test_after_warming_a_first_look_reads_no_entry(cast, django_assert_num_queries):
    for place, person in ((cast.home, cast.keeper), (cast.other, cast.stranger)):
        record_entry(person, fed(place.pk))
    standing.forget()
    assert standing.warm() == 2
    with django_assert_num_queries(2):
        assert all(state_of(p.pk, "UTC")[0].vessels for p in (cast.home, cast.other))


def test_warming_takes_no_more_than_may_be_kept(cast, monkeypatch):
    monkeypatch.setattr(standing, "_MOST_ENTRIES", 1)
    for place, person in ((cast.home, cast.keeper), (cast.other, cast.stranger)):
        record_entry(person, fed(place.pk))
    standing.forget()
    assert standing.warm() == 1
    assert [key[0] for key in standing._kept] == [cast.other.pk]


def test_who_read_the_number_of_the_last_entry_a_moment_too_early_costs_no_fold(cast, monkeypatch):
    record_entry(cast.keeper, fed(cast.home.pk))
    early = Place.objects.get(pk=cast.home.pk)
    for _ in range(2):
        record_entry(cast.keeper, fed(cast.home.pk))
        state_of(cast.home.pk, "UTC")
    monkeypatch.setattr(standing, "fold", None)
    state, seq = standing.state_at(early.pk, "UTC", early.last_seq, early.last_hash)
    assert (seq, len(state.vessels[0].turns[0].layers)) == (3, 3)


def test_a_store_that_was_set_back_and_grew_past_what_is_kept_is_read_anew(cast):
    with transaction.atomic():
        record_entry(cast.keeper, fed(cast.home.pk, "blue"))
        state_of(cast.home.pk, "UTC")
        transaction.set_rollback(True)
    for vessel in ("tin", "jar", "tub"):
        record_entry(cast.keeper, fed(cast.home.pk, vessel))
    assert [v.id for v in state_of(cast.home.pk, "UTC")[0].vessels] == ["jar", "tin", "tub"]
