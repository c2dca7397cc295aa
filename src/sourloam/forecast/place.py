"""Forecasts of all vessels of a place that are in use, from its ledger; and what it has taught."""

from __future__ import annotations

import datetime as dt
import zlib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sourloam.forecast.belief import Belief
from sourloam.forecast.habits import Habits, Laid, habits_of
from sourloam.forecast.kitchen import Kitchen, kitchen
from sourloam.forecast.logged import Logged
from sourloam.forecast.narrowing import Row, narrowed
from sourloam.forecast.outlook import VesselForecast
from sourloam.forecast.reading import from_ledger, laid_by_day
from sourloam.forecast.vessel import Question, forecast_vessel
from sourloam.ledger import PlaceState, VesselState
from sourloam.ledger.state import Turn
from sourloam.numerics.progress import Progress
from sourloam.site import Site
from sourloam.site.conversion import to_vessel
from sourloam.vessel import Vessel

_LEARN_FROM = 4  # method: finished vessels that a place is learned from
_LEARN_MEMBERS = 300  # method: members behind what a finished vessel teaches
_PAST_HORIZON = 120  # method: days beyond, in which a layer may still turn sour


@dataclass(frozen=True)
class Learned:
    """What finished vessels taught of a place; ``turns`` their ids, so that it can be kept until
    another vessel is finished."""

    belief: Belief
    turns: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain data, for keeping."""
        return {"belief": self.belief.as_dict(), "turns": list(self.turns)}

    @classmethod
    def from_dict(cls, kept: dict[str, Any]) -> Learned:
        """What ``as_dict`` gave; KeyError or ValueError where it is something else."""
        return cls(Belief.from_dict(kept["belief"]), tuple(kept["turns"]))


def kitchen_of(site: Site, state: PlaceState, question: Question) -> Kitchen:
    """The place by day from the year of the first turn on, past the horizon of any day of this
    year."""
    began = [turn.began.day for v in state.vessels for turn in v.turns]
    first = dt.date(min([question.today, *began]).year, 1, 1)
    last = dt.date(question.today.year, 12, 31)  # method: so that all its days ask for the same
    return kitchen(site, first, (last - first).days + question.horizon_days + _PAST_HORIZON)


def habits_in(state: PlaceState, place: Kitchen, today: dt.date) -> Habits:
    """Week and year of a place as all its layers up to a day tell them."""
    dates, kg = laid_by_day(state, today, place.usual.mix)
    at = (dates - np.datetime64(place.first, "D")).astype(np.int64)
    known = (at >= 0) & (at < len(place.expected_kg))
    laid = Laid(dates[known], kg[known], place.expected_kg[at[known]])
    return habits_of(laid, place.day_to_day)


def own_kitchen(site: Site, state: PlaceState, question: Question) -> Kitchen:
    """The place by day, its scraps shaped as its log tells week and year."""
    place = kitchen_of(site, state, question)
    dates = np.datetime64(place.first, "D") + np.arange(len(place.expected_kg))
    shaped = habits_in(state, place, question.today).on(dates)
    return replace(place, expected_kg=place.expected_kg * shaped)


def learn_place(
    state: PlaceState, site: Site, question: Question, report: Progress | None = None
) -> Learned:
    """What the newest finished vessels say of the place, one after the other; ``report`` is told
    the share done."""
    place = own_kitchen(site, state, question)
    done = _finished(state, question.today)[-_LEARN_FROM:]
    belief = place.before
    for number, (vessel, turn) in enumerate(done):
        if report is not None:
            report("learning from finished vessels", number / len(done))
        shape = shape_of(vessel, site)
        if shape is None:
            continue
        ended = turn.ended.day if turn.ended is not None else question.today
        asked = Question(min(ended, question.today), 1, _LEARN_MEMBERS)
        rng = np.random.default_rng(seed_of(vessel, turn))
        logged = from_ledger(turn, state, shape, place.usual.mix)
        if logged.layers:
            belief = forecast_vessel(logged, shape, place, belief.next_turn(), asked, rng).posterior
    return Learned(belief, tuple(_name(vessel, turn) for vessel, turn in done))


def forecast_place(
    state: PlaceState,
    site: Site,
    question: Question,
    learned: Learned | None = None,
    only: Collection[str] | None = None,
    report: Progress | None = None,
) -> dict[str, VesselForecast]:
    """A forecast for every vessel with something in it, by its id; for those in ``only`` if given.

    The same ledger, site and question give the same forecasts. ``learned`` is what the place has
    taught before (computed if left out). A vessel that was never described, or that holds no
    layer whose amount is known, has none.
    """
    found: dict[str, VesselForecast] = {}
    for asked in _each(state, site, question, learned, only):
        if report is not None:
            report("foreseeing vessels", len(found) / len(state.vessels))
        found[asked.vessel] = _forecast(asked, question)
    return found


def forecast_with_past(
    state: PlaceState,
    site: Site,
    question: Question,
    learned: Learned | None = None,
    only: Collection[str] | None = None,
    known: Mapping[str, Sequence[Row]] | None = None,
) -> dict[str, tuple[VesselForecast, list[Row]]]:
    """The same, each with what the vessel's log said on past days of it; ``known`` are rows of
    before, which need not be made again."""
    return {
        asked.vessel: (
            _forecast(asked, question),
            narrowed(
                asked.log.until((question.today - asked.log.began).days),
                asked.shape,
                asked.kitchen,
                asked.belief,
                (known or {}).get(asked.vessel, ()),
            ),
        )
        for asked in _each(state, site, question, learned, only)
    }


def _forecast(asked: _Asked, question: Question) -> VesselForecast:
    seed = [*asked.seed, question.seed] if question.seed else asked.seed
    rng = np.random.default_rng(seed)
    return forecast_vessel(asked.log, asked.shape, asked.kitchen, asked.belief, question, rng)


@dataclass(frozen=True)
class _Asked:
    """One vessel to be foreseen."""

    vessel: str
    log: Logged
    shape: Vessel
    kitchen: Kitchen
    belief: Belief
    seed: list[int]


def _each(
    state: PlaceState,
    site: Site,
    question: Question,
    learned: Learned | None,
    only: Collection[str] | None,
) -> Iterator[_Asked]:
    place = own_kitchen(site, state, question)
    belief = (learned or learn_place(state, site, question)).belief.next_turn()
    for vessel, turn in _in_use(state, question.today):
        if only is not None and vessel.id not in only:
            continue
        shape = shape_of(vessel, site)
        logged = None if shape is None else from_ledger(turn, state, shape, place.usual.mix)
        if shape is not None and logged is not None and logged.layers:
            yield _Asked(vessel.id, logged, shape, place, belief, seed_of(vessel, turn))


def shape_of(vessel: VesselState, site: Site) -> Vessel | None:
    """Its shape as it was described; the site's first kind if it never was."""
    if vessel.added is not None:
        return to_vessel(vessel.added.body.read_spec())
    shapes = site.to_vessels()
    return shapes[0] if shapes else None


def seed_of(vessel: VesselState, turn: Turn) -> list[int]:
    """A seed of the vessel's id and its last entry: forecasts change with the log only."""
    last = vessel.log[-1].entry.bytes if vessel.log else turn.began.entry.bytes
    return [zlib.crc32(vessel.id.encode()), zlib.crc32(last)]


def _in_use(state: PlaceState, today: dt.date) -> Iterator[tuple[VesselState, Turn]]:
    for vessel in state.vessels:
        turn = vessel.turn
        if turn is not None and vessel.retired is None and turn.began.day <= today:
            yield vessel, turn


def _finished(state: PlaceState, today: dt.date) -> list[tuple[VesselState, Turn]]:
    """Ended turns that were fed, in the order in which they began."""
    ended = [
        (vessel, turn)
        for vessel in state.vessels
        for turn in vessel.turns
        if turn.ended is not None and turn.layers and turn.ended.day <= today
    ]
    return sorted(ended, key=lambda pair: (pair[1].began.day, pair[0].id))


def _name(vessel: VesselState, turn: Turn) -> str:
    return f"{vessel.id}:{turn.began.entry}"
