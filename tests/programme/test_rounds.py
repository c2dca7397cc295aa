"""Rounds keep to the van, the hours and the map, and go the short way."""

import itertools

import pytest

from sourloam.programme import Call, Deed, Van, drawn, figures, plan_round
from sourloam.programme.rounds import crow_m

HUB = (52.0, 5.0)
H = 3600


def call(number, north=0.0, east=0.0, **more):
    at = (HUB[0] + north / 111, HUB[1] + east / 68.5)
    given = {"full": 1, "clean": 1, "kg": 15.0, "pressing": 0.5}
    return Call(f"p{number}", f"Place {number}", at, **(given | more))


def van(**more):
    given = {"room": 20, "payload_kg": 600.0, "starts_s": 8 * H, "ends_s": 13 * H}
    return Van(HUB, "Hub", **(given | more))


def test_the_crow_flies_a_degree_of_latitude():
    assert crow_m((52, 5), (53, 5)) == pytest.approx(111_195, rel=1e-3)


def test_a_round_is_as_short_as_the_best_of_all_orders():
    spots = [(0, 2), (2, 2), (2, -1), (-1, -2), (-2, 1), (1, 0.5)]
    calls = [call(n, *spot) for n, spot in enumerate(spots)]
    found = plan_round(calls, van(), drawn())
    assert len(found.stops) == 6

    def length(order):
        stops = [HUB, *(one.at for one in order), HUB]
        return sum(crow_m(a, b) for a, b in itertools.pairwise(stops))

    best = min(length(order) for order in itertools.permutations(calls))
    assert length([stop.call for stop in found.stops]) == pytest.approx(best, rel=0.01)
    assert found.way_km[0] < 1.3 * best / 1000 < found.way_km[2]


def test_the_van_is_never_fuller_than_it_may_be_and_comes_back_for_more():
    calls = [call(n, n % 4, n // 4, full=2, clean=2, kg=30.0) for n in range(10)]
    found = plan_round(calls, van(room=8, payload_kg=90.0), drawn())
    assert found.trips >= 2
    assert all(stop.full_on_board + stop.clean_on_board <= 8 for stop in found.stops)
    assert all(stop.kg_on_board <= 90 + 8 for stop in found.stops)
    assert found.full == 2 * len(found.stops)


def test_a_round_keeps_its_hours_by_its_own_median_and_says_one_time_only():
    calls = [call(n, n % 6 - 3, n // 6 - 3, full=2, clean=2, kg=30.0) for n in range(40)]
    found = plan_round(calls, van(room=12, payload_kg=300.0), drawn())
    assert found.trips > 1
    assert found.left_out
    assert found.hours[0] < found.hours[1] < found.hours[2]
    assert found.back_s <= 13 * H
    assert found.sets_out_s + 3600 * found.hours[1] == pytest.approx(found.back_s, abs=1)


def test_between_trips_there_is_time_to_come_home_and_unload():
    calls = [call(n, n % 6 - 3, n // 6 - 3, full=2, clean=2, kg=30.0) for n in range(12)]
    found = plan_round(calls, van(room=12), drawn())
    pairs = [(a, b) for a, b in itertools.pairwise(found.stops) if a.trip != b.trip]
    assert pairs
    for last, first in pairs:
        at_most_32 = (crow_m(last.call.at, HUB) + crow_m(HUB, first.call.at)) * 3.6 / 32
        lifted = last.full_on_board + first.clean_on_board + first.call.clean
        assert first.arrive_s - last.leave_s > at_most_32 + 60 * (2 + 0.25 * lifted)


def test_a_place_that_opens_late_is_not_waited_for_on_the_road():
    found = plan_round([call(1, 1, opens_s=11 * H)], van(), drawn())
    assert found.sets_out_s > 10.5 * H
    assert found.hours[1] < 1


def test_hours_of_a_place_are_kept_and_what_does_not_fit_is_said():
    late = call(1, 1, opens_s=11 * H, closes_s=12 * H)
    never = call(2, 2, opens_s=15 * H, closes_s=16 * H)
    lost = Call("x", "No map", None, 1, 1, 15.0)
    found = plan_round([call(0, 3), late, never, lost], van(), drawn())
    arrival = {stop.call.id: stop.arrive_s for stop in found.stops}
    assert 11 * H <= arrival["p1"] <= 12 * H
    assert {c.id: why for c, why in found.left_out} == {
        "x": "nowhere_on_the_map",
        "p2": "no_room_or_time",
    }


def test_the_pressing_ones_come_first_when_time_is_short():
    calls = [call(n, 0.5 * n, pressing=0.0 if n % 2 else 1.0) for n in range(1, 13)]
    found = plan_round(calls, van(ends_s=9 * H), drawn())
    served = {stop.call.pressing for stop in found.stops}
    assert 0 < len(found.stops) < 12
    assert sum(s.call.pressing for s in found.stops) > len(found.stops) / 2
    assert 1.0 in served


def test_no_call_is_no_round_and_the_same_question_gives_the_same_round():
    assert plan_round([], van(), drawn()).stops == ()
    calls = [call(n, n, -n) for n in range(5)]
    assert plan_round(calls, van(), drawn()) == plan_round(calls, van(), drawn())


def test_figures_count_the_log_and_take_contamination_off():
    import datetime as dt

    from programme_facts import TODAY, place

    deeds = [
        Deed("fetched", TODAY, {"kg": 15.0, "contamination_kg": 0.5}),
        Deed("training", TODAY, {"people": 7.0, "hours": 2.0}),
        Deed("visit", TODAY, {"hours": 1.0}),
        Deed("bran", TODAY, {"kg": 0.4}),
        Deed("bran", TODAY, {"kg": 0.6}),
    ]
    places = [place(f"House {n}") for n in range(30)]
    found = figures([*places, place("Gone", quiet=90)], deeds, TODAY, drawn())
    assert (found.fetched_kg, found.trained, found.hours) == (14.5, 7, 3.0)
    assert found.bran_out_kg == pytest.approx(1.0)
    assert found.kept_kg[0] < 31 * 60 < found.kept_kg[2]
    assert 29 < found.active[1] < 30.5
    assert found.by_month[0] == (dt.date(2026, 4, 1), 31 * 40.0)
