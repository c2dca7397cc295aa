"""The invented programme: the same again, in order, and such as people live."""

import datetime as dt
from collections import Counter

import pytest

from sourloam.demo.town import hub, town
from sourloam.ledger.fold import fold
from sourloam.programme.rounds import crow_m

TODAY = dt.date(2026, 5, 18)


@pytest.fixture(scope="module")
def places():
    return list(town(TODAY, 20))


def test_the_same_question_gives_the_same_town(places):
    again = next(iter(town(TODAY, 20)))
    assert again == places[0]
    assert next(iter(town(TODAY, 20, seed=2))) != places[0]


def test_entries_come_in_order_and_none_is_of_today(places):
    for one in places:
        written = [entry.written_at for entry in one.entries]
        assert written == sorted(written)
        assert max(written).date() < TODAY
        assert one.entries[0].kind == "place_described"


def test_there_are_homes_cafes_and_schools_within_some_kilometres(places):
    kinds = Counter(one.kind for one in places)
    assert kinds["home"] > kinds["cafe"] > kinds["school"] > 0
    assert all(crow_m(hub(), one.spot) < 10_000 for one in places)


def test_logs_fold_into_places_with_turns_and_nothing_odd(places):
    ended = 0
    for one in places[::4]:
        state = fold(one.entries, dt.UTC)
        assert state.site() is not None
        assert state.conflicts == ()
        ended += sum(turn.ended is not None for v in state.vessels for turn in v.turns)
    assert ended > 10


def test_some_have_stopped(places):
    quiet = [one for one in places if (TODAY - one.entries[-1].at.date()).days > 30]
    assert 0 < len(quiet) < len(places) / 2
