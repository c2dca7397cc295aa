"""Three jars of a class, foreseen by the model of a vessel's layer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sourloam import scraps, vessel
from sourloam.evidence import Parameters, book
from sourloam.numerics import Range
from sourloam.vessel import souring_series

#: Days on which pupils measure; the first is the day of filling.
MEASURED = (0, 1, 2, 4, 7, 10, 14)
#: What goes into a jar, and the cold of a refrigerator: choices of the experiment.
JAR_KG, COLD_C = 0.3, 5.0
_CARRIER, _GRAMS = "wheat_bran", 1000.0


@dataclass(frozen=True)
class Jar:
    """One jar: its letter, inoculated bran for a kg of scraps, where it stands."""

    letter: str
    bran_kg_per_kg: float
    temperature_c: float


@dataclass(frozen=True)
class Outlook:
    """pH foreseen at the days of ``MEASURED``."""

    jar: Jar
    ph: tuple[Range, ...]


def evidence_ids() -> tuple[str, ...]:
    """Every id that the experiment draws."""
    prefixes = (*scraps.EVIDENCE, *vessel.EVIDENCE)
    return book().ids(*prefixes)


def jars(room_c: float) -> tuple[Jar, Jar, Jar]:
    """With bran in the room, without bran in the room, with bran in the cold."""
    dose = book()["bran.dose.share"].value / _GRAMS
    return Jar("A", dose, room_c), Jar("B", 0.0, room_c), Jar("C", dose, COLD_C)


def foresee_jars(room_c: float, parameters: Parameters) -> tuple[Outlook, ...]:
    """What the three jars of chopped kitchen trimmings do in a fortnight."""
    mixed = scraps.mix(scraps.preset("trimmings", parameters), scraps.class_table(parameters))
    found = []
    for jar in jars(room_c):
        layer = mixed
        if jar.bran_kg_per_kg > 0:
            layer = mixed + scraps.bran_batch(jar.bran_kg_per_kg, _CARRIER, None, parameters)
        series = souring_series(layer, np.full(MEASURED[-1], jar.temperature_c), parameters)
        found.append(Outlook(jar, tuple(_ph(series.ph[:, day]) for day in MEASURED)))
    return tuple(found)


def _ph(values: np.ndarray) -> Range:
    low, middle, high = np.quantile(values, (0.1, 0.5, 0.9))
    return Range(low=low, median=middle, high=high, unit="pH")
