"""When the ground of a site can take a ferment, by its mean year: for the list of what is due."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sourloam import climate
from sourloam.evidence import Parameters, book
from sourloam.site import Site, spans_within

_TEXTURE_IF_NONE = "loam"


@dataclass(frozen=True)
class Opening:
    """The days from ``first`` on: whether ferment can go into the ground, and how warm it is
    there, °C; both (days,)."""

    first: dt.date
    open: NDArray[np.bool_]
    soil_c: NDArray[np.float64]

    def is_open(self, day: dt.date) -> bool:
        """Whether the ground takes a ferment on that day; False outside of the days known."""
        place = (day - self.first).days
        return 0 <= place < len(self.open) and bool(self.open[place])

    def next_open(self, day: dt.date) -> dt.date | None:
        """The first open day from ``day`` on, None if there is none among the days known."""
        start = max((day - self.first).days, 0)
        found = np.flatnonzero(self.open[start:])
        return self.first + dt.timedelta(days=start + int(found[0])) if len(found) else None

    def wait_days(self, buried: dt.date, stated: float | None) -> int:
        """Days from a burial to planting: what the site states, else by the soil's warmth then."""
        if stated is not None:
            return round(stated)
        place = min(max((buried - self.first).days, 0), len(self.soil_c) - 1)
        rows = book()
        colder = (rows["ground.wait.reference"].value - float(self.soil_c[place])) / 10
        longer = float(rows["ground.wait.per_ten"].value ** max(colder, 0.0))
        return round(
            min(rows["ground.wait.warm"].value * longer, rows["ground.wait.longest"].value)
        )


def opening(site: Site, first: dt.date, days: int) -> Opening:
    """The ground of a site on so many days from ``first``, in a year of mean weather."""
    dates = np.datetime64(first, "D") + np.arange(days)
    ground = site.ground
    depth = ground.trench_depth_m or book()["ground.trench.depth"].value
    soil, diggable = _mean_year(_means_c(site), ground.texture or _TEXTURE_IF_NONE, depth)
    start = dates.astype("datetime64[Y]").astype("datetime64[D]")
    of_year = (dates - start).astype(int) % len(soil)
    free = np.ones(days, dtype=bool)
    for span in site.busy:
        for a, b in spans_within(span, first, first + dt.timedelta(days=days)):
            free &= ~((dates >= np.datetime64(a)) & (dates <= np.datetime64(b)))
    open_days = np.ones(days, dtype=bool) if ground.none else diggable[of_year] & free
    return Opening(first, open_days, soil[of_year])


def _means_c(site: Site) -> tuple[float, ...]:
    """Mean air of the twelve months; those that the site states need no curve drawn first."""
    stated = site.climate.monthly_means
    if stated is None:
        return tuple(float(x) for x in climate.monthly_means_c(site.to_climate()))
    fahrenheit = site.climate.unit == "°F"
    return tuple((x - 32) / 1.8 if fahrenheit else x for x in stated)


@lru_cache(maxsize=256)
def _mean_year(
    means_c: tuple[float, ...], texture: str, depth_m: float
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Soil temperature at the trench and whether a spade goes in, for the days of a mean year."""
    parameters = _central()
    air = climate.from_monthly_means(np.array(means_c)).mean_c
    ground = climate.Ground(texture)
    trench = climate.ground_temperature_c(air, depth_m, ground, parameters)
    spade_m = parameters["climate.digging.spade_depth"]
    spade = climate.ground_temperature_c(air, spade_m, ground, parameters)
    return trench[0], ~climate.ground_frozen(spade, parameters)[0]


@lru_cache(maxsize=1)
def _central() -> Parameters:
    return book().central(book().ids(*climate.EVIDENCE))
