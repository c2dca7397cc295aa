"""What can be moved on the page to play with, and how an address says it.

An address holds a setting for each of the two vessels, such as ``a_warmth=20&b_warmth=6``; what
it leaves out is the usual one. Settings are metric whatever the reader's units, ``units=us``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any
from urllib.parse import urlencode

from django.utils.translation import gettext as _

from sourloam.vessel import Pieces

SIDES = ("a", "b")
BODIES = ("pail", "jar")
UNITS = ("metric", "us")
PIECES = ("minced", "chopped", "whole")
MIXES = ("trimmings", "household", "plate_waste", "school_lunch", "garden")
#: Days that a body is followed: a pail takes layers for four weeks, then rests for four.
DAYS = {"pail": 56, "jar": 28}
#: The day shown where nobody chose one.
FIRST_SHOWN = {"pail": 35, "jar": 7}
_LONGEST = 24  # letters of a wrong value that are repeated to whoever wrote it


@dataclass(frozen=True)
class Dial:
    """A number that a slider moves, in SI or as its name says; ``usual`` where nobody moved it."""

    name: str
    low: float
    high: float
    step: float
    usual: float
    unit: str

    def snapped(self, value: float) -> float:
        """The nearest place of the slider, so that neighbours share one answer."""
        return round(self.low + round((value - self.low) / self.step) * self.step, 6)


#: In the order of the page: degC, g of bran and of sugar for a kg of scraps, shares of the layer in
#: %, kg, times a day beside feeding, litres of air a day.
DIALS = (
    Dial("warmth", 2, 38, 1, 20, "°C"),
    Dial("bran", 0, 60, 5, 20, "g/kg"),
    Dial("bread", 0, 60, 5, 0, "%"),
    Dial("meat", 0, 40, 5, 0, "%"),
    Dial("sugar", 0, 60, 5, 0, "g/kg"),
    Dial("layer", 0.3, 3, 0.1, 1.6, "kg"),
    Dial("plate", 0, 12, 1, 1, "kg"),
    Dial("opened", 0, 6, 1, 0, ""),
    Dial("leak", 0, 10, 0.5, 0, "L"),
)
CHOICES = {"mix": MIXES, "pieces": PIECES}


@dataclass(frozen=True)
class Side:
    """One vessel: a number for each dial, what scraps, how cut; hashable, so answers are kept.

    ``layers``, which no slider moves: it takes no more than so many, None as many as fit.
    """

    body: str = "pail"
    warmth: float = 20
    bran: float = 20
    bread: float = 0
    meat: float = 0
    sugar: float = 0
    layer: float = 1.6
    plate: float = 1
    opened: float = 0
    leak: float = 0
    mix: str = "trimmings"
    pieces: Pieces = "chopped"
    layers: int | None = None


@dataclass(frozen=True)
class Trial:
    """Both vessels, the day that is shown, 1 for the first, and the reader's units."""

    a: Side = field(default_factory=Side)
    b: Side = field(default_factory=Side)
    day: int = FIRST_SHOWN["pail"]
    units: str = UNITS[0]

    @property
    def body(self) -> str:
        """Both stand in the same kind."""
        return self.a.body

    @property
    def last_day(self) -> int:
        """How long they are followed."""
        return DAYS[self.body]

    def side(self, letter: str) -> Side:
        """The vessel of a letter."""
        return self.a if letter == "a" else self.b

    def changes(self) -> tuple[str, ...]:
        """What differs between the two."""
        names = [dial.name for dial in DIALS] + list(CHOICES)
        return tuple(name for name in names if getattr(self.a, name) != getattr(self.b, name))


_JAR_LAYER = Dial("layer", 0.2, 0.4, 0.05, 0.3, "kg")


@cache
def dials_of(body: str) -> tuple[Dial, ...]:
    """The dials that mean something: a jar has no plate, and takes less."""
    if body == BODIES[0]:
        return DIALS
    return tuple(
        _JAR_LAYER if dial.name == "layer" else dial for dial in DIALS if dial.name != "plate"
    )


def usual(body: str) -> Side:
    """A vessel that nobody has moved anything of."""
    numbers: dict[str, Any] = {dial.name: dial.usual for dial in dials_of(body)}
    return Side(body=body, **numbers)


def most_of(name: str) -> float:
    """The far end of a dial."""
    return next(dial.high for dial in DIALS if dial.name == name)


def read_trial(query: Mapping[str, str]) -> Trial:
    """A trial from an address; ValueError with one clear line. Names that mean nothing here are
    passed over."""
    body = _chosen(query, "body", BODIES, BODIES[0])
    a, b = (_side(query, letter, body) for letter in SIDES)
    day = _number(query, "day", 1, DAYS[body], FIRST_SHOWN[body])
    return Trial(a, b, round(day), _chosen(query, "units", UNITS, UNITS[0]))


def address_of(trial: Trial) -> str:
    """The query of a trial: only what is not usual."""
    plain = usual(trial.body)
    said: dict[str, str] = {} if trial.body == BODIES[0] else {"body": trial.body}
    if trial.units != UNITS[0]:
        said["units"] = trial.units
    for letter in SIDES:
        side = trial.side(letter)
        for name in [*(dial.name for dial in DIALS), *CHOICES]:
            value = getattr(side, name)
            if value != getattr(plain, name):
                said[f"{letter}_{name}"] = value if isinstance(value, str) else f"{value:g}"
    if trial.day != FIRST_SHOWN[trial.body]:
        said["day"] = str(trial.day)
    return urlencode(said)


def _side(query: Mapping[str, str], letter: str, body: str) -> Side:
    numbers: dict[str, Any] = {
        dial.name: dial.snapped(
            _number(query, f"{letter}_{dial.name}", dial.low, dial.high, dial.usual)
        )
        for dial in dials_of(body)
    }
    chosen = {
        name: _chosen(query, f"{letter}_{name}", values, getattr(Side, name))
        for name, values in CHOICES.items()
    }
    return Side(body=body, **numbers | chosen)


def _number(query: Mapping[str, str], key: str, low: float, high: float, usual: float) -> float:
    said = _said(query, key).replace(",", ".")
    if not said:
        return usual
    try:
        value = float(said)
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        raise ValueError(
            _("%(key)s: found “%(said)s”, but it takes a number from %(low)s to %(high)s.")
            % {"key": key, "said": said[:_LONGEST], "low": f"{low:g}", "high": f"{high:g}"}
        )
    return value


def _chosen(query: Mapping[str, str], key: str, values: tuple[str, ...], usual: str) -> str:
    said = _said(query, key)
    if said and said not in values:
        raise ValueError(
            _("%(key)s: found “%(said)s”, but it takes one of %(values)s.")
            % {"key": key, "said": said[:_LONGEST], "values": ", ".join(values)}
        )
    return said or usual


def _said(query: Mapping[str, str], key: str) -> str:
    return " ".join(query.get(key, "").split())
