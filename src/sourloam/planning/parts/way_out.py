"""What would help where vessels are too few or many: what to do first, then why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from sourloam.evidence import book
from sourloam.planning import counting
from sourloam.planning.case import Kind
from sourloam.planning.parts.day_words import many
from sourloam.planning.parts.scraps import weighed
from sourloam.planning.ranges import middle, range_of, words
from sourloam.planning.resting import rest
from sourloam.planning.rotation import Turns
from sourloam.planning.work import Counted, Work
from sourloam.units import show

_LARGER = (2, 3, 5)  # method: times the volume that is tried where a kind is too small
_SPARES = 0.8  # method: what spares fewer vessels than a fifth is not told


@dataclass(frozen=True)
class Way:
    """One thing to do, the number of vessels that will do then, and why it helps."""

    do: str
    number: int
    why: str
    other_kind: bool = False


def way_out(work: Work, kind: Kind, counted: Counted) -> str:
    """One thing to do in a sentence, why it helps, then other things that would do too.

    Empty where a number is enough and nothing would spare vessels.
    """
    ways = list(_ways(work, kind, counted))
    enough = counted.needed
    if enough is not None:
        ways = [way for way in ways if way.number <= _SPARES * enough]
    if not ways:
        return "" if enough is not None else f"{_less(work, kind)}{_tub(work)}"
    first, *others = ways
    text = f"{first.do}: then {_will_do(first, kind)}. {first.why}"
    if others:
        each = "; ".join(f"{_lower(way.do)} ({_will_do(way, kind)})" for way in others)
        text += f" Or {each}."
    return text if enough is not None else text + _tub(work)


def _will_do(way: Way, kind: Kind) -> str:
    if way.other_kind:
        return f"{way.number} of them will do"
    return f"{many(way.number, kind.vessel.name)} will do"


def _ways(work: Work, kind: Kind, counted: Counted) -> Iterator[Way]:
    """What can be done, the surest first."""
    yield from _warmer(work, kind, counted)
    yield from _hands(work, kind, counted)
    if counted.needed is None:
        yield from _more(work, kind, counted)
        yield from _bigger(work, kind, counted)
        if counted.needed_if_weighed is not None and not weighed(work):
            yield Way(
                f"Weigh your scraps for a week or two; if {middle_amount(work)} is right",
                counted.needed_if_weighed,
                "The count is for a place that may bring much more than the middle.",
            )


def _warmer(work: Work, kind: Kind, counted: Counted) -> Iterator[Way]:
    """A warmer place for the vessels, where theirs is cold."""
    case, least = work.case, book()["planning.room.cold"].value
    coming = case.room_c[:, case.coming_year]
    if np.median(coming.min(axis=1)) >= least:
        return
    warm = replace(case, room_c=np.maximum(case.room_c, least))
    rests = rest(warm, kind).on_every_day(len(case.dates), case.first)
    alone = work.alone(kind)
    number = _smallest(
        work, replace(alone, rest_days=rests[:, : alone.rest_days.shape[1]]), counted
    )
    if number is None:
        return
    coldest = _coldest_season(work)
    days = coming[:, case.days_in(coldest) - case.first]
    cold = words(range_of(days, "°C"), work.system)
    rested = work.rests[kind.vessel.name].rest_days[:, _closed_in(work, kind, coldest)]
    slow = words(range_of(rested, "days"), work.system)
    yield Way(
        f"Move the resting vessels to a room above {show(least, 'temperature', work.system)}",
        number,
        f"At {cold} in {coldest} a closed vessel rests for {slow}, and vessels pile up.",
    )


def _coldest_season(work: Work) -> str:
    case = work.case
    return min(case.seasons, key=lambda s: float(np.median(case.room_c[:, case.days_in(s)])))


def _closed_in(work: Work, kind: Kind, season: str) -> list[int]:
    days = work.rests[kind.vessel.name].closing_day
    return [i for i, day in enumerate(days) if work.case.season_on(int(day)) == season]


def _tub(work: Work) -> str:
    """A tub where the ground is often closed; without a number, for that hangs on its size."""
    ground = work.case.site.ground
    closed = np.median((~work.case.open_ground[:, work.case.coming_year]).sum(axis=1))
    if ground.none or ground.tub or closed < book()["planning.burial_interval"].value:
        return ""
    soil = middle(range_of(work.burying.soil_l, "L"), work.system)
    return (
        f" While the beds are closed, by frost or by crops on about {closed:.0f} days of the year, "
        f"a tub under a roof that does not freeze can take ready vessels: each wants about {soil} "
        "of old soil, which is taken up until the ferment has worked through."
    )


def _hands(work: Work, kind: Kind, counted: Counted) -> Iterator[Way]:
    """More people to dig, where the site says how many hours there are."""
    turns = work.alone(kind)
    if not work.labour.stated or turns.outlets is None:
        return
    every = np.full_like(turns.outlets.dig_h, np.inf)
    number = _smallest(work, replace(turns, outlets=replace(turns.outlets, dig_h=every)), counted)
    if number is not None:
        yield Way(
            "Find more people to dig on the days when much is ready",
            number,
            "With the hours that you state vessels wait for their burial.",
        )


def _more(work: Work, kind: Kind, counted: Counted) -> Iterator[Way]:
    most = int(book()["planning.most_vessels"].value)
    if counted.most < most:
        number = counting.smallest(work.alone(kind), work.case, work.case.site.place.risk, most)
        if number is not None:
            yield Way("Get more vessels, if you find room for them", number, _busy(work, kind))


def _bigger(work: Work, kind: Kind, counted: Counted) -> Iterator[Way]:
    """The first of a few larger sizes of which no more than were tried are enough."""
    for times in _LARGER:
        turns = work.alone(kind)
        number = _smallest(work, replace(turns, capacity_kg=turns.capacity_kg * times), counted)
        if number is not None:
            volume = show(times * kind.volume_m3, "volume", work.system)
            yield Way(f"Use vessels of about {volume} instead", number, _busy(work, kind), True)
            return


def _busy(work: Work, kind: Kind) -> str:
    fills = range_of(
        np.concatenate([one.full_day for one in work.filled[kind.vessel.name]]), "days"
    )
    return f"One is full in {words(fills, work.system)}, and each rests and waits for much longer."


def _smallest(work: Work, turns: Turns, counted: Counted) -> int | None:
    return counting.smallest(turns, work.case, work.case.site.place.risk, counted.most)


def _less(work: Work, kind: Kind) -> str:
    return (
        "Put in a smaller share of the scraps, or stop feeding in the weeks in which every vessel "
        f"is full, and have the rest fetched. {_busy(work, kind)}"
    )


def middle_amount(work: Work) -> str:
    """Scraps of a mean day of the middle member, in words."""
    case = work.case
    return middle(range_of(case.scraps_kg[:, case.planned].mean(axis=1), "kg/day"), work.system)


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
