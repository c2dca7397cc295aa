"""An entry is stored once, sealed, in the order in which it came, whatever is repeated."""

import datetime as dt
import uuid

import pytest
from logbook_cast import SPEC, fed, raw

from sourloam.ledger import chain_hash
from sourloam.logbook.models import Entry, Filing, Place, PlaceNow
from sourloam.logbook.recording import record_entry
from sourloam.logbook.standing import read_entries

pytestmark = pytest.mark.django_db


def test_the_same_entry_again_is_one_entry(cast):
    sent = fed(cast.home.pk)
    answers = [record_entry(cast.keeper, sent).status for _ in range(3)]
    assert answers == [201, 200, 200]
    assert Entry.objects.count() == 1


def test_one_may_not_be_a_float_nor_a_second_entry(cast):
    sent = fed(cast.home.pk, mass_kg=1)
    assert record_entry(cast.keeper, sent).status == 201
    written_otherwise = {**sent, "body": {"vessel": "blue", "amount": {"mass_kg": 1.0}}}
    assert record_entry(cast.keeper, written_otherwise).status == 200


def test_the_same_time_told_in_another_zone_is_the_same_entry(cast):
    sent = fed(cast.home.pk)
    east = dt.timezone(dt.timedelta(hours=5, minutes=30))
    again = {**sent, "at": dt.datetime.fromisoformat(sent["at"]).astimezone(east).isoformat()}
    assert [record_entry(cast.keeper, one).status for one in (sent, again)] == [201, 200]


def test_another_entry_under_a_known_id_is_refused_with_one_line(cast):
    sent = fed(cast.home.pk)
    record_entry(cast.keeper, sent)
    answer = record_entry(cast.keeper, {**fed(cast.home.pk, mass_kg=2.0), "id": sent["id"]})
    assert (answer.status, answer.stored) == (409, False)
    assert "\n" not in answer.detail
    assert Entry.objects.get().body["amount"] == {"mass_kg": 1.0}


def test_an_id_of_another_place_is_refused_and_tells_nothing_of_it(cast):
    sent = fed(cast.home.pk)
    record_entry(cast.keeper, sent)
    answer = record_entry(cast.stranger, {**sent, "place": cast.other.pk})
    assert answer.status == 409
    assert "Alder" not in answer.detail
    assert cast.home.pk not in answer.detail


def test_what_the_server_says_itself_is_not_taken_from_a_phone(cast):
    early = "2001-01-01T00:00:00Z"
    record_entry(cast.keeper, {**fed(cast.home.pk), "received_at": early, "by": "somebody"})
    row = Entry.objects.get()
    assert row.by == "keeper"
    assert row.person == cast.keeper
    assert row.received_at.year > 2001


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"id": "7"}, "id"),
        ({"kind": "eaten"}, "kind"),
        ({"at": "yesterday"}, "at"),
        ({"at": "2026-03-01T10:00:00"}, "zone"),
        ({"body": {"vessel": "blue"}}, "amount"),
        ({"body": {"vessel": "blue", "amount": {"mass_kg": False}}}, "mass_kg"),
        ({"body": {"vessel": "blue", "amount": {"mass_kg": -1}}}, "mass_kg"),
        ({"colour": "green"}, "colour"),
    ],
)
def test_what_is_no_entry_gets_one_line_that_names_the_fault(cast, change, word):
    answer = record_entry(cast.keeper, {**fed(cast.home.pk), **change})
    assert answer.status == 422
    assert word in answer.detail
    assert "\n" not in answer.detail
    assert not Entry.objects.exists()


@pytest.mark.parametrize("sent", [None, [], "fed", 7])
def test_what_is_not_even_an_object_gets_one_line(cast, sent):
    assert record_entry(cast.keeper, sent).status == 422


def test_entries_are_numbered_without_a_gap_and_each_place_counts_its_own(cast):
    for _ in range(3):
        record_entry(cast.keeper, fed(cast.home.pk))
    record_entry(cast.stranger, fed(cast.other.pk))
    record_entry(cast.keeper, {**fed(cast.home.pk), "kind": "eaten"})
    record_entry(cast.keeper, fed(cast.home.pk))
    numbers = Entry.objects.filter(place=cast.home).order_by("seq").values_list("seq", flat=True)
    assert list(numbers) == [1, 2, 3, 4]
    assert Place.objects.get(pk=cast.home.pk).last_seq == 4
    assert Place.objects.get(pk=cast.other.pk).last_seq == 1


def test_each_entry_seals_all_before_it(cast):
    for mass in (1.0, 1.5, 2.0):
        record_entry(cast.keeper, fed(cast.home.pk, mass_kg=mass))
    record_entry(cast.gardener, raw(cast.home.pk, "noted", {"note": "ñ, ½ and 土"}))
    before = ""
    for row, entry in zip(
        Entry.objects.filter(place=cast.home).order_by("seq"),
        read_entries(cast.home.pk),
        strict=True,
    ):
        assert row.hash_before == before
        assert row.hash == chain_hash(before, entry)
        before = row.hash
    assert Place.objects.get(pk=cast.home.pk).last_hash == before


def test_a_correction_that_moves_a_layer_is_filed_under_both_vessels(cast):
    layer = fed(cast.home.pk, "blue")
    record_entry(cast.keeper, layer)
    record_entry(cast.keeper, fed(cast.home.pk, "green", supersedes=layer["id"]))
    filed = Filing.objects.values_list("thing", "entry__seq")
    assert sorted(filed) == [
        *(("vessel:blue", 1), ("vessel:blue", 2)),
        *(("vessel:green", 1), ("vessel:green", 2)),
    ]


def test_a_strike_that_came_before_its_layer_is_filed_with_it_once_it_comes(cast):
    layer = fed(cast.home.pk, "blue")
    record_entry(cast.keeper, raw(cast.home.pk, "struck", {}, supersedes=layer["id"]))
    record_entry(cast.keeper, layer)
    blue = Filing.objects.filter(thing="vessel:blue").values_list("entry__kind", flat=True)
    assert sorted(blue) == ["fed", "struck"]


def test_an_entry_of_another_place_can_not_be_superseded(cast):
    theirs = fed(cast.other.pk)
    record_entry(cast.stranger, theirs)
    answer = record_entry(cast.keeper, fed(cast.home.pk, supersedes=theirs["id"]))
    assert answer.status == 422


def test_a_stored_entry_leaves_a_mark_that_its_forecast_is_old(cast):
    for _ in range(2):
        record_entry(cast.keeper, fed(cast.home.pk))
    mark = PlaceNow.objects.get(place=cast.home)
    assert (mark.wanted_seq, mark.done_seq) == (2, 0)


@pytest.mark.parametrize(
    ("kind", "body", "sort"),
    [
        ("fed", {"vessel": "blue", "amount": {"mass_kg": 1.0}}, "vessel"),
        ("washed", {"vessel": "blue"}, "vessel"),
        ("planted", {"bed": "wall", "crop": "leek"}, "bed"),
    ],
)
def test_nothing_is_written_of_what_nobody_put_up(cast, kind, body, sort):
    sent = raw(cast.home.pk, kind, body)
    refused = record_entry(cast.keeper, sent, of_known=True)
    assert (refused.status, refused.fault.sort) == (422, sort)
    spec = SPEC if sort == "vessel" else {"name": "Wall", "length": "5 m", "width": "1.2 m"}
    put_up = {sort: body[sort], "name": "It", "spec": spec}
    elsewhere = raw(cast.other.pk, f"{sort}_added", put_up)
    assert record_entry(cast.stranger, elsewhere).stored
    assert record_entry(cast.keeper, sent, of_known=True).status == 422
    assert record_entry(cast.keeper, raw(cast.home.pk, f"{sort}_added", put_up)).stored
    assert record_entry(cast.keeper, sent, of_known=True).stored


@pytest.mark.parametrize(
    ("kind", "change", "told"),
    [
        ("fed", {"amount": {"mass_kg": 900}}, ("bounds", "mass_kg", 900, 0.001, 500)),
        ("fed", {"amount": {"mass_kg": "much"}}, ("number", "mass_kg", "much", 0.001, 500)),
        ("fed", {"amount": {"mass_kg": 1, "volume_l": 1}}, ("together", "amount")),
        ("fed", {}, ("missing", "amount")),
        ("fed", {"amount": {"mass_kg": 1}, "pieces": "gone"}, ("choice", "pieces", "gone")),
        ("moved", {"where": "x" * 90}, ("long", "where")),
        ("moved", {"where": " "}, ("missing", "where")),
        ("drained", {"volume_ml": 1, "colour": "red"}, ("unknown", "colour")),
        ("weighed", {"mass_kg": 1.0, "empty_kg": 2.0}, ("together", "")),
    ],
)
def test_a_refusal_says_its_parts(cast, kind, change, told):
    answer = record_entry(cast.keeper, raw(cast.home.pk, kind, {"vessel": "blue", **change}))
    fault = answer.fault
    assert answer.status == 422
    assert (fault.kind, fault.sort, fault.field) == (kind, *told[:2])
    assert (fault.found, fault.least, fault.most)[: len(told) - 2] == told[2:]


def test_storing_asks_the_database_a_bounded_number_of_times(cast, django_assert_max_num_queries):
    for _ in range(30):
        record_entry(cast.keeper, fed(cast.home.pk))
    with django_assert_max_num_queries(16):
        record_entry(cast.keeper, fed(cast.home.pk, supersedes=str(uuid.uuid4())))
