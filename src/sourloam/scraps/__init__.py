"""What is thrown away: classes of scraps, their composition, mixes, and how much when.

``class_shares`` says what a mix consists of, ``class_table`` gives one kg of each class, ``mix``
adds classes up to a ``Batch``, ``bran_batch`` is the inoculated bran, ``daily_mass_kg`` a stream
through the year.
``EVIDENCE`` are prefixes of the ids a caller must draw.
"""

from sourloam.scraps.batch import COLUMNS, INDEX, Batch
from sourloam.scraps.calendar import Calendar, household_week
from sourloam.scraps.classes import CARRIERS, CLASSES, class_table
from sourloam.scraps.mixing import bran_batch, carbon_kg, mix, nitrogen_kg, sugar_buffer_index
from sourloam.scraps.presets import PRESETS, class_shares, preset
from sourloam.scraps.streams import (
    MEALS,
    USUAL_PRESET,
    Household,
    Meals,
    Measured,
    Stream,
    daily_mass_kg,
)

#: Prefixes of the ids that this room reads; expand them with ``book().ids(prefix)``.
EVIDENCE: tuple[str, ...] = (
    *(f"scraps.{name}" for name in (*CLASSES, *CARRIERS)),
    "scraps.carbon",
    "scraps.nitrogen_of_protein",
    "scraps.sugar_buffer",
    "scraps.preset",
    "waste",
)

__all__ = [
    "CARRIERS",
    "CLASSES",
    "COLUMNS",
    "EVIDENCE",
    "INDEX",
    "MEALS",
    "PRESETS",
    "USUAL_PRESET",
    "Batch",
    "Calendar",
    "Household",
    "Meals",
    "Measured",
    "Stream",
    "bran_batch",
    "carbon_kg",
    "class_shares",
    "class_table",
    "daily_mass_kg",
    "household_week",
    "mix",
    "nitrogen_kg",
    "preset",
    "sugar_buffer_index",
]
