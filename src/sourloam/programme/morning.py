"""A coordinator's morning: everything that one screen answers, reckoned at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sourloam.programme.drawn import Drawn
from sourloam.programme.facts import PlaceFacts, VesselFacts
from sourloam.programme.filling import FullBy, full_by, next_full
from sourloam.programme.risks import Help, needing_help
from sourloam.programme.rounds import Call, Spot
from sourloam.programme.supply import (
    BedShort,
    BranNeed,
    beds_short,
    bran_need,
    due_kg,
    short_of_bran_kg,
)

_DAYS = (0, 3, 7, 14, 28)  # method: days of which the page tells
_AHEAD = 7  # method: days within which a vessel is told as soon full
_LIKELY = 0.5
_DAY_S = 86400
_SURE = 0.8  # method: chance of being full by the day of the round from which it is fetched


@dataclass(frozen=True)
class Where:
    """Where a place lies, its hours in seconds of the day, how it is found."""

    at: Spot | None = None
    opens_s: int = 0
    closes_s: int = _DAY_S
    how: str = ""


@dataclass(frozen=True)
class Morning:
    """What a coordinator sees first; ``soon`` are vessels likely full within the week;
    ``fetched`` those that rounds took, as their places' own logs do not tell yet; ``ready`` places
    with a bed of their own that will have something to bury soon."""

    today: dt.date
    places: int
    help: tuple[Help, ...]
    full: tuple[FullBy, ...]
    soon: tuple[tuple[PlaceFacts, VesselFacts, float], ...]
    bran: BranNeed
    beds: tuple[BedShort, ...]
    fetched: int = 0
    ready: int = 0


def morning(
    places: Sequence[PlaceFacts], hub_bran_kg: float, today: dt.date, sample: Drawn
) -> Morning:
    """All of it for one day."""
    return Morning(
        today,
        len(places),
        tuple(needing_help(places, today, sample)),
        tuple(full_by(places, today, _DAYS)),
        tuple(next_full(places, today, _AHEAD, _LIKELY)),
        bran_need(places, hub_bran_kg, sample),
        tuple(beds_short(places, today)),
        sum(len(one.fetched) for one in places),
        sum(due_kg(one, today) > 0 for one in places),
    )


def calls(
    places: Sequence[PlaceFacts],
    helped: Sequence[Help],
    where: Mapping[str, Where],
    today: dt.date,
    on: dt.date,
) -> list[Call]:
    """Places with something to fetch on a day: what stands full or failed, and what will very
    likely be full by then. One clean vessel comes for each, and bran where it runs short."""
    pressing = {h.place.id: _pressing(h) for h in helped}
    soon = next_full(places, today, max((on - today).days, 0), _SURE)
    more: dict[str, list[VesselFacts]] = {}
    for one, vessel, _chance in soon:
        more.setdefault(one.id, []).append(vessel)
    found = []
    for one in places:
        out = [v for v in one.vessels if v.full or v.stage == "failed"] + more.get(one.id, [])
        if out:
            there = where.get(one.id, Where())
            found.append(
                Call(
                    one.id,
                    one.name,
                    there.at,
                    len(out),
                    len(out),
                    round(sum(v.kg for v in out), 1),
                    pressing.get(one.id, 0.0),
                    there.opens_s,
                    there.closes_s,
                    there.how,
                    round(short_of_bran_kg(one), 1),
                )
            )
    return found


def _pressing(helped: Help) -> float:
    """Nowhere to put scraps presses most; a silence alone does not need the van."""
    share = {"failed": 1.0, "nowhere": 1.0, "failing": 0.5, "bran": 0.5}
    return max((share.get(r.what, 0.1) * r.weight for r in helped.risks), default=0.0)
