"""The closed, well-mixed layer that stands for a jar or bag of a published trial."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from sourloam.scraps.batch import COLUMNS, INDEX, Batch
from sourloam.validation.trial import Arm, Input, Trial

Array = NDArray[np.float64]
#: Solids that are scaled down together where a draw would exceed the dry matter.
_FILLERS = ("starch", "protein", "fat", "acids", "ash")
_GRAMS, _LOOSE_DENSITY = 1000.0, 600.0


def draw_inputs(trial: Trial, arm: Arm, members: int, rng: np.random.Generator) -> dict[str, Array]:
    """Latin-hypercube draw of each input of an arm, shape ``(members,)``.

    Held within twice the stated range either side, and never below 0. One member gets the
    central values.
    """
    drawn = {}
    for name, given in sorted(trial.inputs_of(arm).items()):
        strata = (rng.permutation(members) + rng.random(members)) / members
        if members == 1:
            strata = np.array([0.5])
        least, most = 2 * given.low - given.value, 2 * given.high - given.value
        drawn[name] = np.clip(given.row(name).quantile(strata), max(least, 0.0), most)
    return drawn


def layer_batch(inputs: Mapping[str, Input], drawn: Mapping[str, Array]) -> Batch:
    """One kg of the material, amounts ``(members, COLUMNS)``.

    ``added_sugar`` (g per kg of the whole) dilutes everything else. Fibre is what is left of
    the dry matter.
    """
    members = next(iter(drawn.values())).shape
    added = drawn.get("added_sugar", np.zeros(members)) / _GRAMS
    rest = 1.0 - added
    dry = drawn["dry_matter"] / _GRAMS
    part = {name: _per_fresh(name, inputs, drawn, dry) for name in ("sugars", *_FILLERS)}
    part = _fitted(part, dry)
    amounts = np.zeros((*members, len(COLUMNS)))
    for name, mass in part.items():
        amounts[..., INDEX[name]] = rest * mass
    amounts[..., INDEX["fibre"]] = rest * (dry - sum(part.values()))
    amounts[..., INDEX["sugars"]] += added
    amounts[..., INDEX["water"]] = rest * (1.0 - dry)
    for column, name in (("K", "potassium"), ("Na", "sodium")):
        amounts[..., INDEX[column]] = rest * _per_fresh(name, inputs, drawn, dry)
    buffer = rest * _buffer_mol(inputs["buffering"].unit, drawn["buffering"], dry)
    amounts[..., INDEX["buffer"]] = buffer
    amounts[..., INDEX["buffer_ph"]] = buffer * drawn["start_ph"]
    amounts[..., INDEX["loose_volume"]] = 1.0 / _LOOSE_DENSITY
    for column, name in (("lactic_cfu", "lactic_bacteria"), ("entero_cfu", "enterobacteria")):
        amounts[..., INDEX[column]] = _GRAMS * 10.0 ** drawn[name]
    return Batch(amounts)


def _per_fresh(
    name: str, inputs: Mapping[str, Input], drawn: Mapping[str, Array], dry: Array
) -> Array:
    """kg per kg fresh of a constituent given per fresh or per dry matter."""
    if name not in drawn:
        return np.zeros_like(dry)
    scale = dry if inputs[name].unit == "g/kg dry" else 1.0
    return drawn[name] / _GRAMS * scale


def _fitted(part: dict[str, Array], dry: Array) -> dict[str, Array]:
    """Solids other than sugar scaled down so that all fit into the dry matter."""
    fillers = sum(part[name] for name in _FILLERS)
    room = np.maximum(dry - part["sugars"], 0.0)
    fit = np.minimum(1.0, room / np.maximum(fillers, 1e-12))
    fitted = {name: mass if name == "sugars" else mass * fit for name, mass in part.items()}
    return {**fitted, "sugars": np.minimum(fitted["sugars"], dry)}


def _buffer_mol(unit: str, value: Array, dry: Array) -> Array:
    """Buffering in mol per pH and kg fresh."""
    return value / _GRAMS * (dry if unit == "meq/(kg dry pH)" else 1.0)
