import datetime as dt
from dataclasses import replace
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.ledger import entries_about, fold, fold_vessel
from sourloam.ledger.fold import assemble, fold_bed, fold_stores
from sourloam.ledger.vessel_fold import extended
from strategies.ledger_entries import START, entry, fed, ledgers

modest = settings(derandomize=True, max_examples=50, deadline=None)
VESSEL = {"vessel": "pail-1"}
TRENCH = {"bed": "wall-bed", "depth_m": 0.3, "width_m": 0.3, "length_m": 1, "cover_m": 0.2}


def added(number=100, day=0, vessel="pail-1"):
    spec = {"name": "pail", "volume": "19 L"}
    body = {"vessel": vessel, "name": "Pail", "spec": spec}
    return entry(number, "vessel_added", body, day)


def corrected(number, written, mass_kg):
    return fed(number, mass_kg=mass_kg, supersedes=1, written=written)


def did(number, kind, day, **body):
    return entry(number, kind, VESSEL | body, day)


def vessel(*entries):
    return fold([added(), *entries]).vessel("pail-1")


def codes(state):
    return [o.code for o in state.oddities]


@given(ledgers(), st.randoms(use_true_random=False), st.data())
@modest
def test_any_order_and_any_repetition_of_arrival_gives_the_same_state(entries, random, data):
    arrived = list(entries)
    if entries:
        arrived += data.draw(st.lists(st.sampled_from(entries), max_size=10))
    random.shuffle(arrived)
    assert fold(arrived) == fold(entries)


@given(ledgers())
@modest
def test_one_vessel_or_bed_folded_alone_is_what_it_is_in_the_whole(entries):
    whole = fold(entries)
    for v in whole.vessels:
        assert fold_vessel(v.id, entries_about(("vessel", v.id), entries)) == v
    for b in whole.beds:
        assert fold_bed(b.id, entries_about(("bed", b.id), entries)) == b
    assert fold_stores(entries) == whole.stores


@given(ledgers())
@modest
def test_a_place_put_together_from_its_parts_is_the_place(entries):
    whole = fold(entries)
    assert assemble(whole.stores, whole.vessels, whole.beds) == whole


@given(ledgers(), st.integers(0, 25))
@modest
def test_folding_anew_only_what_fresh_entries_touch_gives_the_state_of_the_whole(entries, known):
    before = fold(entries[:known])
    touched = {
        thing
        for thing in {thing for entry in entries for thing in entry.things}
        if entries_about(thing, entries) != entries_about(thing, entries[:known])
    }
    vessels = {v.id: v for v in before.vessels}
    beds = {b.id: b for b in before.beds}
    for sort, name in touched:
        about = entries_about((sort, name), entries)
        if sort == "vessel":
            vessels[name] = fold_vessel(name, about)
        elif sort == "bed":
            beds[name] = fold_bed(name, about)
    told = [thing for thing in (*vessels.values(), *beds.values()) if thing.log or thing.conflicts]
    whole = fold(entries)
    assert [*whole.vessels, *whole.beds] == sorted(told, key=lambda t: (t.id in beds, t.id))
    assert assemble(fold_stores(entries), whole.vessels, whole.beds) == whole


@given(ledgers(), st.randoms(use_true_random=False))
@modest
def test_two_devices_that_exchange_in_pieces_agree_in_the_end(entries, random):
    first, second = [], []
    for one in entries:
        random.choice([first, second]).append(one)
    random.shuffle(second)
    assert fold([*first, *second]) == fold([*second, *first, *second])


@given(ledgers())
@modest
def test_each_layer_that_counts_was_written_once_and_none_is_struck(entries):
    state = fold(entries)
    shown = [r.entry for v in state.vessels for r in v.log]
    assert len(shown) == len(set(shown))
    assert not set(shown) & {e.supersedes for e in entries}
    assert not set(shown) & {e.id for e in entries if e.kind == "struck"}


def test_a_vessel_goes_from_empty_through_filling_and_resting_to_empty_and_dirty():
    story = [
        fed(1, 0),
        fed(2, 3),
        did(3, "set_aside", 20),
        did(4, "judged", 35, verdict="sound"),
        did(5, "emptied", 40, fate="buried"),
        did(6, "washed", 41),
    ]
    stages = [vessel(*story[:n]).stage for n in range(len(story) + 1)]
    assert stages == ["empty", "filling", "filling", "resting", "ready", "empty", "empty"]
    assert vessel(*story[:5]).dirty
    assert not vessel(*story).dirty
    assert not vessel(*story[:4]).dirty
    assert codes(vessel(*story)) == []


def test_a_failed_verdict_makes_it_failed_until_a_later_one_says_sound():
    failed = [fed(1), did(2, "set_aside", 5), did(3, "judged", 9, verdict="failed", cause="cold")]
    assert vessel(*failed).stage == "failed"
    assert vessel(*failed, did(4, "judged", 20, verdict="sound")).stage == "ready"


def test_each_filling_is_a_turn_of_its_own_with_its_drains():
    state = vessel(
        fed(1, 0),
        did(2, "drained", 3, volume_ml=80),
        did(3, "emptied", 20, fate="tub"),
        fed(4, 21),
        did(5, "drained", 24, volume_ml=120),
        did(6, "drained", 27, volume_ml=60),
    )
    assert [turn.liquid_ml for turn in state.turns] == [80, 180]
    assert state.turns[0].fate == "tub"
    assert state.turn is state.turns[1]
    assert state.turn.last_fed.entry == UUID(int=4)


def test_a_fill_mark_begins_a_turn_where_the_layers_went_unlogged():
    state = vessel(did(1, "fill_marked", 2, fraction=0.4), did(2, "drained", 3, volume_ml=70))
    assert state.stage == "filling"
    assert state.turn.began.kind == "fill_marked"
    assert codes(state) == []


def test_a_mark_on_an_empty_vessel_begins_nothing():
    assert vessel(did(1, "fill_marked", 2, fraction=0)).stage == "empty"


def test_a_vessel_rests_from_the_first_time_it_is_set_aside():
    state = vessel(fed(1), did(2, "set_aside", 9), did(3, "set_aside", 12))
    assert state.turn.set_aside.entry == UUID(int=2)


def test_a_burial_empties_the_vessel_and_shows_in_the_bed():
    bed = {"name": "Wall bed", "length": "4 m", "width": "1 m", "texture": "loam"}
    whole = fold(
        [
            added(),
            entry(99, "bed_added", {"bed": "wall-bed", "name": "Wall bed", "spec": bed}),
            fed(1),
            did(2, "set_aside", 9),
            did(3, "buried", 30, **TRENCH),
            did(4, "buried", 30, **TRENCH, along_m=1.2),
            did(5, "emptied", 30.1, fate="buried", mass_kg=9),
        ]
    )
    pail = whole.vessel("pail-1")
    assert pail.stage == "empty"
    assert pail.dirty
    assert len(pail.turns) == 1
    assert len(pail.turns[0].burials) == 2
    assert pail.turns[0].emptied.body.mass_kg == 9
    assert [r.body.along_m for r in whole.bed("wall-bed").burials] == [None, 1.2]
    assert whole.oddities == ()


@pytest.mark.parametrize(
    ("code", "story"),
    [
        ("drained_while_empty", [did(1, "drained", 1, volume_ml=50)]),
        ("set_aside_while_empty", [did(1, "set_aside", 1)]),
        ("judged_while_empty", [did(1, "judged", 1, verdict="sound")]),
        ("emptied_while_empty", [did(1, "emptied", 1, fate="tub")]),
        ("buried_while_empty", [did(1, "buried", 1, **TRENCH)]),
        ("buried_while_filling", [fed(1), did(2, "buried", 1, **TRENCH)]),
        ("fed_while_resting", [fed(1), did(2, "set_aside", 1), fed(3, 2)]),
        ("fed_while_failed", [fed(1), did(2, "judged", 1, verdict="failed"), fed(3, 2)]),
        ("fed_while_retired", [did(1, "vessel_retired", 1), fed(3, 2)]),
        ("washed_while_full", [fed(1), did(2, "washed", 1)]),
        ("dated_ahead", [fed(1, 9, written=2)]),
    ],
)
def test_what_cannot_well_be_is_noted_and_nothing_breaks(code, story):
    state = vessel(*story)
    assert codes(state) == [code]
    assert state.oddities[0].sentence.english.endswith(".")
    assert len(state.log) == len(story) + 1


def arrived(one, day):
    return replace(one, received_at=START + dt.timedelta(days=day))


@pytest.mark.parametrize(
    ("day", "found"), [(7.99, ["dated_after_arrival"]), (8, []), (9, []), (60, [])]
)
def test_a_date_more_than_a_day_after_arrival_is_noted(day, found):
    assert codes(vessel(arrived(fed(1, 9), day))) == found


def test_a_date_ahead_of_writing_and_of_arrival_is_noted_once():
    assert codes(vessel(arrived(fed(1, 9, written=2), 2))) == ["dated_ahead"]


def test_a_date_ahead_of_arrival_is_noted_for_beds_and_for_stores():
    spec = {"name": "Wall bed", "length": "4 m", "width": "1 m", "texture": "loam"}
    bed = entry(1, "bed_added", {"bed": "wall-bed", "name": "Wall bed", "spec": spec}, 9)
    note = entry(2, "noted", {"note": "Rain."}, 9)
    whole = fold([arrived(bed, 1), arrived(note, 1)])
    assert codes(whole.bed("wall-bed")) == ["dated_after_arrival"]
    assert codes(whole.stores) == ["dated_after_arrival"]


@given(ledgers(), st.data())
@modest
def test_when_entries_arrived_does_not_make_their_order_count(entries, data):
    days = st.none() | st.integers(-3, 400)
    came = [e if d is None else arrived(e, d) for e in entries for d in [data.draw(days)]]
    again = [e if d is None else arrived(e, d) for e in came for d in [data.draw(days)]]
    mixed = data.draw(st.permutations([*came, *again]))
    assert fold(mixed) == fold([*came, *again])


def test_a_vessel_that_nobody_added_is_shown_and_noted():
    state = fold([fed(1)])
    assert state.vessel("pail-1").name == "pail-1"
    assert codes(state) == ["vessel_unknown"]
    with pytest.raises(KeyError):
        state.vessel("pail-9")


def test_a_correction_replaces_and_a_chain_of_them_ends_in_the_last():
    chain = [fed(1), fed(2, mass_kg=2, supersedes=1), fed(3, mass_kg=3, supersedes=2)]
    layers = vessel(*chain).turn.layers
    assert [layer.body.amount.mass_kg for layer in layers] == [3]
    assert layers[0].corrects == UUID(int=2)
    assert fold(chain).conflicts == ()


def test_a_chain_of_a_thousand_corrections_is_followed():
    chain = [fed(1)] + [fed(n, mass_kg=n / 10, supersedes=n - 1) for n in range(2, 1002)]
    assert vessel(*chain).turn.layers[0].body.amount.mass_kg == 100.1


def test_a_struck_layer_is_gone_and_a_struck_correction_takes_the_whole_chain_out():
    assert vessel(fed(1), fed(2, 1), entry(3, "struck", {}, 2, supersedes=1)).turn.layers[
        0
    ].day == (START.date() + dt.timedelta(days=1))
    chain = [fed(1), fed(2, supersedes=1), entry(3, "struck", {}, 2, supersedes=2)]
    assert vessel(*chain).stage == "empty"


def test_two_corrections_of_one_entry_are_a_conflict_and_the_later_written_counts():
    early, late = (
        corrected(2, 5, 2),
        corrected(3, 6, 3),
    )
    state = fold([added(), fed(1), early, late])
    assert [layer.body.amount.mass_kg for layer in state.layers()] == [3]
    (conflict,) = state.conflicts
    assert conflict.versions == (late, early)
    assert conflict.over == UUID(int=1)
    assert state.vessel("pail-1").conflicts == (conflict,)


def test_corrections_written_at_the_same_time_are_told_apart_by_their_ids():
    low, high = (
        corrected(2, 5, 2),
        corrected(3, 5, 3),
    )
    assert [x.body.amount.mass_kg for x in fold([fed(1), high, low]).layers()] == [3]


def test_striking_one_of_two_corrections_settles_the_conflict_for_the_other():
    pair = [
        fed(1),
        corrected(2, 5, 2),
        corrected(3, 6, 3),
    ]
    state = fold([*pair, entry(4, "struck", {}, 7, supersedes=3)])
    assert [x.body.amount.mass_kg for x in state.layers()] == [2]
    assert state.conflicts == ()


def test_where_both_corrections_are_struck_nothing_is_left_and_nothing_is_disputed():
    pair = [fed(1), corrected(2, 5, 2), corrected(3, 6, 3)]
    strikes = [entry(n + 2, "struck", {}, 7, supersedes=n) for n in (2, 3)]
    state = fold([*pair, *strikes])
    assert state.layers() == ()
    assert state.conflicts == ()


def test_an_edit_against_a_strike_is_a_conflict_and_the_later_written_counts():
    edit = corrected(2, 5, 2)
    strike = entry(3, "struck", {}, 6, supersedes=1)
    state = fold([added(), fed(1), edit, strike])
    assert state.layers() == ()
    assert state.conflicts[0].versions == (strike, edit)
    earlier = entry(3, "struck", {}, 4, supersedes=1)
    assert len(fold([fed(1), edit, earlier]).layers()) == 1


def test_a_correction_that_moves_a_layer_to_another_vessel_leaves_the_first_without_it():
    entries = [added(), fed(1), fed(2, vessel="pail-2", supersedes=1)]
    about = entries_about(("vessel", "pail-1"), entries)
    assert len(about) == 3
    assert fold_vessel("pail-1", about).turns == ()
    assert len(fold(entries).vessel("pail-2").turn.layers) == 1


def test_entries_that_correct_each_other_in_a_circle_are_noted_and_one_counts():
    circle = [fed(1, supersedes=2, written=1), fed(2, supersedes=1, written=2)]
    state = fold(circle)
    assert [x.entry for x in state.layers()] == [UUID(int=2)]
    assert "loop" in codes(state)


def test_one_id_with_two_contents_counts_once_and_is_noted():
    state = fold([fed(1, mass_kg=1), fed(1, mass_kg=2)])
    assert len(state.layers()) == 1
    assert "same_id" in codes(state)
    assert state == fold([fed(1, mass_kg=2), fed(1, mass_kg=1), fed(1, mass_kg=2)])


def test_the_stamp_of_the_server_makes_no_other_entry():
    assert "same_id" not in codes(fold([fed(1), fed(1, by="keeper")]))
    assert fold([fed(1), fed(1, by="k")]) == fold([fed(1, by="k"), fed(1)])


def test_the_day_of_a_layer_is_told_in_the_zone_of_the_place():
    evening = fed(1, 0.9)  # 21:36 in UTC
    there = fold([evening], ZoneInfo("Pacific/Auckland")).layers()[0].day
    assert there == fold([evening]).layers()[0].day + dt.timedelta(days=1)


def test_bran_that_came_in_less_bran_on_layers_is_what_is_left():
    lot = entry(1, "bran_received", {"lot": "lot-1", "mass_kg": 1.5})
    layers = [
        entry(n, "fed", VESSEL | {"amount": {"mass_kg": 1}, "bran_g": 20}, n) for n in (2, 3, 4)
    ]
    assert fold([lot, *layers]).bran_left_kg == pytest.approx(1.44)


def test_the_newest_calibration_of_a_measure_holds():
    def bowl(number, day, mass_kg):
        return entry(
            number, "measure_set", {"measure": "bowl", "name": "B", "mass_kg": mass_kg}, day
        )

    assert fold([bowl(2, 2, 0.5), bowl(1, 1, 0.7)]).measure("bowl").mass_kg == 0.5
    assert fold([]).measure("bowl") is None


def test_a_retired_vessel_that_is_added_again_is_in_use_again():
    state = vessel(did(1, "vessel_retired", 1), added(2, 2))
    assert state.retired is None


@given(ledgers(), st.integers(1, 25))
@modest
def test_a_vessel_goes_on_with_later_entries_as_if_all_had_been_gone_through(entries, known):
    alone = [e for e in entries if e.supersedes is None and e.kind != "struck"]
    every = [added(), *sorted({e.id: e for e in alone}.values(), key=lambda e: e.order)]
    mine = [e for e in every if ("vessel", "pail-1") in e.things]
    before, later = fold_vessel("pail-1", mine[:known]), mine[known:]
    after = extended(before, later)
    if after is not None:
        assert after == fold_vessel("pail-1", mine)
    else:
        assert before.added is None or not later or later[0].at <= before.log[-1].at


def test_an_entry_from_before_or_on_a_vessel_that_nobody_added_is_not_gone_on_with():
    before = fold_vessel("pail-1", [added(), fed(1, 5), fed(2, 7)])
    assert extended(before, [fed(3, 6)]) is None
    assert extended(before, [fed(3, 8)]).turn.layers[-1].entry.int == 3
    assert extended(fold_vessel("pail-1", [fed(1, 5)]), [fed(3, 8)]) is None
