"""How many vessels, and what would help where no number does."""

from __future__ import annotations

import math

from sourloam.evidence import book
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
from sourloam.planning.parts.day_words import many
from sourloam.planning.parts.scraps import daily_kg, weighed
from sourloam.planning.parts.way_out import middle_amount, way_out
from sourloam.planning.ranges import middle, range_of
from sourloam.planning.work import Counted, Work

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


def chance_words(chance: float, cases: int | None = None) -> str:
    """A chance as people say it; none in so many simulated ``cases`` is not called never."""
    if chance < _LEAST_TOLD:
        least = math.ceil(100 / cases) if cases and chance <= 0 else 1
        return f"fewer than {least} in 100"
    return f"{100 * chance:.0f} in 100"


def _cases(work: Work) -> int:
    """The simulated years that a chance is a share of."""
    return work.case.members * work.case.years


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
        needed_if_weighed=None if weighed(work) else counted.needed_if_weighed,
        most_tried=counted.most,
        curve=tuple(_chance(odds) for odds in counted.curve),
        verdict=_verdict(work, kind, counted),
        way_out=way_out(work, kind, counted),
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
            f"Too small here: it takes about {takes} of scraps and a day with scraps brings "
            f"{brings}, so it would be full {_soon(days.median)} and hold a heap instead of "
            f"layers (a kind is ruled out if full in less than "
            f"{_least()}); use {them} to carry scraps, or to keep them until the next layer."
        ),
    )


def _soon(days: float | None) -> str:
    """The middle time, as far as it tells the vessel from one that is large enough."""
    return "within a day" if days is not None and days <= 1 else f"in less than {_least()}"


def _least() -> str:
    return f"{book()['planning.least_fill'].value:g} days"


def _verdict(work: Work, kind: Kind, counted: Counted) -> str:
    name, risk = kind.vessel.name, work.case.site.place.risk
    if counted.needed is None:
        last = counted.curve[-1]
        return (
            f"Not even {many(counted.most, name)} keep the chance of having nowhere to put scraps "
            f"within the {chance_words(risk)} a year that you accept: it stays at "
            f"{chance_words(last.chance, _cases(work))}."
        )
    at = next(odds for odds in counted.curve if odds.number == counted.needed)
    are = "is" if counted.needed == 1 else "are"
    text = (
        f"{many(counted.needed, name)} {are} enough: the chance of having nowhere to put "
        f"scraps at some time in a year is {chance_words(at.chance, _cases(work))} "
        f"(you accept {chance_words(risk)})."
    )
    if kind.owned:
        more = counted.needed - kind.owned
        text += f" You own {kind.owned}, so get {more} more." if more > 0 else " You own enough."
    fewer = None if weighed(work) else counted.needed_if_weighed
    if fewer is not None and fewer < counted.needed:
        text += f" Weigh a week first: if {middle_amount(work)} is right, {fewer} will do."
    return text


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
        f"{chance_words(work.together.chance, _cases(work))}."
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
