"""Where each finished vessel could go in each week, and why not elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sourloam.garden.beds import Planting
from sourloam.garden.case import WEEK, Case, gap_index
from sourloam.garden.foresight import Stand
from sourloam.garden.hurdles import SLACK, Look, Refused, refusal, salt_cap_kg_m
from sourloam.garden.problem import Option
from sourloam.numerics import middle

_FEWEST_LATER = 6  # method: later weeks offered beside the first where hands are short, at least
_MOST_OFFERS = 1200  # method: so many more offers are tried out in seconds


@dataclass(frozen=True)
class Offer:
    """An option with what a reader wants to know of it."""

    option: Option
    day: int
    load_kg_m: float
    wait_days: float
    wait_range: tuple[float, float]
    next_crop: Planting | None
    among_rows: bool


@dataclass(frozen=True)
class Buried:
    """So many parts of one vessel by one offer."""

    offer: Offer
    parts: int


def find_options(
    case: Case, vessels: Sequence[int] | None = None
) -> tuple[list[Offer], list[Refused]]:
    """Every vessel (or those named), bed and week: an offer or a refusal, in that order of loops.

    Of two weeks in the same free time of a bed the later serves no better where it allows no
    greater load (it only holds the vessel longer). A week that adds nothing is left out: the
    best plan stays. Where hands are short, some such weeks stay, as an earlier one may be full.
    """
    offers: list[Offer] = []
    refused: list[Refused] = []
    for v in range(len(case.vessels)) if vessels is None else vessels:
        seen: list[dict[tuple[int, int], float]] = []
        spare = later_weeks(case)
        for week in range(-(-case.vessels[v].ready_day // WEEK), case.weeks):
            found = [_look(Look(case, v, b, week)) for b in range(len(case.beds))]
            new = [f for f in found if isinstance(f, Offer)]
            refused.extend(f for f in found if isinstance(f, Refused))
            places = {(o.option.bed, o.option.gap): o.load_kg_m for o in new}
            if not places:
                continue
            if any(_no_worse(earlier, places) for earlier in seen):
                if not spare:
                    continue
                spare -= 1
            seen.append(places)
            offers.extend(new)
    return offers, refused


def later_weeks(case: Case) -> int:
    """How many later weeks are looked at for each vessel beside the first: as many as all the
    work takes, within bounds."""
    most = max(_FEWEST_LATER, _MOST_OFFERS // max(len(case.vessels) * len(case.beds), 1))
    return min(weeks_of_work(case), most)


def weeks_of_work(case: Case) -> int:
    """How many weeks' work all vessels are beyond one week's."""
    if not np.isfinite(case.hands.week_h):
        return 0
    every = sum(_hours(case, v, 1.0, _metres(case, v)) for v in range(len(case.vessels)))
    return min(int(every / max(case.hands.week_h, SLACK)), case.weeks)


def _metres(case: Case, v: int) -> float:
    """Metres of trench that a vessel takes at the greatest load of the first bed."""
    return case.vessels[v].fresh_kg / Look(case, v, 0, 0).loads[0]


def _hours(case: Case, v: int, share: float, metres: float) -> float:
    """Hours of work: share of a vessel emptied, metres dug and filled."""
    return case.hands.vessel_h * share + case.hands.metre_h * metres


def _no_worse(earlier: dict[tuple[int, int], float], later: dict[tuple[int, int], float]) -> bool:
    return all(earlier.get(place, 0.0) >= load for place, load in later.items())


def _look(look: Look) -> Offer | Refused:
    no = refusal(look)
    return _offer(look) if no is None else no


def _offer(look: Look) -> Offer:
    loads = look.loads
    soon = [load for load in loads if look.in_time(load)]
    return offer_at(look, min(max(soon), salt_cap_kg_m(look)))


def offer_at(look: Look, load: float) -> Offer:
    """The offer with so many kg on a metre of trench."""
    loads = look.loads
    step = min(step for step in loads if step >= load * (1 - SLACK))
    low, half, high = (look.wait_at(step, share) for share in (0.1, 0.5, 0.9))
    return Offer(
        _option(look, load), look.day, load, half, (low, high), look.follower, bool(look.standing)
    )


def _available_kg(look: Look, stand: Stand | None) -> float:
    """Nitrogen of the whole vessel that the crop can take up."""
    case, spot, day = look.case, look.case.spot(look.vessel, look.bed), look.day
    held = case.vessels[look.vessel].ferment.nitrogen_kg

    def taken() -> float:
        return middle(case.foresight.available_share(spot, "nitrogen", day, stand) * held)

    return case.once(("available", spot, day, stand, id(held)), taken)


def _option(look: Look, load: float) -> Option:
    case, v, b = look.case, look.vessel, look.bed
    vessel = case.vessels[v]
    gap = -1 if look.planting is None else gap_index(case, b, look.planting)
    held = look.week - -(-vessel.ready_day // WEEK)
    stand = case.stand(b, look.follower, look.day)
    nitrogen = vessel.nitrogen_kg / case.parts
    available = max(_available_kg(look, stand), 0.0) / case.parts
    # Where nothing is planted afterwards all that comes free is lost to no crop.
    wasted = available if gap < 0 else 0.0
    cost = case.middle("beds.weight.hold") * held / case.parts
    cost += case.middle("beds.weight.surplus") * wasted * 1000
    cost += case.middle("beds.weight.order") * b / case.parts
    room = vessel.fresh_kg / case.parts / load
    return Option(
        vessel=v,
        bed=b,
        week=look.week,
        gap=gap,
        room_m=room,
        nitrogen_kg=nitrogen,
        phosphorus_kg=vessel.phosphorus_kg / case.parts,
        available_kg=available,
        cost=cost,
        hours=_hours(case, v, 1 / case.parts, room),
    )
