"""Crops: what they need, what they bear, how they stand."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters, book

Array = NDArray[np.float64]
_TOPIC = "crops"
_ELEMENTS = ("nitrogen", "phosphorus", "potassium")
_CAPITALS = {"brussels sprout": "Brussels sprout", "chinese cabbage": "Chinese cabbage"}


@cache
def crop_names() -> tuple[str, ...]:
    """Names a site file may use, sorted."""
    return tuple(sorted({row.id.split(".")[1] for row in book().topic(_TOPIC)}))


def crop_evidence(names: tuple[str, ...]) -> tuple[str, ...]:
    """Evidence ids that these crops need."""
    prefixes = [f"{topic}.{name}" for name in names for topic in (_TOPIC, "produce")]
    return book().ids(*prefixes)


def spoken(name: str) -> str:
    """A crop's name in a sentence: ``sweet_corn`` -> ``sweet corn``."""
    words = name.replace("_", " ")
    return _CAPITALS.get(words, words)


@dataclass(frozen=True)
class Crop:
    """One crop; arrays of shape ``(members,)``, masses per m² of bed and season.

    ``nitrogen_demand_kg_m2`` counts what the soil itself supplies; ``removal_kg_m2`` holds what
    the harvest carries away of nitrogen, phosphorus and potassium (0 where nothing is carried).
    """

    name: str
    nitrogen_demand_kg_m2: Array
    removal_kg_m2: dict[str, Array]
    salt_threshold_ds_m: Array
    salt_slope_per_ds_m: Array
    days_to_harvest: Array
    row_spacing_m: float
    eaten_raw: bool
    touches_soil: bool
    tender: bool
    perennial: bool


def crop(name: str, parameters: Parameters) -> Crop:
    """A crop's figures for every member; KeyError for a name not in ``crop_names()``."""

    def row(key: str) -> Array:
        return parameters[f"{_TOPIC}.{name}.{key}"]

    def flag(key: str) -> bool:
        return bool(np.median(row(key)))

    return Crop(
        name=name,
        nitrogen_demand_kg_m2=row("nitrogen_demand") / 1000,
        removal_kg_m2={element: _removal(name, element, parameters) for element in _ELEMENTS},
        salt_threshold_ds_m=row("salt_threshold"),
        salt_slope_per_ds_m=row("salt_slope") / 100,
        days_to_harvest=row("days_to_harvest"),
        row_spacing_m=float(np.median(row("row_spacing"))),
        eaten_raw=flag("eaten_raw"),
        touches_soil=flag("touches_soil"),
        tender=flag("tender"),
        perennial=flag("perennial"),
    )


def _removal(name: str, element: str, parameters: Parameters) -> Array:
    harvest = parameters.values_by_id.get(f"{_TOPIC}.{name}.harvest")
    if harvest is None:
        return np.zeros(parameters.members)
    return harvest * parameters[f"produce.{name}.{element}"] / 1000
