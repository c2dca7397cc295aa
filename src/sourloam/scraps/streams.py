"""Who makes how much: kg of scraps a day from people, from meals, or as weighed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sourloam.evidence import Parameters
from sourloam.scraps.calendar import Calendar

_MEALS: Mapping[str, tuple[str, ...]] = {
    "school_lunch": ("waste.school_lunch.dining",),
    "school_lunch_cooked_on_site": ("waste.school_lunch.dining", "waste.school_lunch.kitchen"),
    "cafe_cover": ("waste.cafe_cover", "waste.cafe_cover.grounds"),
    "restaurant_cover": ("waste.restaurant_cover",),
    "hospital_meal": ("waste.hospital_meal",),
}
#: Kinds that ``Meals`` takes.
MEALS = tuple(_MEALS)
#: The preset of shares that suits a stream for which nobody has sorted the scraps.
USUAL_PRESET: Mapping[str, str] = {
    "household": "household",
    "school_lunch": "plate_waste",
    "school_lunch_cooked_on_site": "school_lunch",
    "cafe_cover": "cafe",
    "restaurant_cover": "restaurant",
    "hospital_meal": "plate_waste",
}


_PER_PERSON, _CAPTURE = "waste.household.per_person", "waste.household.capture"


@dataclass(frozen=True)
class Household:
    """People at home, and the share of their scraps that goes into the vessel.

    ``people`` live in ``households`` households of equal size. ``capture`` None takes the
    evidence's usual share with its spread.
    """

    people: float
    capture: float | None = None
    households: int = 1

    def __post_init__(self) -> None:
        _positive("people", self.people)
        if self.households < 1:
            raise ValueError(f"households {self.households}: expected at least 1")
        if self.capture is not None and not 0 <= self.capture <= 1:
            raise ValueError(f"capture {self.capture}: expected a share from 0 to 1")


@dataclass(frozen=True)
class Meals:
    """So many meals or covers on a serving day."""

    kind: str
    per_day: float

    def __post_init__(self) -> None:
        if self.kind not in _MEALS:
            raise ValueError(f"meals {self.kind!r}: expected one of {', '.join(MEALS)}")
        _positive("per_day", self.per_day)


@dataclass(frozen=True)
class Measured:
    """A mean that was weighed, kg a day, and how sure it is.

    ``spread`` is the relative standard error of the mean (0.1 for +/- 10 %), 0 for certain;
    ``day_to_day`` the coefficient of variation of single days, None for a household's.
    """

    kg_per_day: float
    spread: float = 0.0
    day_to_day: float | None = None

    def __post_init__(self) -> None:
        _positive("kg_per_day", self.kg_per_day)
        for name in ("spread", "day_to_day"):
            value = getattr(self, name)
            if value is not None and not (np.isfinite(value) and value >= 0):
                raise ValueError(f"{name} {value}: must be finite and not below 0")


Stream = Household | Meals | Measured


def daily_mass_kg(
    stream: Stream,
    calendar: Calendar,
    dates: NDArray[np.datetime64],
    parameters: Parameters,
    rng: np.random.Generator | None,
) -> NDArray[np.float64]:
    """Scraps on each of ``dates`` (days,), kg: (members, days).

    One level a member (how this site differs from others of its kind: the member's draw of
    the parameters; for ``Measured``, how far the weighed mean may be off), times the calendar,
    times an independent lognormal factor with mean 1 for every day. Without a generator the
    days do not vary and a measured mean is taken as it stands.

    Several households of one stream differ from each other: each has a level of its own, of
    which the share ``waste.household.*.shared`` of the variance is common to all of them. So
    their sum is less uncertain than that of one household, and their days even each other out.
    """
    days = calendar.factors(dates)
    if isinstance(stream, Household) and stream.households > 1 and rng is not None:
        level, evening = _several(stream, parameters, rng)
    else:
        level, evening = _level_kg(stream, parameters, rng), np.ones(parameters.members)
    spread = _day_to_day(stream, parameters) * evening
    noise = 1.0 if rng is None else _unit_mean(spread, days.size, rng)
    return np.asarray(level[:, None] * days * noise)


def _level_kg(
    stream: Stream, parameters: Parameters, rng: np.random.Generator | None
) -> NDArray[np.float64]:
    """Mean day of each member's site, (members,)."""
    if isinstance(stream, Household):
        return np.asarray(stream.people * parameters[_PER_PERSON] * _capture(stream, parameters))
    if isinstance(stream, Meals):
        per_meal = sum(parameters[key] for key in _MEALS[stream.kind])
        return np.asarray(stream.per_day * per_meal)
    level = np.full(parameters.members, stream.kg_per_day)
    if rng is None:
        return level
    return np.asarray(level * _unit_mean(np.full(level.size, stream.spread), 1, rng)[:, 0])


def _capture(stream: Household, parameters: Parameters) -> NDArray[np.float64]:
    if stream.capture is None:
        return parameters[_CAPTURE]
    return np.full(parameters.members, stream.capture)


def _several(
    stream: Household, parameters: Parameters, rng: np.random.Generator
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean day of all households, and by what factor their days together vary less, (members,).

    The member's own draw is that of the first household.
    """
    number = stream.households
    made = _apart(_PER_PERSON, number, parameters, rng)
    if stream.capture is None:
        share = _apart(_CAPTURE, number, parameters, rng)
    else:
        share = np.full_like(made, stream.capture)
    each = stream.people / number * made * share
    level = each.sum(axis=1)
    evening = np.sqrt((each**2).sum(axis=1)) / np.where(level > 0, level, 1)
    return level, evening


def _apart(
    key: str, number: int, parameters: Parameters, rng: np.random.Generator
) -> NDArray[np.float64]:
    """A row's values of all households, (members, households); the first has the member's own.

    Normal scores of the members' values are what households share a part of: given the first
    one's, what is common to all is normal about ``shared`` times it, and the others differ from
    that on their own. Every household has the same spread as the members have.
    """
    values, shared = parameters[key], parameters[f"{key}.shared"]
    members = len(values)
    ranked = (np.arange(members) + 1 / 2) / members
    first = np.empty(members)
    first[np.argsort(values)] = special.ndtri(ranked)
    common = shared * first
    common = common + np.sqrt(shared * (1 - shared)) * rng.standard_normal(members)
    own = np.sqrt(1 - shared)[:, None] * rng.standard_normal((members, number - 1))
    others = np.interp(special.ndtr(common[:, None] + own), ranked, np.sort(values))
    return np.concatenate([values[:, None], others], axis=1)


def _day_to_day(stream: Stream, parameters: Parameters) -> NDArray[np.float64]:
    if isinstance(stream, Meals):
        return parameters["waste.day_to_day.service"]
    if isinstance(stream, Measured) and stream.day_to_day is not None:
        return np.full(parameters.members, stream.day_to_day)
    return parameters["waste.day_to_day.household"]


def _unit_mean(
    variation: NDArray[np.float64], days: int, rng: np.random.Generator
) -> NDArray[np.float64]:
    """Lognormal factors with mean 1 and the coefficient of variation given, (members, days)."""
    log_variance = np.log1p(variation**2)[:, None]
    z = rng.standard_normal((variation.size, days))
    return np.asarray(np.exp(np.sqrt(log_variance) * z - log_variance / 2))


def _positive(name: str, value: float) -> None:
    if not (np.isfinite(value) and value > 0):
        raise ValueError(f"{name} {value}: must be finite and above 0")
