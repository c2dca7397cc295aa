"""Figures and sentences of what was achieved, in one reader's language and units."""

from __future__ import annotations

from collections.abc import Iterable

from sourloam.documents import achieved_words as words
from sourloam.documents.achieved_contract import Notes
from sourloam.documents.speech import Speech
from sourloam.impact.contract import Impact, Said
from sourloam.impact.summing import digits_for, unseen
from sourloam.numerics.range import Range
from sourloam.report.impact_units import in_units, unit_of
from sourloam.units import show

_LEAST = 0.001  # below this a figure is told as less than it
_SHOWN, _MORE = 2, 4  # significant digits: usual ones, and at most where both ends are alike


class Figures:
    """Figures of so many possible worlds in one reader's words."""

    def __init__(self, members: int, speech: Speech) -> None:
        self.members, self.speech = members, speech

    def say(self, text: str, **values: object) -> str:
        """A sentence with its values."""
        return self.speech.say(text, **values)

    def unit(self, unit: str) -> str:
        """The reader's word for a unit."""
        return self.speech.known(unit_of(unit, self.speech.system))

    def number(self, value: float | None, unit: str, digits: int = _SHOWN) -> str:
        """A bare figure in the reader's unit."""
        if value is None:
            return "?"
        found = in_units(value, unit, self.speech.system)
        if 0 < abs(found) < _LEAST:
            return self.local(f"<{_LEAST:g}" if found > 0 else f">-{_LEAST:g}")
        return self.local(_figures(found, digits))

    def local(self, text: str) -> str:
        """A figure with the reader's decimal mark and a true minus."""
        marked = text.replace(".", ",") if self.speech.language == "es" else text
        return marked.replace("-", "\u2212")

    def figure(self, value: float | None, unit: str) -> str:
        """With its unit."""
        return f"{self.number(value, unit)} {self.unit(unit)}".strip()

    def _digits(self, value: Range) -> int:
        """Two, or as many as tell the points apart."""
        if value.low != value.high:
            points = (value.median or 0.0, value.low or 0.0, value.high or 0.0)
            least = digits_for(in_units(x, value.unit, self.speech.system) for x in points)
        else:
            least = _SHOWN
        for digits in range(least, _MORE + 1):
            low, high = (self.number(x, value.unit, digits) for x in (value.low, value.high))
            if low != high:
                return digits
        return _MORE - 1

    def three(self, value: Range, unit: bool = True) -> str:
        """Such as "170 (90 to 260) kg CO2e"; ends alike get more digits, till they differ."""
        digits = self._digits(value)
        points = (value.median, value.low, value.high)
        middle, low, high = (self.number(x, value.unit, digits) for x in points)
        label = f" {self.unit(value.unit)}" if unit else ""
        if low == high:
            return f"{middle}{label}".strip()
        ends = self.speech.say("{low} to {high}", low=low, high=high)
        return f"{middle} ({ends}){label}".strip()

    def middle(self, value: Range) -> str:
        """Only the middle, as exact as its ends."""
        digits = self._digits(value)
        return f"{self.number(value.median, value.unit, digits)} {self.unit(value.unit)}"

    def ends(self, value: Range) -> str:
        """Only the 10 and 90 % points, with their unit."""
        digits = self._digits(value)
        low, high = (self.number(x, value.unit, digits) for x in (value.low, value.high))
        if low == high:
            return f"{low} {self.unit(value.unit)}"
        ends = self.speech.say("{low} to {high}", low=low, high=high)
        return f"{ends} {self.unit(value.unit)}"

    def chance(self, chance: float) -> str:
        """So many in a hundred; of none or all, what so many members can vouch for."""
        open_ = unseen(self.members)
        if chance <= 0:
            return self.say("fewer than {n} in 100", n=open_)
        if round(100 * chance) >= 100:
            return self.say("more than {n} in 100", n=100 - open_)
        return self.say("{n} in 100", n=max(round(100 * chance), 1))

    def way(self, id_: str) -> str:
        """The name of a way."""
        return self.speech.say(words.WAYS[id_])

    def row_name(self, id_: str, name: str) -> str:
        """The name of a row of the evidence, or of an amount of the scraps."""
        if id_ in words.AMOUNTS:
            return self.speech.say(words.AMOUNTS[id_])
        if self.speech.language == "es":
            return words.spanish_sources().get(id_, {}).get("name", name)
        return name


class Teller(Figures):
    """Figures and sentences of one answer."""

    def __init__(self, answer: Impact, speech: Speech) -> None:
        super().__init__(answer.provenance.members, speech)
        self.answer = answer
        self._numbers = {source.id: source.number for source in answer.sources}

    def notes(self, keys: Iterable[str]) -> Notes:
        """Numbers of footnotes, each once, in order."""
        return tuple(sorted({self._numbers[key] for key in keys if key in self._numbers}))

    def told(self, said: Said) -> str:
        """A sentence with its values."""
        masses = {
            name: self.local(show(mass, "mass", self.speech.system))
            for name, mass in said.masses_kg.items()
        }
        return self.speech.known(said.text).format(**said.numbers, **masses)

    def part(self, name: str) -> str:
        """The name of a part of what a way gives off."""
        known = self.speech.known
        if name.startswith(words.AFTER_ALL):
            return known(words.AFTER_ALL) + known(name.removeprefix(words.AFTER_ALL))
        return known(name)


def plain_number(value: float) -> str:
    """All digits of a value of the evidence, never with an exponent."""
    text = f"{value:.10f}".rstrip("0").rstrip(".")
    return text or "0"


def _figures(value: float, digits: int) -> str:
    """A number to so many figures, never with an exponent."""
    value = float(f"{value:.{digits}g}")
    text = f"{value:.0f}" if abs(value) >= 10 ** (digits - 1) else f"{value:.6f}".rstrip("0")
    text = text.rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text
