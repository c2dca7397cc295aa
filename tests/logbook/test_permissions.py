"""Who may do what, cell by cell: written here once more by hand, so that a slip shows."""

import pytest
from logbook_bodies import BODIES
from logbook_cast import raw

from sourloam.ledger import KINDS, ROLES
from sourloam.logbook.permissions import TABLE, may, memberships, must, role_of, roles_to
from sourloam.logbook.recording import record_entry
from sourloam.logbook.refusals import Refused

# one letter a role that may: c coordinator, k keeper, g gardener, r reader
WRITTEN = {
    "see": "ckgr",
    "send photo": "ckg",
    "change place": "c",
    "take out": "ck",
    "bring in": "c",
    "make token": "c",
    "invite coordinator": "c",
    "invite keeper": "c",
    "invite gardener": "ck",
    "invite reader": "ck",
    "withdraw coordinator": "c",
    "withdraw keeper": "c",
    "withdraw gardener": "ck",
    "withdraw reader": "ck",
    "write place_described": "c",
    "write measure_set": "ck",
    "write vessel_added": "ck",
    "write vessel_retired": "ck",
    "write fed": "ck",
    "write drained": "ck",
    "write ph_read": "ck",
    "write looked": "ckg",
    "write fill_marked": "ck",
    "write weighed": "ck",
    "write warmth_read": "ck",
    "write opened": "ck",
    "write moved": "ck",
    "write set_aside": "ck",
    "write judged": "ck",
    "write emptied": "ck",
    "write buried": "ckg",
    "write washed": "ck",
    "write photographed": "ckg",
    "write rescued": "ckg",
    "write noted": "ckg",
    "write bed_added": "ck",
    "write planted": "ckg",
    "write harvested": "ckg",
    "write liquid_fed": "ckg",
    "write bran_received": "ck",
    "write bran_ordered": "ck",
    "write bran_made": "ck",
    "write bran_mixed": "ck",
    "write bran_dried": "ck",
    "write bran_packed": "ck",
    "write bran_tested": "ck",
    "write bran_handed_out": "ck",
    "write bran_recalled": "ck",
    "write bran_discarded": "ck",
    "write bran_way_set": "ck",
    "write struck": "ckg",
}
CELLS = [(role, action) for action in WRITTEN for role in ROLES]


def test_every_action_has_its_row_and_no_row_is_idle():
    assert set(TABLE) == set(WRITTEN)


@pytest.mark.parametrize(("role", "action"), CELLS, ids=lambda value: value.replace(" ", "-"))
def test_a_role_holds_what_is_written_for_it(role, action):
    assert may(role, action) == (role[0] in WRITTEN[action])


@pytest.mark.parametrize("action", WRITTEN)
def test_nobody_without_a_role_may_do_anything(action):
    assert not may(None, action)


def test_an_action_that_nobody_wrote_down_is_a_fault_and_not_a_no():
    with pytest.raises(KeyError):
        may("coordinator", "burn down")


def test_only_standing_members_have_a_role(cast):
    roles = {name: role_of(person, cast.home.pk) for name, person in cast.people.items()}
    assert roles == {**{role: role for role in ROLES}, "gone": None, "stranger": None}


def test_a_role_in_one_place_is_none_in_another(cast):
    assert role_of(cast.coordinator, cast.other.pk) is None
    assert role_of(cast.stranger, cast.other.pk) == "coordinator"


def test_a_closed_account_opens_nothing(cast):
    cast.keeper.is_active = False
    assert not memberships(cast.keeper).exists()


def test_strangers_are_told_no_such_place_and_members_that_they_may_not(cast):
    with pytest.raises(Refused) as strange:
        must(cast.stranger, cast.home.pk, "see")
    with pytest.raises(Refused) as known:
        must(cast.reader, cast.home.pk, "write fed")
    assert (strange.value.status, known.value.status) == (404, 403)


def test_a_keeper_invites_gardeners_and_readers_only():
    assert roles_to("invite", "keeper") == ("gardener", "reader")
    assert roles_to("invite", "coordinator") == ROLES
    assert roles_to("invite", None) == ()


@pytest.mark.parametrize("who", [*ROLES, "gone", "stranger"])
def test_the_store_takes_from_each_person_exactly_the_kinds_of_the_table(cast, who):
    for kind in KINDS:
        if kind == "struck":
            continue
        sent = raw(cast.home.pk, kind, BODIES[kind])
        answer = record_entry(cast.people[who], sent)
        allowed = who in ROLES and who[0] in WRITTEN[f"write {kind}"]
        assert answer.status == (201 if allowed else 403), (kind, answer.detail)
        elsewhere = raw(cast.other.pk, kind, BODIES[kind])
        there = record_entry(cast.people[who], elsewhere)
        assert there.status == (201 if who == "stranger" else 403)


def test_a_gardener_takes_out_only_what_a_gardener_may_write(cast):
    layer = raw(cast.home.pk, "fed", BODIES["fed"])
    note = raw(cast.home.pk, "noted", BODIES["noted"])
    for one in (layer, note):
        assert record_entry(cast.keeper, one).stored
    strikes = [raw(cast.home.pk, "struck", {}, supersedes=one["id"]) for one in (layer, note)]
    assert [record_entry(cast.gardener, one).status for one in strikes] == [403, 201]
    unknown = raw(cast.home.pk, "struck", {}, supersedes="00000000-0000-4000-8000-000000000001")
    assert record_entry(cast.gardener, unknown).status == 403
    assert record_entry(cast.keeper, unknown).status == 201


def test_a_gardener_does_not_undo_what_a_keeper_struck(cast):
    layer = raw(cast.home.pk, "fed", BODIES["fed"])
    strike = raw(cast.home.pk, "struck", {}, supersedes=layer["id"])
    for one in (layer, strike):
        assert record_entry(cast.keeper, one).stored
    undone = raw(cast.home.pk, "struck", {}, supersedes=strike["id"])
    instead = raw(cast.home.pk, "noted", BODIES["noted"], supersedes=strike["id"])
    assert [record_entry(cast.gardener, one).status for one in (undone, instead)] == [403, 403]
    assert record_entry(cast.keeper, undone).stored


def test_a_gardener_does_not_strike_a_note_that_became_a_layer(cast):
    note = raw(cast.home.pk, "noted", BODIES["noted"])
    assert record_entry(cast.gardener, note).stored
    layer = raw(cast.home.pk, "fed", BODIES["fed"], supersedes=note["id"])
    assert record_entry(cast.keeper, layer).stored
    strike = raw(cast.home.pk, "struck", {}, supersedes=note["id"])
    answer = record_entry(cast.gardener, strike)
    assert (answer.status, answer.fault.kind) == (403, "fed")


@pytest.mark.parametrize("who", ROLES)
def test_who_takes_an_entry_out_must_be_allowed_to_write_its_kind(cast, who):
    for kind in KINDS:
        if kind == "struck":
            continue
        one = raw(cast.home.pk, kind, BODIES[kind])
        assert record_entry(cast.coordinator, one).stored, kind
        strike = raw(cast.home.pk, "struck", {}, supersedes=one["id"])
        allowed = who[0] in WRITTEN[f"write {kind}"] and who[0] in WRITTEN["write struck"]
        answer = record_entry(cast.people[who], strike)
        assert answer.status == (201 if allowed else 403), kind


def test_a_note_can_not_replace_a_layer_that_its_writer_may_not_write(cast):
    layer = raw(cast.home.pk, "fed", BODIES["fed"])
    assert record_entry(cast.keeper, layer).stored
    sly = raw(cast.home.pk, "noted", BODIES["noted"], supersedes=layer["id"])
    assert record_entry(cast.gardener, sly).status == 403
