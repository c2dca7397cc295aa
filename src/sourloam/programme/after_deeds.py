"""What rounds and visits changed at a place before its own log tells: vessels taken, bran left."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace

from sourloam.programme.facts import BranFacts, Ended, PlaceFacts, VesselFacts
from sourloam.programme.figures import Deed


def after_deeds(one: PlaceFacts, deeds: Sequence[Deed], today: dt.date) -> PlaceFacts:
    """A place's facts with the programme's lines about it.

    A weighing takes as many vessels as it says of those that stood full that day: first those
    whose contents the place's own log says went away since, then the oldest that nobody there has
    written of since. A clean vessel counts as free until a filling begins there.
    """
    hauls = sorted((d for d in deeds if d.kind == "fetched"), key=lambda d: d.day)
    standing = list(one.vessels)
    told = [end for end in one.ended if end.away]
    spare: list[dt.date] = []
    for haul in hauls:
        number = int(haul.numbers.get("vessels", 1))
        known = _told_of(told, haul.day)[:number]
        told = [end for end in told if end not in known]
        for vessel in _oldest(standing, haul.day)[: number - len(known)]:
            standing[standing.index(vessel)] = _gone(vessel, haul.day)
        spare += [haul.day] * max(int(haul.numbers.get("clean", 0)) - len(known), 0)
    return replace(
        one,
        vessels=tuple(standing),
        spare=len(_unused(spare, _beginnings(one))),
        bran=None if one.bran is None else _with_bran(one.bran, deeds, today),
    )


def _told_of(ended: Iterable[Ended], day: dt.date) -> list[Ended]:
    return [end for end in ended if end.full <= day <= end.on]


def _oldest(standing: Iterable[VesselFacts], day: dt.date) -> list[VesselFacts]:
    """Vessels that the van may have found full, those that were so for longest first; what was
    only foreseen to be full comes last."""
    there = [v for v in standing if v.touched is None or v.touched <= day]
    full = [v for v in there if (v.full or v.stage == "failed") and (v.since or day) <= day]
    soon = [v for v in there if v.full_on and v.full_on[1] and v.full_on[1] <= day]
    return [*sorted(full, key=_age), *sorted(soon, key=_age)]


def _age(vessel: VesselFacts) -> tuple[dt.date, str]:
    return vessel.since or dt.date.max, vessel.name


def _gone(vessel: VesselFacts, day: dt.date) -> VesselFacts:
    return VesselFacts(
        vessel.id, vessel.name, "fetched", since=day, touched=vessel.touched, fetched_on=day
    )


def _beginnings(one: PlaceFacts) -> list[dt.date]:
    return sorted([end.began for end in one.ended] + [v.began for v in one.vessels if v.began])


def _unused(left: Sequence[dt.date], beginnings: Iterable[dt.date]) -> list[dt.date]:
    """Days on which clean vessels were left that no filling has begun in since."""
    still = list(left)
    for day in beginnings:
        used = next((since for since in still if since <= day), None)
        if used is not None:
            still.remove(used)
    return still


def _with_bran(bran: BranFacts, deeds: Iterable[Deed], today: dt.date) -> BranFacts:
    """Bran left there counts until the place's own log tells of bran that came in. Where its own
    is used up, a day takes from what was left as much as it usually takes."""
    given = 0.0
    for deed in deeds:
        if deed.kind == "bran" and not (bran.came and bran.came >= deed.day):
            days = (today - deed.day).days if bran.left_kg <= 0 else 0
            given += max(deed.numbers.get("kg", 0.0) - days * bran.daily_kg[1], 0.0)
    return replace(bran, left_kg=max(bran.left_kg, 0.0) + given, given_kg=given)
