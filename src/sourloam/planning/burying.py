"""What a year of ferment asks of the ground, what each bed takes, and the limits on emptying."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.planning.case import TEXTURE_IF_NONE, Case, Kind
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
    take, 1 at most; 1 where there is no ground and a tub takes all. ``phosphorus_g_m2``: what that
    brings to a square metre of bed, where harvests carry away ``carried_g_m2``; of no meaning
    without ground.
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
    phosphorus_g_m2: Floats
    carried_g_m2: float


@dataclass(frozen=True)
class Used:
    """A kind of vessel with its fillings, and how many of it are in use."""

    kind: Kind
    filled: tuple[Filled, ...]
    number: int = 1


@dataclass(frozen=True)
class _PerKg:
    """For one kg of scraps, per member: ferment, nitrogen and phosphorus, kg."""

    ferment: Floats
    nitrogen: Floats
    phosphorus: Floats


def bury(case: Case, used: Used, outlets: Outlets) -> Burying:
    """What the vessels of a year ask, with the mean of the seasons for one vessel."""
    trench, evidence = trench_of(case.site), book()
    scraps = _scraps_kg(used.filled)
    each = _per_kg(case, (used,))
    ferment, nitrogen = each.ferment * scraps, each.nitrogen * scraps * _GRAM
    yearly = case.scraps_kg[:, case.planned].sum(axis=1) / case.years
    vessels = yearly / scraps
    length = ferment / case.load_kg_m(_texture(case))
    most_n, most_p, carried = _ceilings_kg_m2(case)
    area = {
        _NITROGEN: _over(yearly * each.nitrogen, most_n),
        _PHOSPHORUS: _over(yearly * each.phosphorus, most_p),
        _GEOMETRY: vessels * length * trench.spacing,
    }
    least = vessels * nitrogen / evidence["ground.nitrogen.highest"].value
    density = case.parameters["ground.ferment_density"]
    taken = np.where(_opens(case, outlets), outlets.bed_kg, 0).sum(axis=1)
    phosphorus = _over(np.minimum(taken, yearly) * each.phosphorus * _GRAM, _bed_m2(case))
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
        phosphorus_g_m2=phosphorus,
        carried_g_m2=carried * _GRAM,
    )


def _over(amount: Floats, each: float) -> Floats:
    """Amount over what each takes; inf where that is nothing."""
    with np.errstate(divide="ignore"):
        return np.asarray(amount / each)


def _bed_m2(case: Case) -> float:
    return sum(room.area_m2 for room in case.beds)


def _ceilings_kg_m2(case: Case) -> tuple[float, float, float]:
    """Most nitrogen and phosphorus a year on a mean square metre of the site's beds, and the
    phosphorus that harvests carry away from it."""
    area = _bed_m2(case)
    if not area:
        return book()["ground.nitrogen.usual"].value / _GRAM, np.inf, 0.0
    nitrogen = sum(room.nitrogen_kg for room in case.beds) / area
    phosphorus = sum(room.phosphorus_kg for room in case.beds) / area
    return nitrogen, phosphorus, sum(room.carried_kg for room in case.beds) / area


def _texture(case: Case) -> str:
    return case.site.ground.texture or TEXTURE_IF_NONE


def _scraps_kg(filled: Iterable[Filled]) -> Floats:
    """Scraps in a full vessel, mean of fillings."""
    return np.asarray(np.mean([one.scraps_kg for one in filled], axis=0))


def _ferment_kg(filled: Iterable[Filled]) -> Floats:
    """Ferment in a full vessel, mean of fillings."""
    return np.asarray(np.mean([one.ferment_kg for one in filled], axis=0))


def _nitrogen_kg(filled: Iterable[Filled]) -> Floats:
    """Nitrogen in it."""
    return np.asarray(np.mean([one.ferment_nitrogen_kg for one in filled], axis=0))


def _per_kg(case: Case, used: tuple[Used, ...]) -> _PerKg:
    """Of the vessels in use together."""

    def together(mean: Callable[[Iterable[Filled]], Floats]) -> Floats:
        return np.asarray(np.sum([one.number * mean(one.filled) for one in used], axis=0))

    scraps, ferment = together(_scraps_kg), together(_ferment_kg)
    nitrogen = together(_nitrogen_kg)
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


def labour_of(case: Case, kinds: Mapping[Kind, float]) -> Labour:
    """Hours at this site, with the layers of an ordinary week; ``kinds`` of vessel that are fed,
    each with its share of the scraps."""
    place, trench = case.site.place, trench_of(case.site)
    came = float(np.mean(case.scraps_kg[:, case.coming_year] > 0)) * _WEEK
    layers = sum(share * layers_per_day(case, kind) for kind, share in kinds.items()) * came
    return labour(
        place.hours_a_week, place.kind, float(layers), trench.section_m2, case.site.ground.none
    )


def outlets_of(case: Case, used: tuple[Used, ...]) -> Outlets:
    """The limits on emptying the vessels in use; kinds in the order of ``used``."""
    window = slice(0, case.planned.stop)
    holds = [one.number * float(np.median(_scraps_kg(one.filled))) for one in used]
    shares = {one.kind: kg / sum(holds) for one, kg in zip(used, holds, strict=True)}
    each, hours = _per_kg(case, used), labour_of(case, shares)
    vessel_h = np.stack([_vessel_h(case, hours, one.filled) for one in used])
    if case.site.ground.none:
        limits = unlimited(case.members, len(case.dates), case.open_ground)
    else:
        limits = _of_beds(case, each)
    limits = Outlets(
        bed_kg=limits.bed_kg,
        opens_in=limits.opens_in,
        dig_h=_dig_h(case, hours, used, vessel_h),
        vessel_h=vessel_h,
        present=_present(case),
        eve=_eves(case),
        longest=int(book()["beds.hold.most"].value),
    )
    return limits.within(window)


def _vessel_h(case: Case, hours: Labour, filled: tuple[Filled, ...]) -> Floats:
    """Hours to empty a full vessel, bury what was in it, and wash it."""
    metres = _ferment_kg(filled) / case.load_kg_m(_texture(case))
    return np.asarray(hours.empty_h + hours.per_metre_h * metres)


def _dig_h(case: Case, hours: Labour, used: tuple[Used, ...], vessel_h: Floats) -> Floats:
    """Hours for burying in a week.

    Where the site states none people are taken to find the time for what comes, and to catch up
    after a winter; the plan says what that asks of them.
    """
    possible = np.full(case.members, hours.for_burying_h())
    if hours.stated:
        return possible
    numbers = np.array([one.number for one in used])[:, None]
    scraps = np.stack([_scraps_kg(one.filled) for one in used])
    per_kg_h = (numbers * vessel_h).sum(axis=0) / (numbers * scraps).sum(axis=0)
    weekly = case.scraps_kg[:, case.planned].mean(axis=1) * _WEEK
    catch_up = book()["planning.labour.catch_up"].value * weekly * per_kg_h
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
        dig_h=limits.dig_h,
        vessel_h=limits.vessel_h,
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
