"""The story of a place: which vessel is filled when, rests, is emptied, washed, filled again."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sourloam.demo.habits import Habit
from sourloam.demo.truth import Bools, Floats, PlaceTruth, TurnTruth, run_turn
from sourloam.evidence import book
from sourloam.site import spans_within

_RUN_DAYS = 130  # followed from its first layer; by then all that can happen has
_RUN_DAYS_COLD = 260  # in the cold it may wait for spring
_SATURDAY = 5
_TUB_DELAY = 50
_BAD_BEGINS_BEFORE = 95  # days before today, so that the failed vessel stands there today


@dataclass(frozen=True)
class Owned:
    """A vessel of the place, with its id, its name and its kind's number in the site."""

    id: str
    name: str
    kind: int


def vessels_of(place: PlaceTruth, prefix: str) -> list[Owned]:
    """All vessels that the place owns."""
    return [
        Owned(f"{prefix}-{kind + 1}-{n}", f"{spec.name} {n}", kind)
        for kind, spec in enumerate(place.site.vessels)
        for n in range(1, spec.owned + 1)
    ]


def live(
    place: PlaceTruth, habit: Habit, owned: list[Owned], today: int, rng: np.random.Generator
) -> list[TurnTruth]:
    """Every turn that begins before ``today``, followed into the future."""
    free = {one.id: 0 for one in owned}
    by_id = {one.id: one for one in owned}
    shapes = place.site.to_vessels()
    offered = _offered(place, habit, today)
    open_days = _burial_days(place)
    run_days = _RUN_DAYS_COLD if place.site.room.kind in ("shed", "outdoors") else _RUN_DAYS
    turns: list[TurnTruth] = []
    bad_left = habit.spoils
    day = 0
    while day < today:
        name = min(free, key=lambda i: (free[i], i))
        day = max(day, free[name])
        longest = int(book()["planning.longest_fill"].value) + int(rng.integers(0, 7))
        layers = _layers(offered, day, longest)
        if layers is None or layers[0] >= today:
            break
        began, when, kg = layers
        bad = bad_left and began >= today - _BAD_BEGINS_BEFORE
        bad_left = bad_left and not bad
        turn = run_turn(
            place, name, shapes[by_id[name].kind], began, (when, kg), run_days, rng, bad
        )
        turn = _end(turn, place, open_days, rng)
        if habit.stops_before and began + (turn.emptied_day or 0) >= today - habit.stops_before:
            turn = replace(turn, emptied_day=None)  # nobody comes to empty it
        day = began + turn.aside_day + 1
        if turn.emptied_day is not None:
            turn = replace(turn, washed_day=turn.emptied_day + int(rng.geometric(0.3)))
        turns.append(turn)
        washed = turn.washed_day
        free[name] = len(place.room_c) if washed is None else began + washed + 1
    return turns


def _offered(place: PlaceTruth, habit: Habit, today: int) -> Floats:
    """Scraps held out on each day: gathered for some days, and none once the place fell idle."""
    kg = place.scraps_kg.copy()
    if habit.stops_before:
        kg[max(today - habit.stops_before, 0) :] = 0.0
    if habit.layer_days > 1:
        gathered = np.zeros_like(kg)
        for start in range(0, len(kg), habit.layer_days):
            block = kg[start : start + habit.layer_days]
            gathered[min(start + habit.layer_days, len(kg)) - 1] = block.sum()
        kg = gathered
    return kg


def _layers(offered: Floats, day: int, longest: int) -> tuple[int, Floats, Floats] | None:
    """First day with scraps from ``day`` on, then the layers held out to one vessel, which is
    set aside after ``longest`` days even if it isn't full."""
    coming = np.flatnonzero(offered[day:] > 0.05)
    if not len(coming):
        return None
    began = day + int(coming[0])
    when = np.flatnonzero(offered[began : began + longest] > 0.05)
    return began, when.astype(np.float64), offered[began + when]


def _burial_days(place: PlaceTruth) -> Bools:
    """Saturdays on which the ground opens and the beds are free, and all days where it is a tub."""
    days = len(place.open_ground)
    if place.site.ground.none:
        return np.ones(days, dtype=bool)
    free = place.open_ground.copy()
    for span in place.site.busy:
        for first, last in spans_within(span, place.first, place.date(days)):
            a, b = (first - place.first).days, (last - place.first).days
            free[max(a, 0) : max(b + 1, 0)] = False
    saturdays = np.array([place.date(d).weekday() == _SATURDAY for d in range(days)])
    return np.asarray(free & saturdays)


def _end(
    turn: TurnTruth, place: PlaceTruth, open_days: Bools, rng: np.random.Generator
) -> TurnTruth:
    """When a ferment that soured finds a place in the ground; None if it never does."""
    if not np.isfinite(turn.finish_day):
        return turn
    # A tub takes it any day, so nobody hurries there before the vessel is needed again.
    delay = int(rng.geometric(0.3)) + (_TUB_DELAY if place.site.ground.none else 0)
    ready = int(max(turn.finish_day, turn.aside_day + 10)) + delay
    coming = np.flatnonzero(open_days[turn.began + ready :])
    if len(coming):
        turn = replace(turn, emptied_day=ready + int(coming[0]))
    return turn
