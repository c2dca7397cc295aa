"""The place: a trench in the ground, or a tub of old soil."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.soil.ferment import Buried


@dataclass(frozen=True)
class Burial:
    """Ferment mixed with soil in a trench: all measures of the trench in m.

    ``zone_m`` is the thickness of the layer in which ferment and soil are mixed, ``cover_m``
    the bare soil on top, ``spacing_m`` the distance of neighbouring trenches, centre to centre;
    None for a trench that stands alone, equal to ``width_m`` for a whole bed.
    """

    ferment: Buried
    length_m: float
    width_m: float
    zone_m: float
    cover_m: float
    spacing_m: float | None = None


@dataclass(frozen=True)
class Tub:
    """Ferment mixed with old soil in a round bin: ``soil_kg`` dry, ``diameter_m``.

    ``air`` is "top" for a tub with tight walls, "all sides" for one with holes all round.
    """

    ferment: Buried
    soil_kg: float
    diameter_m: float
    air: str = "top"
