"""Running every trial and setting the measured beside the modelled."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from sourloam import vessel
from sourloam.evidence import Parameters, book
from sourloam.numerics.spread import Spread, spread
from sourloam.validation.closed_layer import draw_inputs, layer_batch
from sourloam.validation.course import LayerCourse
from sourloam.validation.trial import Arm, Role, Series, Trial, trials

Array = NDArray[np.float64]
_CHART_POINTS = 61  # method: days at which a band is drawn
_LEAST = 1e-6  # method: no ratio to nought
#: Quantities compared by their difference; the others by their ratio.
DIFFERENCES = ("ph", "lactic_bacteria", "enterobacteria")
ROLES: tuple[Role, ...] = ("kept", "chosen with")


@dataclass(frozen=True)
class Reading:
    """One published reading and what the model says of it; ``low`` and ``high`` hold eight
    readings in ten, the error of the reading itself included."""

    trial: str
    arm: str
    role: Role
    quantity: str
    unit: str
    relation: str
    day: float
    measured: float
    published_spread: float | None
    low: float
    median: float
    high: float
    void: bool = False

    @property
    def error(self) -> float:
        """Model median less the measured value."""
        return self.median - self.measured

    @property
    def agrees(self) -> bool:
        """Whether the reading lies in the 10-90 % band; a bound: whether the median keeps it."""
        if self.relation == "below":
            return self.median <= self.measured
        if self.relation == "above":
            return self.median >= self.measured
        return self.low <= self.measured <= self.high


@dataclass(frozen=True)
class ArmResult:
    """One arm: its readings, and bands through time for each quantity."""

    trial: Trial
    arm: Arm
    readings: tuple[Reading, ...]
    days: Array
    bands: Mapping[str, Spread] = field(repr=False)


@dataclass(frozen=True)
class QuantityScore:
    """How the readings of one quantity compare: in its own unit for pH and counts (log10), as
    ratios of the model to the measured for contents."""

    quantity: str
    readings: int
    inside: float
    middle: float  # median error, or median ratio
    width: float  # median width of the band, or median ratio of its ends


@dataclass(frozen=True)
class Score:
    """How a set of readings compares; NaN where there is nothing to compare."""

    role: Role
    trials: int
    ph_readings: int
    ph_rmse: float
    ph_rmse_by_publication: float  # each publication counts once
    ph_rmse_last: float  # of the last reading of each arm
    ph_bias: float
    ph_inside: float
    ph_width: float  # median width of the band
    final_lactic_readings: int
    final_lactic_error: float
    final_lactic_bias: float
    values: int
    inside: float
    bounds: int
    bounds_kept: int
    quantities: tuple[QuantityScore, ...]


@dataclass(frozen=True)
class Validation:
    """All arms of all trials, and a score for each role."""

    members: int
    seed: int
    arms: tuple[ArmResult, ...]
    scores: tuple[Score, ...]

    def score(self, role: Role) -> Score:
        """Score of one role."""
        return next(score for score in self.scores if score.role == role)

    def as_dict(self) -> dict[str, object]:
        """Plain numbers, for JSON; what cannot be a number is None."""
        return {
            "members": self.members,
            "seed": self.seed,
            "scores": [_plain(score) for score in self.scores],
            "readings": [
                {**_plain(reading), "error": reading.error, "agrees": reading.agrees}
                for result in self.arms
                for reading in result.readings
            ],
        }


def validate(
    members: int = 400, seed: int = 1, chosen: Iterable[Trial] | None = None
) -> Validation:
    """Run every published trial (or those given) and compare.

    Inputs of a trial and parameters of the model are drawn from their ranges; nothing is
    fitted here. The same ``seed`` gives the same answer.
    """
    if members < 1:
        raise ValueError(f"members: {members}, at least 1 needed")
    parameters = kernel_parameters(members, np.random.default_rng(seed))
    errors = _reading_errors(members, np.random.default_rng([seed, members]))
    results = tuple(
        _run(trial, arm, parameters, errors, np.random.default_rng([seed, place, index]))
        for place, trial in enumerate(chosen if chosen is not None else trials())
        for index, arm in enumerate(trial.arm)
    )
    return Validation(members, seed, results, tuple(_score(role, results) for role in ROLES))


def kernel_parameters(members: int, rng: np.random.Generator) -> Parameters:
    """Draw of all parameters that the vessel needs; the central values for one member."""
    rows = book()
    ids = [key for prefix in vessel.EVIDENCE for key in rows.ids(prefix)]
    return rows.central(ids) if members == 1 else rows.sample(ids, members, rng)


def _reading_errors(members: int, rng: np.random.Generator) -> Parameters:
    ids = book().ids("reading")
    return book().central(ids) if members == 1 else book().sample(ids, members, rng)


def _run(
    trial: Trial, arm: Arm, parameters: Parameters, errors: Parameters, rng: np.random.Generator
) -> ArmResult:
    drawn = draw_inputs(trial, arm, parameters.members, rng)
    batch = layer_batch(trial.inputs_of(arm), drawn)
    own = _with_own_flora(parameters, drawn)
    course = LayerCourse(batch, drawn["temperature"], own, trial.cut, arm.last_day)
    readings = tuple(
        _reading(trial, arm, series, index, course, errors)
        for series in arm.series
        for index in range(len(series.days))
    )
    days = np.linspace(0.0, arm.last_day, _CHART_POINTS)
    bands: dict[str, Spread] = {
        series.quantity: spread(course.values(series, days)) for series in arm.series
    }
    return ArmResult(trial, arm, readings, days, bands)


def _with_own_flora(parameters: Parameters, drawn: Mapping[str, Array]) -> Parameters:
    """Parameters with the crop's own lactic bacteria as counted, where a trial says so."""
    if "own_lactic_bacteria" not in drawn:
        return parameters
    counted = {"flora.early.own": 10.0 ** drawn["own_lactic_bacteria"]}
    return Parameters({**parameters, **counted}, parameters.members)


def _misread(values: Array, quantity: str, errors: Parameters) -> Array:
    """Values as a laboratory would report them, each member with its own error."""
    if quantity == "ph":
        return values + errors["reading.ph"]
    if quantity in ("lactic_bacteria", "enterobacteria"):
        return values + errors["reading.count"]
    return values * errors["reading.content"]


def _reading(
    trial: Trial, arm: Arm, series: Series, index: int, course: LayerCourse, errors: Parameters
) -> Reading:
    day = series.days[index]
    true = course.values(series, np.array([day]))[:, 0]
    said = spread(_misread(true, series.quantity, errors))
    return Reading(
        trial=trial.id,
        arm=arm.name,
        role=trial.role,
        quantity=series.quantity,
        unit=series.unit,
        relation=series.relation,
        day=day,
        measured=series.values[index],
        published_spread=series.spread_at(index),
        low=float(said.low),
        median=float(spread(true).median),
        high=float(said.high),
        void=bool(arm.void),
    )


def _score(role: Role, results: tuple[ArmResult, ...]) -> Score:
    chosen = [result for result in results if result.trial.role == role and not result.arm.void]
    readings = [reading for result in chosen for reading in result.readings]
    values = [reading for reading in readings if reading.relation == "is"]
    bounds = [reading for reading in readings if reading.relation != "is"]
    ph = [reading for reading in values if reading.quantity == "ph"]
    lactic = _last(chosen, ("lactic", "titratable"))
    relative = np.array([reading.error / reading.measured for reading in lactic])
    errors = np.array([reading.error for reading in ph])
    return Score(
        role=role,
        trials=len({result.trial.id for result in chosen}),
        ph_readings=len(ph),
        ph_rmse=_root_mean_square(errors),
        ph_rmse_by_publication=_root_mean_square(_by_publication(ph)),
        ph_rmse_last=_root_mean_square(np.array([r.error for r in _last(chosen, ("ph",))])),
        ph_bias=float(errors.mean()) if ph else np.nan,
        ph_inside=_share(ph),
        ph_width=float(np.median([r.high - r.low for r in ph])) if ph else np.nan,
        final_lactic_readings=len(lactic),
        final_lactic_error=float(np.median(np.abs(relative))) if lactic else np.nan,
        final_lactic_bias=float(np.median(relative)) if lactic else np.nan,
        values=len(values),
        inside=_share(values),
        bounds=len(bounds),
        bounds_kept=sum(reading.agrees for reading in bounds),
        quantities=_by_quantity(values),
    )


def _root_mean_square(errors: Array) -> float:
    return float(np.sqrt(np.mean(errors**2))) if errors.size else np.nan


def _by_publication(readings: list[Reading]) -> Array:
    """Root mean square error of each publication."""
    trials = sorted({reading.trial for reading in readings})
    return np.array(
        [_root_mean_square(np.array([r.error for r in readings if r.trial == t])) for t in trials]
    )


def _by_quantity(values: list[Reading]) -> tuple[QuantityScore, ...]:
    names = dict.fromkeys(reading.quantity for reading in values)
    return tuple(
        _quantity_score(name, [reading for reading in values if reading.quantity == name])
        for name in names
    )


def _quantity_score(name: str, readings: list[Reading]) -> QuantityScore:
    low, median, high, measured = (
        np.array([getattr(reading, part) for reading in readings])
        for part in ("low", "median", "high", "measured")
    )
    if name in DIFFERENCES:
        middle, width = np.median(median - measured), np.median(high - low)
    else:
        middle, width = np.median(median / measured), np.median(high / np.maximum(low, _LEAST))
    return QuantityScore(name, len(readings), _share(readings), float(middle), float(width))


def _last(results: list[ArmResult], quantities: tuple[str, ...]) -> list[Reading]:
    """Last value of any of some quantities in each arm (lactic acid may be titrated as such)."""
    last = []
    for result in results:
        found = [
            reading
            for reading in result.readings
            if reading.relation == "is" and reading.quantity in quantities
        ]
        if found:
            last.append(max(found, key=lambda reading: reading.day))
    return last


def _share(readings: list[Reading]) -> float:
    return float(np.mean([reading.agrees for reading in readings])) if readings else np.nan


def _plain(thing: Reading | Score | QuantityScore) -> dict[str, object]:
    return {key: _plain_value(value) for key, value in vars(thing).items()}


def _plain_value(value: object) -> object:
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    return None if isinstance(value, float) and not np.isfinite(value) else value
