"""Quantities at the edge: reading what people write, showing what the models found.

Inside Sourloam a number is a plain float in the unit its name says; ``parse`` and ``show``
are the only doors. ``UNITS`` says which unit belongs to which dimension.
"""

from sourloam.units.counting import show_count
from sourloam.units.kitchen import SPOONS, spoon_words, spoons
from sourloam.units.reading import UnitError, parse
from sourloam.units.registry import UNITS, factor
from sourloam.units.showing import SYSTEMS, check_system, percent, show, show_on_bed, show_range

__all__ = [
    "SPOONS",
    "SYSTEMS",
    "UNITS",
    "UnitError",
    "check_system",
    "factor",
    "parse",
    "percent",
    "show",
    "show_count",
    "show_on_bed",
    "show_range",
    "spoon_words",
    "spoons",
]
