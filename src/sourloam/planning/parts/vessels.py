"""How many vessels, and what would help where no number does."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.planning import counting
from sourloam.planning.case import Kind
from sourloam.planning.contract import (
    Blocked,
    Chance,
    Combination,
    RuledOut,
    Span,
    VesselOption,
    Vessels,
)
from sourloam.planning.counting import Odds
from sourloam.planning.filling import Filled
from sourloam.planning.ranges import middle, range_of
from sourloam.planning.rotation import Turns
from sourloam.planning.work import Counted, Work
from sourloam.units import show

Floats = NDArray[np.float64]
_NEARLY_TWO = 1.5  # method: rounds to two days
_LARGER = (2, 3, 5)  # method: times the volume that is tried where a kind is too small
_PLACES = 4  # method: digits of a chance
_LEAST_TOLD = 0.005  # method: smaller chances are told as "fewer than 1 in 100"


def vessels_part(work: Work, year: tuple[Span, ...], blocked: tuple[Blocked, ...]) -> Vessels:
    """Each kind alone, what is owned together, and the answer in a sentence."""
    case = work.case
    return Vessels(
        answer=_answer(work),
        options=tuple(_option(work, kind) for kind in case.kinds),
        ruled_out=tuple(_ruled_out(work, kind, filled) for kind, filled in work.small),
        owned_together=_combination(work),
        chosen=work.chosen.vessel.name,
        chosen_number=work.number,
        year=year,
        blocked=blocked,
    )


def chance_words(chance: float) -> str:
    """A chance as people say it."""
    if chance < _LEAST_TOLD:
        return "fewer than 1 in 100"
    return f"{100 * chance:.0f} in 100"


def _chance(odds: Odds) -> Chance:
    return Chance(
        number=odds.number,
        chance=round(odds.chance, _PLACES),
        low=round(odds.low, _PLACES),
        high=round(odds.high, _PLACES),
        refused=range_of(odds.refused_kg, "kg"),
    )


def _option(work: Work, kind: Kind) -> VesselOption:
    counted = work.counted[kind.vessel.name]
    return VesselOption(
        vessel=kind.vessel.name,
        owned=kind.owned,
        needed=counted.needed,
        needed_if_weighed=counted.needed_if_weighed,
        most_tried=counted.most,
        curve=tuple(_chance(odds) for odds in counted.curve),
        verdict=_verdict(work, kind, counted),
        way_out=_way_out(work, kind, counted) if counted.needed is None else _tub(kind, counted),
    )


def _ruled_out(work: Work, kind: Kind, filled: Filled) -> RuledOut:
    days = range_of(filled.full_day, "days")
    takes = middle(range_of(filled.scraps_kg, "kg"), work.system)
    brings = middle(range_of(daily_kg(work), "kg"), work.system)
    them = "those you own" if kind.owned else "it"
    return RuledOut(
        vessel=kind.vessel.name,
        owned=kind.owned,
        days=days,
        why=(
            f"Too small here: it takes about {takes} of scraps and an ordinary day brings "
            f"{brings}, so it would be full in {_soon(days.median)} and hold a heap instead of "
            f"layers; use {them} to carry scraps, or to keep them until the next layer."
        ),
    )


def _soon(days: float | None) -> str:
    return "a day or less" if days is None or days < _NEARLY_TWO else "less than two days"


def daily_kg(work: Work) -> Floats:
    """Scraps on a mean day on which some come, per member."""
    coming = work.case.scraps_kg[:, work.case.planned]
    return np.asarray(coming.sum(axis=1) / np.maximum((coming > 0).sum(axis=1), 1))


def many(number: int, name: str) -> str:
    """So many vessels of a kind, in words."""
    return f'{number} {"vessel" if number == 1 else "vessels"} ("{name}")'


def _verdict(work: Work, kind: Kind, counted: Counted) -> str:
    name, risk = kind.vessel.name, work.case.site.place.risk
    if counted.needed is None:
        last = counted.curve[-1]
        return (
            f"Not even {many(counted.most, name)} keep the chance of having nowhere to put scraps "
            f"within the {chance_words(risk)} a year that you accept: it stays at "
            f"{chance_words(last.chance)}."
        )
    at = next(odds for odds in counted.curve if odds.number == counted.needed)
    are = "is" if counted.needed == 1 else "are"
    text = (
        f"{many(counted.needed, name)} {are} enough: the chance of having nowhere to put "
        f"scraps at some time in a year is {chance_words(at.chance)} "
        f"(you accept {chance_words(risk)})."
    )
    if kind.owned:
        more = counted.needed - kind.owned
        text += f" You own {kind.owned}, so get {more} more." if more > 0 else " You own enough."
    fewer = counted.needed_if_weighed
    if fewer is not None and fewer < counted.needed:
        text += f" Weigh a week first: if {_middle_amount(work)} is right, {fewer} will do."
    return text


def _middle_amount(work: Work) -> str:
    case = work.case
    return middle(range_of(case.scraps_kg[:, case.planned].mean(axis=1), "kg/day"), work.system)


def _way_out(work: Work, kind: Kind, counted: Counted) -> str:
    """What would do: better knowledge, soil under a roof, more vessels, larger ones."""
    case, risk, name = work.case, work.case.site.place.risk, kind.vessel.name
    turns = work.alone(kind)
    ways = []
    if counted.needed_if_weighed is not None:
        ways.append(
            f"if a week of weighing shows that {_middle_amount(work)} is right, "
            f"{many(counted.needed_if_weighed, name)} will do"
        )
    if counted.needed_open_ground is not None:
        ways.append(
            f"with a tub of soil under a roof for the time when the ground is closed, "
            f"{many(counted.needed_open_ground, name)} will do"
        )
    most = int(book()["planning.most_vessels"].value)
    if counted.most < most:
        more = counting.smallest(turns, case, risk, most)
        if more is not None:
            ways.append(f"{many(more, name)} will do, if you find room for them")
    ways += _larger(work, kind, turns, counted.most)
    if not ways:
        return "Put in a smaller share of the scraps, or have part of them fetched."
    return _sentence("; ".join(ways))


def _tub(kind: Kind, counted: Counted) -> str:
    """What a tub of soil would spare where a number of vessels is enough anyway."""
    fewer = counted.needed_open_ground
    if fewer is None or counted.needed is None or fewer >= counted.needed:
        return ""
    return (
        "With a tub of soil under a roof for the time when the ground is closed, "
        f"{many(fewer, kind.vessel.name)} will do."
    )


def _larger(work: Work, kind: Kind, turns: Turns, most: int) -> list[str]:
    """The first of a few larger sizes of which no more than ``most`` are enough."""
    case = work.case
    for times in _LARGER:
        larger = replace(turns, capacity_kg=turns.capacity_kg * times)
        number = counting.smallest(larger, case, case.site.place.risk, most)
        if number is not None:
            volume = show(times * kind.volume_m3, "volume", work.system)
            return [f"vessels of about {volume} will do, {number} of them"]
    return []


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + "."


def _combination(work: Work) -> Combination | None:
    if work.together is None:
        return None
    names = tuple(k.vessel.name for k in work.case.kinds for _ in range(k.owned))
    risk = work.case.site.place.risk
    enough = work.together.chance <= risk
    what = " and ".join(
        many(kind.owned, kind.vessel.name) for kind in work.case.kinds if kind.owned
    )
    verdict = (
        f"What you own together ({what}) {'is enough' if enough else 'is not enough'}: "
        "the chance of having nowhere to put scraps at some time in a year is "
        f"{chance_words(work.together.chance)}."
    )
    if any(kind.owned for kind, _ in work.small):
        verdict += " Those ruled out as too small are not counted."
    return Combination(vessels=names, chance=_chance(work.together), enough=enough, verdict=verdict)


def _answer(work: Work) -> str:
    counted, name = work.counted[work.chosen.vessel.name], work.chosen.vessel.name
    if work.together is not None and work.together.chance <= work.case.site.place.risk:
        return "The vessels you own are enough."
    if counted.needed is None:
        return f"Not even {many(counted.most, name)} are enough; see what would help."
    return f"You need {many(counted.needed, name)}."
