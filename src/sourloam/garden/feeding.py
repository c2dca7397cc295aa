"""Feeding beds with thinned liquid: how far to thin it, how much goes where, what is left."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.garden.beds import Bed, Planting
from sourloam.garden.crops import Crop
from sourloam.garden.liquid import Liquid, conductivity_ds_m

Array = NDArray[np.float64]
CAUTIOUS = 0.9  # method: thinned so that nine members in ten stay within the limits
HANDY = (10, 20, 30, 50, 75, 100, 150, 200, 300, 500, 750, 1000, 2000)  # method: rounding up
WEEK = 7


@dataclass(frozen=True)
class Thinning:
    """Parts of water to one of liquid, ``(members,)``: what salt asks, what acid asks, and the
    ``handy`` number that covers both in nine members of ten; None where the water itself is
    too salty for the crop or no handy number is enough."""

    salt: Array
    acid: Array
    handy: int | None

    @property
    def middle(self) -> float:
        """Median of what the stricter of the two asks."""
        return float(np.quantile(np.maximum(self.salt, self.acid), 0.5, method="nearest"))

    @property
    def limited_by(self) -> str:
        """Which of the two asks for more in the middle."""
        return "salt" if np.median(self.salt) > np.median(self.acid) else "acid"


@dataclass(frozen=True)
class Can:
    """What is in the watering can: the liquid, and the salt of the water that thins it, dS/m
    (None: unmeasured tap water)."""

    liquid: Liquid
    parameters: Parameters
    tap_ds_m: float | None = None

    @property
    def tap(self) -> Array:
        """EC of the water, dS/m, ``(members,)``; unmeasured water is taken at its middle, as
        no thinning makes up for water that is itself too salty."""
        usual = self.middle("feeding.tap_ec")
        return np.full(self.parameters.members, usual if self.tap_ds_m is None else self.tap_ds_m)

    def middle(self, key: str) -> float:
        """Median of one evidence row."""
        return float(np.median(self.parameters[key]))


def thin(can: Can, grown: Crop, seedling: bool) -> Thinning:
    """How far to thin fresh liquid, ``(members,)``, for one crop.

    Salt: the thinned water's EC stays below the crop's threshold over the usual ratio of soil
    to water. Acid: all acids stay below what seedlings, or established plants, bear. Onto soil
    only.
    """
    most = grown.salt_threshold_ds_m / can.parameters["feeding.water_to_soil"]
    # Ions conduct best when far apart: taking that conductance overstates, on the safe side.
    far_apart = 1e6
    apart = conductivity_ds_m(can.liquid, can.parameters, far_apart) * (1 + far_apart)
    bearable = np.maximum(most - can.tap, 0.0)
    with np.errstate(divide="ignore"):
        salt = np.where(most > can.tap, np.maximum(apart - most, 0) / bearable, np.inf)
    limit = can.parameters[f"feeding.acid.{'seedling' if seedling else 'established'}"]
    acid = np.maximum(can.liquid.acids_mol_m3(can.parameters) / limit - 1, 0.0)
    wanted = float(np.quantile(np.maximum(salt, acid), CAUTIOUS, method="nearest"))
    wanted = max(wanted, can.middle("feeding.strengthless"))
    return Thinning(salt, acid, next((n for n in HANDY if n >= wanted), None))


@dataclass(frozen=True)
class Given:
    """Litres of liquid (not thinned) that one bed takes in one week, median, and why not."""

    bed: int
    week: int
    crop: str
    seedling: bool
    parts_of_water: int | None
    room_l: float
    litres: float
    stopped: bool = False


@dataclass(frozen=True)
class FeedingPlan:
    """Week by week. ``supply_l``, ``used_l``, ``surplus_l`` ``(members, weeks)``; nutrients in
    kg per bed over the season, ``(members, beds)``."""

    given: tuple[Given, ...]
    supply_l: Array
    used_l: Array
    surplus_l: Array
    nitrogen_kg: Array
    phosphorus_kg: Array
    potassium_kg: Array


def plan_feeding(
    beds: tuple[Bed, ...],
    crops: Mapping[str, Crop],
    can: Can,
    supply_l: Array,
    shut: Mapping[str, NDArray[np.bool_]] | None = None,
) -> FeedingPlan:
    """Share each week's fresh liquid over the beds in growth, as far as they have room.

    ``supply_l`` ``(members, weeks)`` litres drained. A bed's room is the usual watering of a
    week, thinned as its crop and stage ask. Crops eaten raw get none from shortly before
    harvest on. Liquid is used in the week it drains; what finds no room is surplus. ``shut`` by
    texture ``(weeks,)``: weeks in which nothing may be poured, the ground being frozen.
    """
    members, weeks = supply_l.shape
    used, litres, given = np.zeros((members, weeks)), np.zeros((members, len(beds))), []
    for week in range(weeks):
        looked = (
            _room(b, bed, week, crops, can)
            for b, bed in enumerate(beds)
            if shut is None or not shut[bed.texture][week]
        )
        here = [g for g in looked if g is not None]
        total = sum(g.room_l for g in here)
        used[:, week] = np.minimum(supply_l[:, week], total)
        for g in here:
            part = used[:, week] * (g.room_l / total if total else 0.0)
            litres[:, g.bed] += part
            given.append(replace(g, litres=float(np.median(part))))
    nutrients = (can.liquid.nitrogen, can.liquid.phosphorus, can.liquid.potassium)
    n, p, k = (litres * held[:, None] / 1000 for held in nutrients)
    return FeedingPlan(tuple(given), supply_l, used, supply_l - used, n, p, k)


def _room(b: int, bed: Bed, week: int, crops: Mapping[str, Crop], can: Can) -> Given | None:
    day = week * WEEK
    planting = bed.growing(day)
    if planting is None:
        return None
    grown = crops[planting.crop]
    young = day - planting.start_day < can.middle("feeding.seedling_days")
    seedling = planting.sown and young and not grown.perennial
    handy = thin(can, grown, seedling).handy
    stopped = grown.eaten_raw and day >= _last_day(planting, grown, can)
    room = 0.0
    if handy is not None and not stopped:
        room = bed.area_m2 * can.middle("feeding.water_week") / (1 + handy)
    return Given(b, week, planting.crop, seedling, handy, room, 0.0, stopped)


def _last_day(planting: Planting, grown: Crop, can: Can) -> float:
    """Day from which a crop eaten raw gets no more."""
    stop = can.middle("feeding.stop_before_harvest")
    if planting.harvest_day is not None:
        return planting.harvest_day - stop
    if grown.perennial:
        return planting.end_day - stop
    early = np.quantile(grown.days_to_harvest, 1 - CAUTIOUS, method="nearest")
    return planting.start_day + float(early) - stop
