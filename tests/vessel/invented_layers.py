"""Invented layers of kitchen scraps, and the evidence that the room needs."""

import numpy as np

from sourloam import evidence, vessel
from sourloam.scraps.batch import COLUMNS, INDEX, Batch

BOOK = evidence.book()
IDS = [i for prefix in vessel.EVIDENCE for i in BOOK.ids(prefix)]


def layer_amounts(
    kg=0.3, dry=0.235, sugars=0.030, starch=0.040, buffer=0.025, ph=5.9, nitrogen=0.007,
    lactic=5.5, entero=5.0,
):  # fmt: skip
    """One layer of invented kitchen scraps, amounts (columns,); shares per kg fresh."""
    amounts = np.zeros(len(COLUMNS))
    protein = nitrogen / 0.16
    parts = {"water": 1 - dry, "sugars": sugars, "starch": starch, "protein": protein,
             "fat": 0.008, "ash": 0.010}  # fmt: skip
    parts["fibre"] = 1 - sum(parts.values())
    assert parts["fibre"] >= 0, "the parts of a layer must leave room for fibre"
    parts |= {"P": 0.0008, "K": 0.0024, "Na": 0.0007, "Ca": 0.0005, "buffer": buffer,
              "buffer_ph": buffer * ph, "loose_volume": 1 / 400,
              "lactic_cfu": 1000 * 10**lactic, "entero_cfu": 1000 * 10**entero}  # fmt: skip
    for name, value in parts.items():
        amounts[INDEX[name]] = value * kg
    return amounts


def layers(members, count, **parts):
    """The same layer again and again, amounts (members, count, columns)."""
    return Batch(np.tile(layer_amounts(**parts), (members, count, 1)))
