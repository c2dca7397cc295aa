"""Trenches: their measures, where they lie in a bed, how far they settle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters
from sourloam.garden.beds import Bed
from sourloam.garden.crops import Crop

Array = NDArray[np.float64]
_SLACK = 1e-9  # method: rounding


@dataclass(frozen=True)
class Trench:
    """Measures of every trench of a plan, m: width, soil on top, mixed layer under it,
    distance from middle to middle of neighbours."""

    width_m: float
    cover_m: float
    zone_m: float
    spacing_m: float

    @property
    def depth_m(self) -> float:
        """Depth of the hole."""
        return self.cover_m + self.zone_m


@dataclass(frozen=True)
class Digging:
    """How a gardener digs, m; None takes the usual. ``spacing_m`` is from middle to middle."""

    width_m: float | None = None
    depth_m: float | None = None
    spacing_m: float | None = None


def usual_trench(parameters: Parameters, much_meat: bool, digging: Digging | None = None) -> Trench:
    """The usual trench, or the gardener's own; with more soil on top where the ferment holds
    much meat, fish or dairy. A trench dug deeper than usual has more soil on top; the mixed layer
    keeps its thickness, and the soil on top is never less than usual.
    """

    def middle(key: str) -> float:
        return float(np.median(parameters[key]))

    own = digging or Digging()
    zone = middle("ground.trench.depth") - middle("ground.trench.cover")
    cover = middle("beds.cover.with_meat" if much_meat else "ground.trench.cover")
    width = own.width_m or middle("ground.trench.width")
    return Trench(
        width_m=width,
        cover_m=max(cover, (own.depth_m or 0.0) - zone),
        zone_m=zone,
        spacing_m=max(own.spacing_m or middle("ground.trench.spacing"), width),
    )


def strips(bed: Bed, trench: Trench) -> int:
    """How many trenches fit side by side across the bed; at least one where one fits at all."""
    if bed.length_m < trench.width_m:
        return 0
    return max(1, int(bed.length_m / trench.spacing_m + _SLACK))


def trench_room_m(bed: Bed, trench: Trench) -> float:
    """Metres of trench the bed has room for in a year."""
    return strips(bed, trench) * bed.width_m


@dataclass(frozen=True)
class Piece:
    """Part of a trench: its middle along the bed's length, and from-to across the bed, m."""

    strip: int
    middle_m: float
    from_m: float
    to_m: float


def lay_out(bed: Bed, trench: Trench, lengths_m: tuple[float, ...]) -> list[tuple[Piece, ...]]:
    """Places for trenches of the given lengths, one after another through the bed's strips."""
    at, places = 0.0, []
    for length in lengths_m:
        places.append(_pieces(bed, trench, at, at + length))
        at += length
    return places


def _pieces(bed: Bed, trench: Trench, start: float, end: float) -> tuple[Piece, ...]:
    first, last = int(start / bed.width_m + _SLACK), int(np.ceil(end / bed.width_m - _SLACK))
    pieces = []
    for strip in range(first, max(last, first + 1)):
        low = max(start - strip * bed.width_m, 0.0)
        high = min(end - strip * bed.width_m, bed.width_m)
        pieces.append(Piece(strip, (strip + 0.5) * trench.spacing_m, low, high))
    return tuple(pieces)


def between_rows(crop: Crop, trench: Trench, parameters: Parameters) -> bool:
    """Whether a trench fits between rows of a standing perennial, clear of its roots.

    Never among annuals: their roots fill the bed.
    """
    stems = float(np.median(parameters["beds.root_distance.shrub"]))
    share = float(np.median(parameters["beds.root_distance.row_share"]))
    clear = max(stems, share * crop.row_spacing_m)
    return crop.perennial and crop.row_spacing_m >= trench.width_m + 2 * clear


def settlement_m(ferment_kg_m: ArrayLike, trench: Trench, parameters: Parameters) -> Array:
    """How far the ground over a trench sinks, m, ``(members,)``; mound it by as much.

    For ``ferment_kg_m`` kg per metre: the ferment loses most of its volume, the loose backfill
    a share of its depth.
    """
    layer = np.asarray(ferment_kg_m) / parameters["soil.ferment.density"] / trench.width_m
    sinks = layer * parameters["soil.trench.ferment_settles"]
    return np.asarray(sinks + trench.depth_m * parameters["soil.trench.fill_settles"])


def air_load_kg_m(texture: str, trench: Trench, parameters: Parameters) -> float:
    """Most ferment on a metre of such a trench that gets air enough, kg, median."""
    load, width = (np.median(parameters[f"ground.load.{key}"]) for key in (texture, "width"))
    return float(load * trench.width_m / width)
