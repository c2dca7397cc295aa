"""What a sheet says, in the reader's language: sentences, dates, figures.

Sentences are written in English where they are used; ``spanish.toml`` beside this file holds each
of them in Spanish, and a test keeps the two complete.
"""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal

from sourloam.numerics import Range
from sourloam.report.quantities import one

Language = Literal["en", "es"]
_MONTHS = {
    "en": "January,February,March,April,May,June,July,August,September,October,November,December",
    "es": "enero,febrero,marzo,abril,mayo,junio,julio,agosto,septiembre,octubre,noviembre,"
    "diciembre",
}
_WEEKDAYS = {
    "en": "Monday,Tuesday,Wednesday,Thursday,Friday,Saturday,Sunday",
    "es": "lunes,martes,miércoles,jueves,viernes,sábado,domingo",
}
_WHOLE_FROM = 10
_POINT = re.compile(r"(?<=\d)\.(?=\d)")


@cache
def spanish() -> dict[str, str]:
    """English to Spanish, every sentence of every sheet."""
    text = files("sourloam.documents").joinpath("spanish.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@dataclass(frozen=True)
class Speech:
    """A reader's language and units."""

    language: Language = "en"
    system: Literal["metric", "us"] = "metric"

    def say(self, text: str, **values: object) -> str:
        """A sentence with its values; KeyError where no Spanish was written for it."""
        known = spanish()[text] if self.language == "es" else text
        return known.format(**values) if values else known

    def known(self, word: str) -> str:
        """A word that may come from outside (a crop, a season): itself if nobody translated it."""
        return spanish().get(word, word) if self.language == "es" else word

    def many(self, one_: str, several: str, number: float) -> str:
        """A counted thing, such as "1 day" or "4 days"; halves as people write them."""
        single = number == 1 or (0 < number < 1)
        return self.say(one_ if single else several, n=self.count(number))

    def count(self, number: float) -> str:
        """A small number as it is read off a spoon: with a half, from ten on whole."""
        if number >= _WHOLE_FROM:
            return str(round(number))
        whole, half = divmod(round(2 * number), 2)
        if whole == 0 and half:
            return "½"
        return f"{whole}{'½' if half else ''}"

    def day(self, date: dt.date, year: bool = False) -> str:
        """Such as "21 April" or "21 de abril", with the year if wanted."""
        of = " de " if self.language == "es" else " "
        parts = [str(date.day), self._month(date), *([str(date.year)] if year else [])]
        return of.join(parts)

    def weekday(self, date: dt.date) -> str:
        """Such as "Tuesday 21", where the month is known."""
        return f"{_WEEKDAYS[self.language].split(',')[date.weekday()]} {date.day}"

    def days(self, first: dt.date, last: dt.date) -> str:
        """A span of days with their years."""
        return f"{self.day(first, year=True)} – {self.day(last, year=True)}"

    def month(self, date: dt.date) -> str:
        """Such as "April 2026"."""
        of = " de " if self.language == "es" else " "
        return f"{self._month(date)}{of}{date.year}"

    def months(self) -> list[str]:
        """The names of the months."""
        return _MONTHS[self.language].split(",")

    def _month(self, date: dt.date) -> str:
        return self.months()[date.month - 1]

    def figure(self, value: float | None, unit: str) -> str:
        """One quantity in the reader's units, such as "1.6 m" or "1,6 m"; "?" if unknown."""
        if value is None:
            return "?"
        return self._local(one(_two_figures(value), unit, self.system))

    def ends(self, quantity: Range) -> str:
        """Only the 10 and 90 % points, such as "4 to 125 mL"."""
        low, high = (self.figure(end, quantity.unit) for end in (quantity.low, quantity.high))
        figure, _, unit = low.rpartition(" ")
        if figure and high.endswith(f" {unit}"):
            low = figure
        return high if low == high else self.say("{low} to {high}", low=low, high=high)

    def number(self, value: float, decimals: int = 0) -> str:
        """A bare number."""
        return self._local(f"{value:.{decimals}f}")

    def _local(self, text: str) -> str:
        return _POINT.sub(",", text) if self.language == "es" else text


def _two_figures(value: float) -> float:
    """A value as exact as a person can measure it out."""
    return float(f"{value:.2g}")
