"""From what a person wrote to a plain number."""

from __future__ import annotations

import math
import re
from fractions import Fraction

import pint

from sourloam.units.registry import UNITS, canonical, choices, factor

_LARGEST = 1e9
_SIGNED = {"temperature", "temperature_difference"}
_PLAIN = {"share", "ratio"}
_VULGAR = {"¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3"}
_NUMBER = re.compile(
    r"\s*(?P<sign>[-+−]?)\s*"
    r"(?:(?P<whole>\d+)\s+(?P<mixed>\d+/\d+)|(?P<fraction>\d+/\d+)"
    r"|(?P<plain>(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?))"
    r"\s*(?P<unit>.*?)\s*",
)
_RATIO = re.compile(r"\s*1\s*:\s*(\d+\.?\d*|\.\d+)\s*")
_COUNTRY_LAST = re.compile(
    r"(?P<unit>[a-z ]+?) \(?(?P<country>us|uk|imp|imperial|metric|au|australian)\)?",
    re.IGNORECASE,
)
_EXAMPLES = {
    "mass": "2.5 kg or 5.5 lb",
    "small_mass": "30 g or 1 oz",
    "volume": "19 L or 5 US gal",
    "small_volume": "90 mL or 2 US tbsp",
    "length": "1.2 m or 4 ft",
    "small_length": "300 mm or 12 in",
    "area": "3 m2 or 30 sq ft",
    "temperature": "20 °C or 68 °F",
    "temperature_difference": "5 K",
    "density": "250 kg/m3 or 0.25 kg/L",
    "mass_per_area": "150 g/m2",
    "mass_rate": "0.3 kg/day",
    "volume_rate": "30 mL/day",
    "share": "70 % or 0.7",
    "duration": "14 days or 2 weeks",
    "ratio": "1:100",
    "dose": "20 g/kg",
    "yield": "100 mL/kg",
}


class UnitError(ValueError):
    """What was written cannot be read as the quantity asked for; the message says why."""


def parse(given: str | float, dimension: str, default_unit: str | None = None) -> float:
    """Number in the dimension's own unit (``UNITS``) for what a person wrote.

    ``given`` is text such as "19 L", "2 1/2 US tbsp", "1:100", or a bare number, which is
    read in ``default_unit`` and refused without one (a share or ratio needs none).
    Raises UnitError with one clear line: for a word that differs between countries, a unit of
    the wrong kind, an unreadable, negative, infinite or absurdly large number; KeyError for
    an unknown ``dimension``.
    """
    own = UNITS[dimension]
    if isinstance(given, bool) or not isinstance(given, str | int | float):
        raise UnitError(f"{given!r}: expected text such as {_EXAMPLES[dimension]}")
    if dimension == "ratio" and isinstance(given, str) and (match := _RATIO.fullmatch(given)):
        return _checked(float(match[1]), given, dimension)
    number, unit = _split(given, dimension)
    unit = unit or default_unit or ("1" if dimension in _PLAIN else "")
    if not unit:
        raise UnitError(f"{given!r}: give a unit, for example {_EXAMPLES[dimension]}")
    value = number if unit == "1" == own else _converted(number, unit, dimension, str(given))
    return _checked(value, given, dimension)


def _split(given: str | float, dimension: str) -> tuple[float, str]:
    if not isinstance(given, str):
        return float(given), ""
    text = given
    for sign, fraction in _VULGAR.items():
        text = text.replace(sign, fraction)
    match = _NUMBER.fullmatch(text)
    if len(given) > 60 or not match or match["unit"].startswith(","):
        hint = "; write decimals with a point" if "," in given[:60] else ""
        shown = given if len(given) <= 60 else given[:60] + "…"
        raise UnitError(f"{shown!r} is no quantity: expected {_EXAMPLES[dimension]}{hint}")
    return _number(match, given), match["unit"]


def _number(match: re.Match[str], given: str) -> float:
    try:
        if match["plain"]:
            size = float(match["plain"])
        else:
            size = float(Fraction(match["mixed"] or match["fraction"])) + float(match["whole"] or 0)
    except ZeroDivisionError:
        raise UnitError(f"{given!r} divides by zero") from None
    return -size if match["sign"] in ("-", "−") else size


def _converted(number: float, unit: str, dimension: str, given: str) -> float:
    top, bottom = _sides(unit)
    for word in (top, bottom) if "/" in unit or bottom else (top,):
        _refuse_unclear(word, dimension, given, number)
    if dimension == "temperature":
        return _celsius(number, top if not bottom else unit, given)
    spelled = f"{top}/{bottom}" if bottom else top
    if dimension == "temperature_difference":
        spelled = {"degree_Celsius": "K", "degree_Fahrenheit": "F"}.get(
            canonical(top) or "", spelled
        )
        if spelled == "F":
            return number * 5 / 9
    try:
        return number * factor(spelled, dimension)
    except (pint.DimensionalityError, pint.OffsetUnitCalculusError):
        raise _wrong_kind(given, dimension) from None


def _sides(unit: str) -> tuple[str, str]:
    plain = unit.replace(".", "").replace("º", "°")
    top, _, bottom = re.sub(r"\s+per\s+|\s*/\s*", "/", plain).partition("/")
    return _country_first(top), _country_first(bottom)


def _country_first(word: str) -> str:
    """ "gal (US)" and "gal US" read as "US gal"."""
    words = " ".join(word.split())
    if match := _COUNTRY_LAST.fullmatch(words):
        return f"{match['country']} {match['unit']}"
    return words


def _refuse_unclear(word: str, dimension: str, given: str, number: float) -> None:
    if meant := choices(word):
        options = " or ".join(f"{number:g} {option}" for option in meant)
        raise UnitError(f"{given!r}: {word!r} differs between countries; write {options}")
    if canonical(word) is None:
        raise UnitError(f"{given!r}: unknown unit {word!r}; expected {_EXAMPLES[dimension]}")


def _wrong_kind(given: str, dimension: str) -> UnitError:
    needed = dimension.replace("_", " ")
    return UnitError(f"{given!r} is no {needed}: expected {_EXAMPLES[dimension]}")


def _celsius(number: float, unit: str, given: str) -> float:
    name = canonical(unit)
    if name == "degree_Celsius":
        return number
    if name == "degree_Fahrenheit":
        return (number - 32) * 5 / 9
    if name == "kelvin":
        return number - 273.15
    raise _wrong_kind(given, "temperature")


def _checked(value: float, given: str | float, dimension: str) -> float:
    if not math.isfinite(value):
        raise UnitError(f"{given!r}: expected a finite number, for example {_EXAMPLES[dimension]}")
    if abs(value) > _LARGEST:
        raise UnitError(f"{given!r}: too large for a {dimension.replace('_', ' ')}")
    if value < 0 and dimension not in _SIGNED:
        raise UnitError(f"{given!r}: must not be below 0")
    if dimension == "temperature" and value < -273.15:
        raise UnitError(f"{given!r}: below absolute zero")
    return value
