"""What each class of scraps consists of, per kg fresh."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.scraps.batch import COLUMNS, INDEX, MASSES, MINERALS, Batch

#: Classes of scraps, in the order of the class axis.
CLASSES = (
    "fruit_veg",
    "citrus",
    "starchy",
    "bread",
    "meat_fish",
    "dairy_egg",
    "coffee_tea",
    "shells_bones",
    "plate_waste",
    "garden_trimmings",
    "paper",
)
#: Carriers of the inoculated bran.
CARRIERS = ("wheat_bran", "rice_bran")

_DRY = MASSES[1:]
_GRAMS_PER_KG = 1000


def class_table(parameters: Parameters) -> Batch:
    """One kg fresh of every class of ``CLASSES``: amounts (members, classes, COLUMNS)."""
    return composition(CLASSES, parameters)


def composition(classes: Sequence[str], parameters: Parameters) -> Batch:
    """One kg fresh of each class: amounts (members, classes, COLUMNS).

    Water is kept as drawn. The dry constituents, drawn apart, are scaled by one factor so that
    everything adds up to 1 kg; minerals are scaled with them, and ash is first raised, where
    need be, to hold its minerals. So proportions within the dry matter are those drawn, and a
    wetter draw is poorer in all of them.
    """

    def drawn(part: str) -> NDArray[np.float64]:
        return np.stack([parameters[f"scraps.{name}.{part}"] for name in classes], axis=-1)

    water = drawn("water")
    dry = {name: drawn(name) for name in _DRY}
    minerals = {name: drawn(name.lower()) for name in MINERALS}
    dry["ash"] = np.maximum(dry["ash"], sum(minerals.values()))
    scale = (1 - water) / sum(dry.values())
    columns = {"water": water}
    columns |= {name: amount * scale for name, amount in (dry | minerals).items()}
    columns |= _further(drawn)
    amounts = np.stack([columns[name] for name in COLUMNS], axis=-1)
    return Batch(_exact(amounts))


def _further(drawn: Callable[[str], NDArray[np.float64]]) -> dict[str, NDArray[np.float64]]:
    buffer = drawn("buffer")
    return {
        "buffer": buffer,
        "buffer_ph": buffer * drawn("ph"),
        "loose_volume": 1 / drawn("density"),
        "lactic_cfu": 10.0 ** drawn("lactic") * _GRAMS_PER_KG,
        "entero_cfu": 10.0 ** drawn("entero") * _GRAMS_PER_KG,
    }


def _exact(amounts: NDArray[np.float64]) -> NDArray[np.float64]:
    """Take the rounding of the last bit out of ``other`` or, where it is nothing, of water."""
    rest = 1 - amounts[..., : len(MASSES)].sum(axis=-1)
    heel = np.where(amounts[..., INDEX["other"]] > np.abs(rest), INDEX["other"], 0)
    np.put_along_axis(
        amounts,
        heel[..., None],
        np.take_along_axis(amounts, heel[..., None], -1) + rest[..., None],
        -1,
    )
    return amounts
