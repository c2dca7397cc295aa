"""What a year of ferment asks of the ground, what each bed takes, and the limits on emptying."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.planning.case import TEXTURE_IF_NONE, Case
from sourloam.planning.dosing import layers_per_day
from sourloam.planning.filling import Filled
from sourloam.planning.labour import Labour, labour
from sourloam.planning.outlets import Outlets, opening, unlimited
from sourloam.planning.trenches import air_and_room, trench_of

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
_GRAM, _LITRE = 1000, 1000
_WEEK = 7
_NITROGEN, _PHOSPHORUS, _OXYGEN, _GEOMETRY = "nitrogen", "phosphorus", "oxygen", "geometry"
Limit = Literal["nitrogen", "phosphorus", "oxygen", "geometry", "tub volume"]


@dataclass(frozen=True)
class Burying:
    """Per member: what one vessel and one year ask of the ground, and what the beds take.

    ``taken_share`` (members,): share of a year's ferment that beds which are free at some time
    take, 1 at most; 1 where there is no ground and a tub takes all.
    """

    vessels_per_year: Floats
    ferment_kg: Floats
    nitrogen_g: Floats
    trench_m: Floats
    area_m2: Floats
    least_area_m2: Floats
    soil_l: Floats
    limited_by: Limit
    taken_share: Floats


@dataclass(frozen=True)
class _PerKg:
    """For one kg of scraps, per member: ferment, nitrogen and phosphorus, kg."""

    ferment: Floats
    nitrogen: Floats
    phosphorus: Floats


def bury(case: Case, filled: tuple[Filled, ...], outlets: Outlets) -> Burying:
    """What the vessels of a year ask, with the mean of the seasons for one vessel."""
    trench, evidence = trench_of(case.site), book()
    scraps = _scraps_kg(filled)
    each = _per_kg(case, filled)
    ferment, nitrogen = each.ferment * scraps, each.nitrogen * scraps * _GRAM
    yearly = case.scraps_kg[:, case.planned].sum(axis=1) / case.years
    vessels = yearly / scraps
    length = ferment / case.load_kg_m(_texture(case))
    area = {
        _NITROGEN: vessels * nitrogen / evidence["ground.nitrogen.usual"].value,
        _PHOSPHORUS: yearly * each.phosphorus * _GRAM / evidence["beds.phosphorus.limit"].value,
        _GEOMETRY: vessels * length * trench.spacing,
    }
    least = vessels * nitrogen / evidence["ground.nitrogen.highest"].value
    density = case.parameters["ground.ferment_density"]
    taken = np.where(_opens(case, outlets), outlets.bed_kg, 0).sum(axis=1)
    return Burying(
        vessels_per_year=vessels,
        ferment_kg=ferment,
        nitrogen_g=nitrogen,
        trench_m=length,
        area_m2=np.max(list(area.values()), axis=0),
        least_area_m2=np.maximum(least, area[_GEOMETRY]),
        soil_l=ferment / density * case.parameters["ground.soil_per_ferment"] * _LITRE,
        limited_by=_limit(case, area),
        taken_share=np.minimum(taken / yearly, 1),
    )


def _texture(case: Case) -> str:
    return case.site.ground.texture or TEXTURE_IF_NONE


def _scraps_kg(filled: Iterable[Filled]) -> Floats:
    """Scraps in a full vessel, mean of fillings."""
    return np.asarray(np.mean([one.scraps_kg for one in filled], axis=0))


def _per_kg(case: Case, filled: tuple[Filled, ...]) -> _PerKg:
    scraps = _scraps_kg(filled)
    ferment = np.mean([one.ferment_kg for one in filled], axis=0)
    nitrogen = np.mean([one.ferment_nitrogen_kg for one in filled], axis=0)
    # Phosphorus that leaves with the liquid is counted as if it stayed: on the safe side.
    return _PerKg(ferment / scraps, nitrogen / scraps, case.mix["P"] / case.mix.fresh_kg)


def _limit(case: Case, area: dict[str, Floats]) -> Limit:
    if case.site.ground.none:
        return "tub volume"
    tightest = max(area, key=lambda name: float(np.median(area[name])))
    if tightest == _NITROGEN:
        return "nitrogen"
    if tightest == _PHOSPHORUS:
        return "phosphorus"
    by_air, by_room = air_and_room(trench_of(case.site), _texture(case), case.parameters)
    return "oxygen" if np.median(by_air) <= np.median(by_room) else "geometry"


def _opens(case: Case, outlets: Outlets) -> Bools:
    """Whether a bed can be dug on some day of the coming year, (members, beds)."""
    coming: Bools = outlets.opens_in[:, :, case.coming_year] == 0
    return np.asarray(coming.any(axis=2))


def labour_of(case: Case, opened: int = 0) -> Labour:
    """Hours at this site, with the layers of an ordinary week in one kind of vessel."""
    place, trench = case.site.place, trench_of(case.site)
    came = float(np.mean(case.scraps_kg[:, case.coming_year] > 0)) * _WEEK
    layers = layers_per_day(case, case.kinds[opened]) * came
    return labour(
        place.hours_a_week, place.kind, float(layers), trench.section_m2, case.site.ground.none
    )


def outlets_of(case: Case, filled: tuple[Filled, ...]) -> Outlets:
    """The limits on emptying; ``filled`` are fillings of any kinds, for what a vessel holds."""
    window = slice(0, case.planned.stop)
    each, hours = _per_kg(case, filled), labour_of(case)
    per_kg_h = hours.empty_h / _scraps_kg(filled)
    if case.site.ground.none:
        limits = unlimited(case.members, len(case.dates), case.open_ground)
    else:
        metre = case.load_kg_m(_texture(case))
        per_kg_h = per_kg_h + hours.per_metre_h * each.ferment / metre
        limits = _of_beds(case, each)
    limits = Outlets(
        bed_kg=limits.bed_kg,
        opens_in=limits.opens_in,
        dig_kg=_dig_kg(case, hours, per_kg_h),
        present=_present(case),
        eve=_eves(case),
        longest=int(book()["beds.hold.most"].value),
    )
    return limits.within(window)


def _dig_kg(case: Case, hours: Labour, per_kg_h: Floats) -> Floats:
    """Scraps whose ferment people can bury in a week.

    Where the site states no hours they are taken to find the time for what comes, and to catch up
    after a winter; the plan says what that asks of them.
    """
    possible = hours.for_burying_h() / per_kg_h
    if hours.stated:
        return np.asarray(possible)
    weekly = case.scraps_kg[:, case.planned].mean(axis=1) * _WEEK
    catch_up = book()["planning.labour.catch_up"].value * weekly
    return np.asarray(np.maximum(possible, catch_up))


def _of_beds(case: Case, each: _PerKg) -> Outlets:
    """What each bed takes in a year, as kg of scraps, and when it opens."""
    takes = [
        np.min(
            [
                room.nitrogen_kg / each.nitrogen,
                room.phosphorus_kg / each.phosphorus,
                room.trench_m * case.load_kg_m(room.texture) / each.ferment,
            ],
            axis=0,
        )
        for room in case.beds
    ]
    free = np.stack([room.free for room in case.beds])
    limits = unlimited(case.members, len(case.dates), case.open_ground)
    return Outlets(
        bed_kg=np.stack(takes, axis=1),
        opens_in=opening(case.open_ground[:, None] & free[None]),
        dig_kg=limits.dig_kg,
        present=limits.present,
        eve=limits.eve,
        longest=limits.longest,
    )


def _away(case: Case, least_days: int) -> list[tuple[int, int]]:
    """First and last day of each closure without scraps that lasts so many days."""
    return [
        (int((np.datetime64(s.start) - case.dates[0]).astype(int)),
         int((np.datetime64(s.end) - case.dates[0]).astype(int)))
        for s in case.closures
        if s.share == 0 and (s.end - s.start).days + 1 >= least_days
    ]  # fmt: skip


def _present(case: Case) -> Bools:
    """Days on which nobody is on holiday."""
    present = np.ones(len(case.dates), dtype=bool)
    for first, last in _away(case, 1):
        present[max(first, 0) : max(last + 1, 0)] = False
    return present


def _eves(case: Case) -> Bools:
    """The last day with scraps before each long closure."""
    eves = np.zeros(len(case.dates), dtype=bool)
    came: Bools = np.any(case.scraps_kg > 0, axis=0)
    for first, _ in _away(case, int(book()["planning.closure.long"].value)):
        before = np.flatnonzero(came[: max(first, 0)])
        if len(before) and first < len(eves):
            eves[before[-1]] = True
    return eves


def waits(case: Case, days: NDArray[np.int64]) -> Floats:
    """Days from burying until sowing, for burials on each of some days, (some members, days)."""
    return case.waiting[_texture(case)].on(days)
