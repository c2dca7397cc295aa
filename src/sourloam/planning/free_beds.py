"""What beds a site has, when a crop is in the way, and what limits each of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam import garden
from sourloam.evidence import Parameters, book
from sourloam.garden.ceilings import (
    nitrogen_ceiling_kg_m2,
    phosphorus_carried_kg_m2,
    phosphorus_ceiling_kg_m2,
)
from sourloam.garden.crops import Crop, crop, crop_evidence
from sourloam.garden.trench import (
    Digging,
    Trench,
    between_rows,
    strips,
    trench_room_m,
    usual_trench,
)
from sourloam.planning.waiting import Waiting, Way
from sourloam.site import Site
from sourloam.site.beds import to_beds

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]
FURTHER = "further ground"
_LEAST_M2 = 0.5  # method: less ground beside the beds than this is not counted
_GRAM = 1000
_EARLY = 0.1  # method: a first picking is reckoned as early as in one case of ten


@dataclass(frozen=True)
class BedRoom:
    """One bed: its area, metres of trench and nutrients (kg) a year, and its free days.

    ``phosphorus_kg`` is inf where the site states no limit; ``carried_kg`` is the phosphorus that
    harvests take away. ``free`` (days,): no crop is in the way, the next one leaves time enough,
    and none that is eaten raw is picked too soon.
    """

    name: str
    area_m2: float
    trench_m: float
    nitrogen_kg: float
    phosphorus_kg: float
    carried_kg: float
    texture: str
    free: Bools


@dataclass(frozen=True)
class Digger:
    """How a site digs, what its crops need, and whether its ferment holds animal food."""

    trench: Trench
    crops: dict[str, Crop]
    parameters: Parameters
    with_meat: bool

    def middle(self, key: str) -> float:
        """The value of one row."""
        return float(self.parameters[key][0])


def digger(site: Site, with_meat: bool, much_meat: bool) -> Digger:
    """From the site's own measures, else the usual ones."""
    names = tuple(sorted({p.crop for bed in site.beds for p in bed.plantings}))
    topics = [key for topic in ("beds", "ground") for key in book().ids(topic)]
    parameters = book().central((*topics, *crop_evidence(names)))
    ground = site.ground
    own = Digging(ground.trench_width_m, ground.trench_depth_m, ground.trench_spacing_m)
    trench = usual_trench(parameters, much_meat, own)
    return Digger(trench, {n: crop(n, parameters) for n in names}, parameters, with_meat)


def described(site: Site, first: dt.date, last: dt.date) -> tuple[garden.Bed, ...]:
    """The beds that the site describes, with days counted from ``first``."""
    return to_beds(site.beds, site.ground, first, last)


def textures(site: Site) -> tuple[str, ...]:
    """Of all beds and of the ground beside them."""
    own = [bed.texture for bed in site.beds if bed.texture]
    return tuple(dict.fromkeys([site.ground.texture or "loam", *own]))


def bed_rooms(
    site: Site, window: tuple[dt.date, int], digging: Digger, waiting: dict[str, Waiting]
) -> tuple[BedRoom, ...]:
    """All beds of a site over a window (first date, days); none where there is no ground.

    ``waiting`` by texture. Ground beyond the beds described counts as one that is always free.
    """
    if site.ground.none:
        return ()
    first, days = window
    last = first + dt.timedelta(days=days - 1)
    found = [_room(bed, digging, waiting, days) for bed in described(site, first, last)]
    further = (site.ground.bed_area_m2 or 0.0) - sum(bed.area_m2 for bed in found)
    if further >= _LEAST_M2 or not found:
        found.append(_further(further, site, digging, days))
    return tuple(found)


def _further(area_m2: float, site: Site, digging: Digger, days: int) -> BedRoom:
    own, usual = site.ground.nitrogen_limit_kg_m2, digging.middle("ground.nitrogen.usual") / _GRAM
    return BedRoom(
        name=FURTHER,
        area_m2=area_m2,
        trench_m=area_m2 / digging.trench.spacing_m,
        nitrogen_kg=area_m2 * (usual if own is None else own),
        phosphorus_kg=np.inf,
        carried_kg=area_m2 * digging.middle("beds.phosphorus.limit") / _GRAM,
        texture=site.ground.texture or "loam",
        free=np.ones(days, dtype=bool),
    )


def _room(bed: garden.Bed, digging: Digger, waiting: dict[str, Waiting], days: int) -> BedRoom:
    carried = phosphorus_carried_kg_m2(bed, digging.crops, digging.parameters)
    possible = bed.depth_m >= digging.trench.depth_m and strips(bed, digging.trench) > 0
    free = _free(bed, digging, waiting[bed.texture], days)
    return BedRoom(
        name=bed.name,
        area_m2=bed.area_m2,
        trench_m=trench_room_m(bed, digging.trench) if possible else 0.0,
        nitrogen_kg=nitrogen_ceiling_kg_m2(bed, digging.parameters) * bed.area_m2,
        phosphorus_kg=phosphorus_ceiling_kg_m2(bed) * bed.area_m2,
        carried_kg=carried * bed.area_m2,
        texture=bed.texture,
        free=free if possible else np.zeros(days, dtype=bool),
    )


def _free(bed: garden.Bed, digging: Digger, waiting: Waiting, days: int) -> Bools:
    every = np.arange(days)
    free = np.ones(days, dtype=bool)
    for planting, before in _with_before(bed):
        stays = between_rows(digging.crops[planting.crop], digging.trench, digging.parameters)
        if not stays:
            free &= (every < planting.start_day) | (every > planting.end_day)
            gap = every[max(before + 1, 0) : max(planting.start_day, 0)]
            longest = digging.middle("ground.wait.longest")
            wait = np.minimum(waiting.cautious(gap, _way(planting, digging)), longest)
            free[gap[gap + wait > planting.start_day]] = False
        free[_raw_too_soon(planting, digging, every)] = False
    return free


def _with_before(bed: garden.Bed) -> Iterator[tuple[garden.Planting, int]]:
    """Each planting with the last day of the one before it."""
    before = -1
    for planting in bed.plantings:
        yield planting, before
        before = planting.end_day


def _way(planting: garden.Planting, digging: Digger) -> Way:
    if planting.sown:
        return "sow"
    return "tender" if digging.crops[planting.crop].tender else "tolerant"


def _raw_too_soon(planting: garden.Planting, digging: Digger, days: Ints) -> Bools:
    """Days from which a crop eaten raw would be picked within the interval."""
    grown = digging.crops[planting.crop]
    if not (digging.with_meat and grown.eaten_raw):
        return np.zeros(len(days), dtype=bool)
    kind = "touching" if grown.touches_soil else "not_touching"
    interval = digging.middle(f"beds.interval.{kind}")
    picked = planting.harvest_day
    if picked is None:
        picked = planting.start_day + int(np.quantile(grown.days_to_harvest, _EARLY))
    standing = (days >= planting.start_day) & (days <= planting.end_day)
    before_picking = (days < picked) & (days + interval > picked)
    return np.asarray(before_picking | (standing & (days >= picked)))


def with_busy(rooms: tuple[BedRoom, ...], busy: Bools) -> tuple[BedRoom, ...]:
    """The same, shut besides on the ``busy`` days, ``(days,)``, of all beds."""
    return tuple(replace(room, free=room.free & ~busy) for room in rooms)
