"""A first estimate of the ground: trench for each vessel, bed area for a year, waiting time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.planning.case import TEXTURE_IF_NONE, Case
from sourloam.planning.filling import Filled

Floats = NDArray[np.float64]
_GRAM, _LITRE = 1000, 1000
_DAY_S = 86400
_NITROGEN, _OXYGEN, _GEOMETRY = "nitrogen", "oxygen", "geometry"
Limit = Literal["nitrogen", "oxygen", "geometry", "tub volume"]


@dataclass(frozen=True)
class Trench:
    """The trench as the site digs it, m."""

    width: float
    depth: float
    spacing: float
    cover: float


@dataclass(frozen=True)
class Burying:
    """Per member: what one vessel and one year ask of the ground."""

    vessels_per_year: Floats
    ferment_kg: Floats
    nitrogen_g: Floats
    trench_m: Floats
    area_m2: Floats
    least_area_m2: Floats
    soil_l: Floats
    limited_by: Limit


def trench_of(case: Case) -> Trench:
    """Measures from the site, else the usual ones."""
    ground, evidence = case.site.ground, book()
    given = {
        "width": ground.trench_width_m,
        "depth": ground.trench_depth_m,
        "spacing": ground.trench_spacing_m,
        "cover": None,
    }
    return Trench(
        **{
            name: evidence[f"ground.trench.{name}"].value if value is None else value
            for name, value in given.items()
        }
    )


def bury(case: Case, filled: tuple[Filled, ...]) -> Burying:
    """What the vessels of a year ask, with the mean of the seasons for one vessel."""
    trench, evidence = trench_of(case), book()
    scraps = np.mean([one.scraps_kg for one in filled], axis=0)
    ferment = np.mean([one.ferment_kg for one in filled], axis=0)
    nitrogen = np.mean([one.ferment_nitrogen_kg for one in filled], axis=0) * _GRAM
    yearly = case.scraps_kg[:, case.planned].sum(axis=1) / case.years
    vessels = yearly / scraps
    by_air, by_room = _loads(case, trench)
    length = ferment / np.minimum(by_air, by_room)
    area = {
        _NITROGEN: vessels * nitrogen / evidence["ground.nitrogen.usual"].value,
        _GEOMETRY: vessels * length * trench.spacing,
    }
    least = vessels * nitrogen / evidence["ground.nitrogen.highest"].value
    density = case.parameters["ground.ferment_density"]
    return Burying(
        vessels_per_year=vessels,
        ferment_kg=ferment,
        nitrogen_g=nitrogen,
        trench_m=length,
        area_m2=np.maximum(area[_NITROGEN], area[_GEOMETRY]),
        least_area_m2=np.maximum(least, area[_GEOMETRY]),
        soil_l=ferment / density * case.parameters["ground.soil_per_ferment"] * _LITRE,
        limited_by=_limit(case, area, by_air, by_room),
    )


def _loads(case: Case, trench: Trench) -> tuple[Floats, Floats]:
    """Ferment per metre that air can reach, and that fits mixed with soil under the cover."""
    texture = case.site.ground.texture or TEXTURE_IF_NONE
    wider = trench.width / book()["ground.load.width"].value
    by_air = case.parameters[f"ground.load.{texture}"] * wider
    zone_m3 = trench.width * max(trench.depth - trench.cover, trench.depth / 4)
    share = 1 / (1 + case.parameters["ground.soil_per_ferment"])
    return by_air, zone_m3 * share * case.parameters["ground.ferment_density"]


def _limit(case: Case, area: dict[str, Floats], by_air: Floats, by_room: Floats) -> Limit:
    if case.site.ground.none:
        return "tub volume"
    if np.median(area[_NITROGEN]) >= np.median(area[_GEOMETRY]):
        return "nitrogen"
    return "oxygen" if np.median(by_air) <= np.median(by_room) else "geometry"


def waits(case: Case, days: NDArray[np.int64]) -> Floats:
    """Days from burying until sowing, for burials on each of some days, (members, days).

    The soil works off the wait day by day, faster when warm: ``ground.wait.warm`` days at
    ``ground.wait.reference``, ``ground.wait.per_ten`` times as long for each 10 K less.
    """
    longest = int(book()["ground.wait.longest"].value)
    if case.site.ground.wait_days is not None:
        return np.full((case.members, len(days)), float(case.site.ground.wait_days))
    warm, factor = case.parameters["ground.wait.warm"], case.parameters["ground.wait.per_ten"]
    reference = book()["ground.wait.reference"].value
    colder = (reference - case.soil_c) / 10
    done = np.cumsum(1 / (warm[:, None] * factor[:, None] ** colder), axis=1)
    out = np.empty((case.members, len(days)))
    for column, day in enumerate(days):
        reached = done[:, day : day + longest] - done[:, day - 1 : day] >= 1
        first = np.argmax(reached, axis=1) + 1
        out[:, column] = np.where(reached.any(axis=1), first, longest)
    return out
