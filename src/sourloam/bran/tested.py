"""A batch after tests of its strength: the members drawn anew by how well they agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sourloam.bran.contract import Tested
from sourloam.bran.keeping import good_days
from sourloam.bran.making import Batch
from sourloam.bran.trials import (
    Trial,
    Verdict,
    outranks,
    verdict,
    weights,
    with_accidents,
)
from sourloam.evidence import Parameters
from sourloam.numerics.resampling import systematic

Floats = NDArray[np.float64]
_READ = {
    "pass": "passed: use the lot at the dose below",
    "doubt": "is doubtful: raise the dose to the largest, and test again within two weeks",
    "fail": "failed: do not use this lot as inoculated bran; it may be dug in or composted",
}
_NOT_SOUR = "failed: it did not sour as it should; give none of it unless a sour-drop test passes"
_NAMES = {
    "sour_drop": "Sour-drop test",
    "plate": "Plate count",
    "slurry": "Slurry pH",
    "jar": "Sealed jar",
}


def after_tests(made: Batch, trials: Sequence[Trial], rng: np.random.Generator) -> Batch:
    """The same batch with its members drawn anew by the weights of the results.

    Before any test a share of the members is dead by accident; what the tests leave of those
    stays in. ``good_days`` is counted again.
    """
    if not trials:
        return made
    strength, chosen = drawn_anew(made.strength, trials, made.parameters, rng)
    anew: Batch = _members(replace(made, strength=strength), chosen, made.parameters.members)
    days = np.minimum(good_days(anew.strength, anew.parameters), made.longest_days)
    return replace(
        anew, good_days=days, good_days_cool=np.maximum(days, anew.good_days_cool * (days > 0))
    )


def drawn_anew(
    strength: Floats, trials: Sequence[Trial], parameters: Parameters, rng: np.random.Generator
) -> tuple[Floats, NDArray[np.intp]]:
    """The forecast with its accidents, (members, days + 1), and the members to take by weight."""
    risked = with_accidents(strength, parameters, rng)
    weight = weights(trials, risked, parameters)
    return risked, systematic(weight, parameters.members, rng)


def results(trials: Sequence[Trial], parameters: Parameters) -> tuple[Tested, ...]:
    """What each result says."""
    return tuple(
        Tested(
            kind=trial.kind,
            day=round(trial.day),
            verdict=verdict(trial, parameters),
            text=f"{_NAMES[trial.kind]} on day {trial.day:g} after packing "
            f"{_read(trial, verdict(trial, parameters))}.",
        )
        for trial in trials
    )


def _read(trial: Trial, found: Verdict) -> str:
    return _NOT_SOUR if trial.kind == "slurry" and found == "fail" else _READ[found]


def held_back(trials: Sequence[Trial], parameters: Parameters) -> bool:
    """Whether none of it may be given after all its tests: the latest on living cells failed, or
    its slurry did and none on living cells has passed since."""
    last = max((trial.day for trial in trials), default=0.0)
    if condemned(trials, last, parameters):
        return True
    unsour = [t.day for t in trials if t.kind == "slurry" and verdict(t, parameters) == "fail"]
    alive = [t.day for t in trials if t.kind != "slurry" and verdict(t, parameters) == "pass"]
    return bool(unsour) and max(alive, default=-1.0) < max(unsour)


def condemned(trials: Sequence[Trial], day: float, parameters: Parameters) -> bool:
    """Whether the latest result that holds on a day is a failed one."""
    holding = [t for t in trials if outranks(t, day, parameters)]
    latest = max(holding, key=lambda trial: trial.day, default=None)
    return latest is not None and verdict(latest, parameters) == "fail"


def _members(value: Any, chosen: NDArray[np.intp], members: int) -> Any:
    """Every array over members, drawn anew, through dataclasses."""
    if isinstance(value, np.ndarray) and value.ndim and value.shape[0] == members:
        return value[chosen]
    if isinstance(value, Parameters):
        return Parameters({key: array[chosen] for key, array in value.items()}, len(chosen))
    if is_dataclass(value) and not isinstance(value, type):
        changed = {f.name: _members(getattr(value, f.name), chosen, members) for f in fields(value)}
        return replace(value, **changed)
    return value
