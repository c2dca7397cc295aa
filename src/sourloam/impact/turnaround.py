"""From the last layer to sowing: rest by the log, work of this very soil by the soil room."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.impact.summing import ENDS
from sourloam.planning.case import Case, foresee
from sourloam.planning.waiting import FORESEEN_DAYS
from sourloam.site import Site
from sourloam.soil.waiting import ACID_RATE

Array = NDArray[np.float64]
Known = Literal["logged", "rested", "ground", "usual"]
_MEMBERS = 16  # method: weathers and soils that are followed; each member takes one of them
_LEAST_KNOWN_FIRST: tuple[Known, ...] = ("usual", "rested", "ground", "logged")
_LEAST_RESTS = 3  # method: a habit is not read from fewer
_REST, _SOIL = "impact_claims.rest_days", "impact_claims.soil_days"


@dataclass(frozen=True)
class Turnaround:
    """Days of rest and of work in the soil, arrays (members,), and how well they are known.

    ``soil_c`` is the soil's warmth on the days of burying, None where no ground is described.
    A wait beyond the time that is followed counts as that time.
    """

    rest_days: Array
    soil_days: Array
    soil_c: Array | None
    known: Known
    sources: tuple[str, ...]

    @property
    def told(self) -> dict[str, float]:
        """The numbers of a sentence."""
        said: dict[str, float] = {}
        for name, values in (("rest", self.rest_days), ("soil", self.soil_days)):
            low, middle, high = (float(x) for x in np.quantile(values, ENDS))
            said |= {name: middle, f"{name}_low": low, f"{name}_high": high}
        if self.soil_c is not None:
            said["soil_c"] = float(np.median(self.soil_c))
        return said


def turnaround(
    site: Site,
    p: Parameters,
    rng: np.random.Generator,
    rests: Sequence[float] = (),
    burials: Sequence[dt.date] = (),
) -> Turnaround:
    """For a site; ``rests`` in days and days of ``burials`` as a log has them, where there is one.

    Without burials ferment goes into the ground on any day that is open.
    """
    logged = len(rests) >= _LEAST_RESTS
    rest = rng.choice(np.asarray(rests, dtype=np.float64), p.members) if logged else p[_REST]
    known_rest = () if logged else (_REST,)
    if site.ground.none:
        known: Known = "rested" if logged else "usual"
        return Turnaround(rest, p[_SOIL], None, known, (*known_rest, _SOIL))
    soil, soil_c = _in_the_ground(foresee(site, 1, _MEMBERS, 1), burials, p.members, rng)
    known = "logged" if logged else "ground"
    by_model = ACID_RATE if site.ground.wait_days is None else ()  # else the person's own wait
    return Turnaround(rest, soil, soil_c, known, (*known_rest, *by_model))


def _in_the_ground(
    case: Case, burials: Sequence[dt.date], members: int, rng: np.random.Generator
) -> tuple[Array, Array]:
    """Wait until sowing and warmth of the soil for one burial in each member."""
    own = rng.integers(0, case.members, members)
    year = case.planned
    if burials:
        start = case.date(case.first)
        days = np.array([(day - start).days % (year.stop - year.start) for day in burials])
        day = rng.choice(days, members) + case.first
    else:
        open_ = case.open_ground[:, year]
        usable = [np.flatnonzero(row) if row.any() else np.arange(row.size) for row in open_]
        day = np.array([rng.choice(usable[i]) for i in own]) + case.first
    waiting = next(iter(case.waiting.values()))
    every = waiting.on(day)[own % len(waiting.by_way["sow"]), np.arange(members)]
    return np.minimum(every, FORESEEN_DAYS), np.asarray(case.soil_c[own, day])


def together(each: Sequence[Turnaround]) -> Turnaround:
    """Of several places: each member takes one of them in turn."""
    if len(each) == 1:
        return each[0]
    members = len(each[0].rest_days)
    own = np.arange(members) % len(each)

    def dealt(values: Sequence[Array]) -> Array:
        return np.asarray(np.stack(values)[own, np.arange(members)])

    warm = [one.soil_c for one in each if one.soil_c is not None]
    soil_c = dealt(warm) if len(warm) == len(each) else None
    return Turnaround(
        dealt([one.rest_days for one in each]),
        dealt([one.soil_days for one in each]),
        soil_c,
        min((one.known for one in each), key=_LEAST_KNOWN_FIRST.index),
        tuple(dict.fromkeys(key for one in each for key in one.sources)),
    )
