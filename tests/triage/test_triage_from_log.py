"""A vessel's log says what need not be asked."""

import datetime as dt
import uuid

import pytest

from sourloam.ledger import fold, parse_entry
from sourloam.triage import context_of, diagnose, judged, learned, outcomes_of, signs_of

TODAY = dt.date(2026, 5, 30)


def placed(*entries):
    """The filling of a pail, and its place; each entry is (kind, day of May, body)."""
    found = [("measure_set", 1, {"measure": "bowl", "name": "Bowl", "mass_kg": 1.0}), *entries]
    parsed = []
    for kind, day, body in found:
        at = dt.datetime(2026, 5, day, 18, tzinfo=dt.UTC).isoformat()
        thing = {} if kind in ("measure_set", "bran_received") else {"vessel": "pail"}
        raw = {"id": str(uuid.uuid4()), "place": "p", "kind": kind, "at": at, "written_at": at}
        parsed.append(parse_entry(raw | {"body": thing | body}))
    state = fold(parsed, dt.UTC)
    return state.vessel("pail").turn, state


def fed(day, **more):
    return ("fed", day, {"amount": {"measure": "bowl", "count": 2}, **more})


def test_dose_is_bran_over_scraps():
    turn, state = placed(fed(2, bran_g=10), fed(4, bran_g=10), fed(6))
    assert context_of(turn, state, TODAY).bran_share == pytest.approx(0.005, rel=0.01)


def test_days_are_counted_from_the_log():
    turn, state = placed(fed(2), fed(20), ("drained", 10, {"volume_ml": 90}), ("set_aside", 21, {}))
    context = context_of(turn, state, TODAY)
    assert context.filling_days == 19
    assert context.rest_days == 10
    assert context.undrained_days == 20


def test_an_old_lot_of_bran_is_told_by_its_arrival():
    turn, state = placed(("bran_received", 1, {"lot": "a", "mass_kg": 2}), fed(29, lot="a"))
    assert context_of(turn, state, TODAY).bran_months == pytest.approx(28 / 30.4)


def test_warmth_speaks_of_today_only_while_it_is_fresh():
    turn, state = placed(fed(2), ("warmth_read", 29, {"temperature_c": 8}))
    assert context_of(turn, state, TODAY).room_c == 8
    turn, state = placed(fed(2), ("warmth_read", 12, {"temperature_c": 8}))
    assert context_of(turn, state, TODAY).room_c is None


def test_kinds_tell_the_animal_share():
    turn, state = placed(fed(2, kinds={"meat_fish": 0.5, "fruit_veg": 0.5}))
    assert context_of(turn, state, TODAY).animal_share == pytest.approx(0.5)
    turn, state = placed(fed(2))
    assert context_of(turn, state, TODAY).animal_share is None


@pytest.mark.parametrize(
    ("ph", "last", "sign"),
    [
        (4.2, 2, "sour_strip"),
        (4.8, 2, "middling_strip"),
        (5.6, 2, "high_strip"),
        (5.6, 25, "high_strip_young"),
    ],
)
def test_a_fresh_strip_in_the_ferment_is_a_sign(ph, last, sign):
    turn, _ = placed(fed(last), ("ph_read", 28, {"ph": ph, "of": "solid"}))
    assert signs_of(turn, TODAY) == (sign,)


def test_the_last_look_is_taken_and_older_ones_are_not():
    looks = [("looked", 20, {"signs": ["flies"]}), ("looked", 28, {"signs": ["rotten_smell"]})]
    turn, _ = placed(fed(2), *looks)
    assert signs_of(turn, TODAY) == ("rotten_smell",)
    assert signs_of(turn, dt.date(2026, 6, 20)) == ()


def test_a_thin_dose_in_the_log_points_to_bran():
    turn, state = placed(*(fed(day, bran_g=8) for day in range(2, 12, 2)))
    told = diagnose(["rotten_smell"], context=context_of(turn, state, TODAY))
    plain = diagnose(["rotten_smell"])
    share = {one.cause: one.share for one in told.likely}["thin_bran"]
    assert share > 1.5 * {one.cause: one.share for one in plain.likely}["thin_bran"]


def test_only_a_mended_case_with_a_named_cause_teaches():
    seen = {"signs": ["leak"], "cause": "broken_vessel"}
    cases = [
        ("rescued", 4, {**seen, "outcome": "mended"}),
        ("rescued", 5, {**seen, "outcome": "lost"}),
        ("rescued", 6, seen),
        ("rescued", 7, {"signs": ["flies"], "outcome": "mended"}),
        ("rescued", 8, {"signs": ["flies"], "cause": "no_such_cause", "outcome": "mended"}),
        ("rescued", 9, {"signs": ["flies"], "cause": "thin_cover", "outcome": "mended"}),
    ]
    _, state = placed(fed(2), *cases)
    (one,) = outcomes_of(state)
    assert (one.cause, one.seen) == ("broken_vessel", ("leak",))
    taught = learned(judged("vessel"), [one])
    i = judged("vessel").causes.index("broken_vessel")
    assert taught.usual("new")[i] > judged("vessel").usual("new")[i]
