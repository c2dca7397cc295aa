"""The place: a trench in the ground, or a tub of old soil.

Both are reduced to one ``Place``: how much soil the ferment is mixed with, how much soil its
salt spreads through, and by which ways air comes in. Amounts are per m of trench; a tub counts
as one m.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.soil.air import strip_shape
from sourloam.soil.ferment import Buried
from sourloam.soil.ground import Make

Array = NDArray[np.float64]
AIR_WAYS = ("top", "all sides")


@dataclass(frozen=True)
class Burial:
    """Ferment mixed with soil in a trench: all measures of the trench in m.

    ``zone_m`` is the thickness of the layer in which ferment and soil are mixed, ``cover_m``
    the bare soil on top, ``spacing_m`` the distance of neighbouring trenches, centre to centre;
    None for a trench that stands alone, equal to ``width_m`` for a whole bed.
    ``lump_radius_m`` is the half-width of the lumps after mixing; None: the usual range.
    Raises ValueError for measures not above 0 or trenches that overlap.
    """

    ferment: Buried
    length_m: float
    width_m: float
    zone_m: float
    cover_m: float
    spacing_m: float | None = None
    lump_radius_m: float | None = None

    def __post_init__(self) -> None:
        for name in ("length_m", "width_m", "zone_m"):
            if not getattr(self, name) > 0:
                raise ValueError(f"trench {name}: {getattr(self, name):g} must be above 0")
        if not self.cover_m >= 0:
            raise ValueError(f"trench cover_m: {self.cover_m:g} must not be below 0")
        if self.spacing_m is not None and not self.spacing_m >= self.width_m:
            raise ValueError(
                f"trench spacing_m: {self.spacing_m:g} is less than the width {self.width_m:g}"
            )

    @property
    def depth_m(self) -> float:
        """Depth to dig."""
        return self.cover_m + self.zone_m

    @property
    def middle_m(self) -> float:
        """Depth of the middle of the mixing zone: where its temperature is taken."""
        return self.cover_m + self.zone_m / 2


@dataclass(frozen=True)
class Tub:
    """Ferment mixed with old soil in a round bin: ``soil_kg`` dry, ``diameter_m``.

    ``moisture_share`` places the old soil's water between wilting point (0) and field
    capacity (1). ``air`` is "top" for tight walls, "all sides" for holes all round.
    Raises ValueError for amounts not above 0 or an unknown way of air.
    """

    ferment: Buried
    soil_kg: float
    diameter_m: float
    moisture_share: float = 0.5
    air: str = "top"
    lump_radius_m: float | None = None

    def __post_init__(self) -> None:
        if not (self.soil_kg > 0 and self.diameter_m > 0):
            raise ValueError("tub: soil_kg and diameter_m must be above 0")
        if not 0 <= self.moisture_share <= 1:
            raise ValueError(f"tub moisture_share: {self.moisture_share:g} is not 0 to 1")
        if self.air not in AIR_WAYS:
            raise ValueError(f"tub air: {self.air!r} is not one of {', '.join(AIR_WAYS)}")


@dataclass(frozen=True)
class Place:
    """A place per m of trench, each ``(members,)``.

    ``dug_way_m`` and ``settled_way_m`` are shapes of the way of air through dug and settled
    soil; ``extra_water`` is water above field capacity that cannot drain, volume share.
    """

    metres: float
    soil_kg: Array
    wetted_soil_kg: Array
    wetted_depth_m: Array
    dug_way_m: Array
    settled_way_m: Array
    extra_water: Array
    drains: bool


def place_of(burial: Burial | Tub, make: Make, p: Parameters) -> Place:
    """Reduce a trench or a tub to what the equations need; ValueError if too full."""
    if isinstance(burial, Tub):
        return _tub(burial, make, p)
    return _trench(burial, make, p)


def _trench(b: Burial, make: Make, p: Parameters) -> Place:
    zone = b.width_m * b.zone_m
    taken = b.ferment.fresh_kg / b.length_m / p["soil.ferment.density"]
    least = p["soil.trench.least_soil"]
    if np.median(taken / zone + least) > 1:
        needed = b.length_m * float(np.median(taken / zone / (1 - least)))
        raise ValueError(
            f"trench: the ferment fills {np.median(taken) / zone:.0%} of the mixing zone; "
            f"give it at least {needed:.1f} m of trench, or a wider or thicker zone"
        )
    soil_kg = make.dug_density * np.maximum(zone - taken, least * zone)
    spread = p["soil.wetted.spread"]
    width, depth = b.width_m + 2 * spread, b.depth_m + spread
    direct = b.width_m / b.middle_m
    reach = strip_shape(b.width_m, b.middle_m, p)
    if b.spacing_m is not None:
        width = np.minimum(width, b.spacing_m)
        reach = np.minimum(reach, b.spacing_m / b.middle_m)
    return Place(
        metres=b.length_m,
        soil_kg=soil_kg,
        wetted_soil_kg=make.dug_density * width * depth,
        wetted_depth_m=depth,
        dug_way_m=np.full(p.members, direct),
        settled_way_m=np.maximum(reach - direct, 0.0),
        extra_water=np.zeros(p.members),
        drains=True,
    )


def _tub(t: Tub, make: Make, p: Parameters) -> Place:
    """Even use of oxygen through the fill: the deepest point sets the way, half the depth from
    an open end, half the radius from an open wall."""
    soil_m3 = t.soil_kg / make.dug_density
    volume = soil_m3 + t.ferment.fresh_kg / p["soil.ferment.density"]
    section = np.pi * t.diameter_m**2 / 4
    depth = volume / section
    way = section / (depth / 2)
    if t.air == "all sides":
        way = 2 * way + np.pi * t.diameter_m * depth / (t.diameter_m / 4)
    held = make.wilting_point + t.moisture_share * (make.field_capacity - make.wilting_point)
    water = (held * soil_m3 + t.ferment.water_kg / 1000) / volume
    soil_kg = np.full(p.members, t.soil_kg)
    return Place(
        metres=1.0,
        soil_kg=soil_kg,
        wetted_soil_kg=soil_kg,
        wetted_depth_m=depth,
        dug_way_m=way,
        settled_way_m=np.zeros(p.members),
        extra_water=water - make.field_capacity,
        drains=False,
    )


def settlement_m(b: Burial, p: Parameters) -> Array:
    """By how much the filled trench will sink, m, ``(members,)``: mound it by as much."""
    thickness = b.ferment.fresh_kg / b.length_m / p["soil.ferment.density"] / b.width_m
    return np.asarray(
        p["soil.trench.ferment_settles"] * thickness
        + p["soil.trench.fill_settles"] * (b.depth_m - thickness)
    )
