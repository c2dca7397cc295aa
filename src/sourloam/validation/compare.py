"""Running every trial and setting the measured beside the modelled."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam import vessel
from sourloam.evidence import Parameters, book
from sourloam.numerics.spread import Spread, spread
from sourloam.validation.closed_layer import draw_inputs, layer_batch
from sourloam.validation.course import LayerCourse
from sourloam.validation.readings import ArmResult, Reading
from sourloam.validation.scores import QuantityScore, Score, score_of
from sourloam.validation.trial import Arm, Role, Series, Trial, trials

Array = NDArray[np.float64]
_CHART_POINTS = 61  # method: days at which a band is drawn
ROLES: tuple[Role, ...] = ("kept", "chosen with")


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
    fitted here. The same ``seed`` gives the same answer. ValueError for fewer
    than one member.
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
    return Validation(members, seed, results, tuple(score_of(role, results) for role in ROLES))


def kernel_parameters(members: int, rng: np.random.Generator) -> Parameters:
    """Draw of all parameters that the vessel needs; the central values for one member."""
    rows = book()
    ids = list(rows.ids(*vessel.EVIDENCE))
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


def _plain(thing: Reading | Score | QuantityScore) -> dict[str, object]:
    return {key: _plain_value(value) for key, value in vars(thing).items()}


def _plain_value(value: object) -> object:
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    return None if isinstance(value, float) and not np.isfinite(value) else value
