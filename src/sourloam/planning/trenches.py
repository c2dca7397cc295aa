"""The trench as a site digs it, and the ferment that a metre of it takes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters, book
from sourloam.site import Site

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Trench:
    """The trench as the site digs it, m."""

    width: float
    depth: float
    spacing: float
    cover: float

    @property
    def zone(self) -> float:
        """Height of the layer in which ferment and soil are mixed, under the cover."""
        return max(self.depth - self.cover, self.depth / 4)

    @property
    def section_m2(self) -> float:
        """Width by depth."""
        return self.width * self.depth


def trench_of(site: Site) -> Trench:
    """Measures from the site, else the usual ones."""
    ground, evidence = site.ground, book()
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


def air_and_room(trench: Trench, texture: str, parameters: Parameters) -> tuple[Floats, Floats]:
    """Ferment per metre, kg, that air can reach, and that fits mixed with soil under the cover."""
    wider = trench.width / book()["ground.load.width"].value
    by_air = parameters[f"ground.load.{texture}"] * wider
    zone_m3 = trench.width * trench.zone
    share = 1 / (1 + parameters["ground.soil_per_ferment"])
    return by_air, zone_m3 * share * parameters["ground.ferment_density"]
