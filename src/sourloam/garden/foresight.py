"""What the burial plan asks of the soil, and the soil room's answer as a table."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from typing import Literal, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.garden.trench import Trench
from sourloam.soil import REASONS, Burial, Buried, BuriedCourse, Portion, Soil, Water, bury_by_salt

Array = NDArray[np.float64]
_Number = TypeVar("_Number", bound=np.generic)
Way = Literal["sow", "tender", "tolerant"]
LOAD_STEPS = (0.25, 0.5, 1.0)  # method: shares of the greatest load for which waits are known
_SLACK = 1e-9  # method: rounding
_LATE = 0.9  # method: the share of the waits that lies below the long end
_AT_ONCE = 2  # method: marches at a time
_TINY_KG = 1e-12  # method: no division by nothing


@dataclass(frozen=True)
class Spot:
    """One make of ferment (a number) in one sort of ground, pH and salt (dS/m, None: usual)."""

    make: int
    texture: str
    ph: float
    ece_ds_m: float | None = None


@dataclass(frozen=True)
class Stand:
    """A crop that a burial feeds: days from the burial until its roots take up what comes free as
    fast as it does, and until it is out."""

    rooted: int
    out: int


class Foresight(Protocol):
    """The narrow view of the soil that a burial plan needs."""

    def wait_days(self, spot: Spot, day: int, way: Way, load_kg_m: float) -> Array:
        """Days from a burial on ``day`` until planting, ``(members,)``; inf beyond the horizon."""

    def held_by(self, spot: Spot, day: int, load_kg_m: float) -> str:
        """What holds back the longest tenth of the waits for seed, of ``soil.REASONS``; empty
        where nothing is known."""

    def available_share(
        self, spot: Spot, element: str, day: int, stand: Stand | None = None
    ) -> Array:
        """Share of an element's total that plants can take within the season and that no rain
        has washed out, for a burial on ``day``, ``(members,)``; ``stand`` of the crop that it
        feeds, None for what is left at the end of the season in ground without one."""

    def salt_rise_per_kg_m(self, spot: Spot, day: int, after_days: int) -> Array:
        """Rise of ECe, dS/m, over the wetted soil per kg ferment on a metre, so many days after
        a burial on ``day``, ``(members,)``."""


@dataclass(frozen=True)
class SoilTable:
    """``Foresight`` read from a table: waits at ``days`` ``(n,)`` between which it interpolates.

    ``loads`` by spot, ascending ``(loads,)``, kg/m: a load counts as the next one up.
    ``waits`` by spot and way ``(members, loads, n)``; ``available`` by spot and element
    ``(members, n)``; ``salt`` by spot ``(members, n, days after)``. ``nitrogen`` by spot: shares
    of the total, ``(members, n, days after)``, that are left in the ground and that were freed.
    ``held`` by spot: index in ``soil.REASONS`` of what held seed back, ``(members, loads, n)``.
    """

    days: NDArray[np.int64]
    loads: Mapping[Spot, Array]
    waits: Mapping[tuple[Spot, str], Array]
    available: Mapping[tuple[Spot, str], Array]
    salt: Mapping[Spot, Array]
    nitrogen: Mapping[Spot, tuple[Array, Array]] = field(default_factory=dict)
    held: Mapping[Spot, NDArray[np.int64]] = field(default_factory=dict)

    def wait_days(self, spot: Spot, day: int, way: Way, load_kg_m: float) -> Array:
        """As ``Foresight``; between an endless and a finite wait the endless one counts."""
        return self._between(self.waits[spot, way][:, self._row(spot, load_kg_m)], day)

    def held_by(self, spot: Spot, day: int, load_kg_m: float) -> str:
        """As ``Foresight``, by the nearest day that was followed."""
        if spot not in self.held:
            return ""
        row, near = self._row(spot, load_kg_m), int(np.argmin(np.abs(self.days - day)))
        waits = self.waits[spot, "sow"][:, row, near]
        late = waits >= np.quantile(waits, _LATE, method="nearest")
        reasons = self.held[spot][late, row, near]
        return REASONS[int(np.bincount(reasons, minlength=len(REASONS)).argmax())]

    def _row(self, spot: Spot, load_kg_m: float) -> int:
        loads = self.loads[spot]
        return min(int(np.searchsorted(loads, load_kg_m * (1 - _SLACK))), len(loads) - 1)

    def available_share(
        self, spot: Spot, element: str, day: int, stand: Stand | None = None
    ) -> Array:
        """As ``Foresight``: what is left when the crop has rooted, and what comes free after."""
        if stand is None or element != "nitrogen":
            return self._between(self.available[spot, element], day)
        left, freed = self.nitrogen[spot]
        rooted, out = (min(at, left.shape[2] - 1) for at in (stand.rooted, stand.out))
        later = np.maximum(freed[:, :, max(out, rooted)] - freed[:, :, rooted], 0.0)
        return self._between(left[:, :, rooted] + later, day)

    def salt_rise_per_kg_m(self, spot: Spot, day: int, after_days: int) -> Array:
        """As ``Foresight``; beyond the horizon as on its last day."""
        table = self.salt[spot]
        return self._between(table[:, :, min(max(after_days, 0), table.shape[2] - 1)], day)

    def _between(self, table: Array, day: int) -> Array:
        """Read a table ``(members, n)`` between the days asked for."""
        at = float(np.interp(day, self.days, np.arange(len(self.days))))
        left, right = table[:, int(np.floor(at))], table[:, int(np.ceil(at))]
        part = at - np.floor(at)
        finite = np.isfinite(left) & np.isfinite(right)
        between = np.where(finite, left, 0) * (1 - part) + np.where(finite, right, 0) * part
        return np.where(finite, between, np.inf)


@dataclass(frozen=True)
class Question:
    """What to ask of the soil: the ferment of each spot, the trench, the greatest load on a metre
    by texture, on which days, how far to look."""

    ferments: Mapping[Spot, Buried]
    trench: Trench
    load_kg_m: Mapping[str, float]
    days: tuple[int, ...]
    horizon_days: int


def ask_soil(
    question: Question,
    temperature_c: Mapping[str, Array],
    parameters: Parameters,
    water: Mapping[str, Water] | None = None,
    tell: Callable[[float], None] | None = None,
) -> SoilTable:
    """Bury each make of ferment on each day, at three loads, in each ground; tabulate the end.

    ``temperature_c`` by texture: daily mean soil temperature at the trench, ``(members, days)``,
    from the plan's start; it must reach ``horizon_days`` beyond the last burial. ``water`` by
    texture, as many days; None: no rain is counted, so that salt is overstated where rain falls.
    ``tell`` is called with the share done.
    """
    loads: dict[Spot, Array] = {}
    waits: dict[tuple[Spot, str], Array] = {}
    available: dict[tuple[Spot, str], Array] = {}
    salt: dict[Spot, Array] = {}
    nitrogen: dict[Spot, tuple[Array, Array]] = {}
    held: dict[Spot, NDArray[np.int64]] = {}
    followed = _follow(question, temperature_c, parameters, water, tell)
    for spot, ferment in question.ferments.items():
        loads[spot] = _loads(question, spot)
        courses = followed[spot]
        for way, fit_day in _FIT_DAYS.items():
            waits[spot, way] = _each(courses, fit_day)
        held[spot] = _each(courses, lambda course: course.sow_held_by)
        lightest, load = courses[0], float(loads[spot][0])
        for element, freed in _FREED.items():
            ends = np.stack([freed(c)[:, -1] for c in lightest], axis=1)
            available[spot, element] = ends / _put_kg(ferment, element, load)[:, None]
        put = _put_kg(ferment, "nitrogen", load)[:, None, None]
        left = np.stack([_nitrogen_left(c) for c in lightest], axis=1) / put
        nitrogen[spot] = left, np.stack([c.available_n_kg for c in lightest], axis=1) / put
        before = np.reshape(_before(spot, parameters), (-1, 1))
        rises = np.stack([c.ece_wetted_ds_m - before for c in lightest], axis=1)
        salt[spot] = np.maximum(rises, 0) / load
    return SoilTable(np.asarray(question.days), loads, waits, available, salt, nitrogen, held)


def _each(
    courses: list[list[BuriedCourse]], read: Callable[[BuriedCourse], NDArray[_Number]]
) -> NDArray[_Number]:
    """What is read of each course, ``(members, loads, days)``."""
    return np.stack([np.stack([read(c) for c in row], axis=1) for row in courses], axis=1)


def _put_kg(ferment: Buried, element: str, load_kg_m: float) -> Array:
    """An element in the ferment on a metre of trench, kg, ``(members,)``."""
    share = getattr(ferment, f"{element}_kg") / ferment.fresh_kg
    return np.reshape(share * load_kg_m, -1)


def _before(spot: Spot, parameters: Parameters) -> Array | float:
    return parameters["soil.usual_salt"] if spot.ece_ds_m is None else spot.ece_ds_m


def _loads(question: Question, spot: Spot) -> Array:
    """Ferment on a metre of trench that is tried, kg/m, ascending."""
    return question.load_kg_m[spot.texture] * np.asarray(LOAD_STEPS)


def _follow(
    question: Question,
    temperature_c: Mapping[str, Array],
    parameters: Parameters,
    water: Mapping[str, Water] | None,
    tell: Callable[[float], None] | None,
) -> dict[Spot, list[list[BuriedCourse]]]:
    """A metre of trench by spot, load and day of burial.

    Spots whose ground differs in salt alone are followed together. The marches let other threads
    run; two at a time keep a small machine busy.
    """
    groups: dict[Spot, list[Spot]] = {}
    for spot in question.ferments:
        groups.setdefault(replace(spot, ece_ds_m=None), []).append(spot)
    found: dict[Spot, list[list[BuriedCourse]]] = {
        spot: [[] for _ in LOAD_STEPS] for spot in question.ferments
    }
    tasks = [
        (spots, step, day)
        for spots in groups.values()
        for step in range(len(LOAD_STEPS))
        for day in question.days
    ]

    def one(task: tuple[list[Spot], int, int]) -> tuple[BuriedCourse, ...]:
        spots, step, day = task
        days = slice(day, day + question.horizon_days)
        texture = spots[0].texture
        return bury_by_salt(
            _metre(question, spots[0], float(_loads(question, spots[0])[step])),
            [Soil(texture, spot.ph, spot.ece_ds_m) for spot in spots],
            temperature_c[texture][:, days],
            parameters,
            water[texture].within(day, question.horizon_days) if water else None,
        )

    with ThreadPoolExecutor(_AT_ONCE) as pool:
        for done, (task, courses) in enumerate(zip(tasks, pool.map(one, tasks), strict=True), 1):
            for spot, course in zip(task[0], courses, strict=True):
                found[spot][task[1]].append(course)
            if tell is not None:
                tell(done / len(tasks))
    return found


def _metre(question: Question, spot: Spot, load_kg_m: float) -> Burial:
    """A metre of trench with a load."""
    trench = question.trench
    return Burial(
        Portion.of(question.ferments[spot], load_kg_m),
        1.0,
        trench.width_m,
        trench.zone_m,
        trench.cover_m,
        trench.spacing_m,
    )


def _nitrogen_left(course: BuriedCourse) -> Array:
    """Net mineral nitrogen by day, less its part in what was washed out.

    Rain takes the soil's own nitrate and that from the ferment in proportion.
    """
    given = course.available_n_kg
    there = course.ammonium_n_kg + course.nitrate_n_kg
    own = there + course.leached_n_kg - given
    return np.where(given > 0, there * given / np.maximum(given + own, _TINY_KG), given)


_FIT_DAYS: dict[Way, Callable[[BuriedCourse], Array]] = {
    "sow": lambda course: course.sow_day,
    "tender": lambda course: course.transplant_tender_day,
    "tolerant": lambda course: course.transplant_tolerant_day,
}
_FREED: dict[str, Callable[[BuriedCourse], Array]] = {
    "nitrogen": _nitrogen_left,
    "phosphorus": lambda course: course.available_p_kg,
    "potassium": lambda course: course.available_k_kg,
}
