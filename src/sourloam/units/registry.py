"""Names of units, and their size in the unit that Sourloam computes in.

The registry holds only what people may write here, as the library's own list of a thousand units
takes a second to read. It is built once a process and only when asked for. Definitions that differ
between countries come from the evidence table ``units``; those below are the SI's.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pint

from sourloam.evidence import book

#: The unit each dimension is carried in. Time is counted in days, temperature in °C.
UNITS: dict[str, str] = {
    "mass": "kg",
    "small_mass": "kg",
    "volume": "m3",
    "small_volume": "m3",
    "length": "m",
    "small_length": "m",
    "area": "m2",
    "temperature": "°C",
    "temperature_difference": "K",
    "density": "kg/m3",
    "mass_per_area": "kg/m2",
    "mass_rate": "kg/day",
    "volume_rate": "m3/day",
    "share": "1",
    "duration": "day",
    "ratio": "1",
    "dose": "kg/kg",
    "yield": "m3/kg",
}

#: The name in the registry for each spelling; tried as written first, then in small letters.
_SPELLINGS: dict[str, tuple[str, ...]] = {
    "kilogram": ("kg", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"),
    "gram": ("g", "gram", "grams", "gramme", "grammes"),
    "milligram": ("mg", "milligram", "milligrams"),
    "metric_ton": ("t", "tonne", "tonnes", "Mg"),
    "book_pound": ("lb", "lbs", "pound", "pounds"),
    "book_ounce": ("oz", "ounce", "ounces"),
    "liter": ("l", "litre", "litres", "liter", "liters"),
    "milliliter": ("ml", "millilitre", "millilitres", "milliliter", "milliliters", "cc"),
    "centiliter": ("cl",),
    "deciliter": ("dl",),
    "meter**3": ("m3", "m³", "m^3", "cubic metre", "cubic metres", "cubic meter", "cubic meters"),
    "centimeter**3": ("cm3", "cm³", "cm^3"),
    "book_foot**3": ("ft3", "ft³", "cubic foot", "cubic feet", "cu ft"),
    "book_yard**3": ("yd3", "yd³", "cubic yard", "cubic yards", "cu yd"),
    "meter": ("m", "metre", "metres", "meter", "meters"),
    "centimeter": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "millimeter": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "book_inch": ("in", "inch", "inches", '"', "″"),
    "book_foot": ("ft", "foot", "feet", "'", "′"),
    "book_yard": ("yd", "yard", "yards"),
    "meter**2": ("m2", "m²", "m^2", "square metre", "square metres", "square meter", "sq m"),
    "centimeter**2": ("cm2", "cm²", "cm^2"),
    "hectare": ("ha", "hectare", "hectares"),
    "book_foot**2": ("ft2", "ft²", "ft^2", "sq ft", "square foot", "square feet"),
    "book_yard**2": ("yd2", "yd²", "sq yd", "square yard", "square yards"),
    "degree_Celsius": ("°c", "degc", "deg c", "celsius", "c", "℃"),
    "degree_Fahrenheit": ("°f", "degf", "deg f", "fahrenheit", "f", "℉"),
    "kelvin": ("k", "kelvin"),
    "day": ("d", "day", "days"),
    "hour": ("h", "hr", "hrs", "hour", "hours"),
    "minute": ("min", "minute", "minutes"),
    "week": ("week", "weeks", "wk"),
    "book_year": ("year", "years", "yr", "a"),
    "percent": ("%", "percent", "per cent"),
    "book_us_gallon": ("us gal", "us gallon", "us gallons"),
    "book_us_quart": ("us qt", "us quart", "us quarts"),
    "book_us_pint": ("us pt", "us pint", "us pints"),
    "book_us_cup": ("us cup", "us cups"),
    "book_us_fluid_ounce": ("us fl oz", "us fluid ounce", "us fluid ounces"),
    "book_us_tablespoon": ("us tbsp", "us tablespoon", "us tablespoons"),
    "book_us_teaspoon": ("us tsp", "us teaspoon", "us teaspoons"),
    "book_imperial_gallon": ("imp gal", "imperial gallon", "imperial gallons", "uk gal"),
    "book_imperial_pint": ("imp pt", "imperial pint", "imperial pints", "uk pint"),
    "book_imperial_cup": ("imp cup", "imperial cup"),
    "book_imperial_fluid_ounce": ("imp fl oz", "imperial fluid ounce", "uk fl oz"),
    "book_metric_cup": ("metric cup", "metric cups"),
    "book_metric_tablespoon": ("metric tbsp", "metric tablespoon", "metric tablespoons"),
    "book_metric_teaspoon": ("metric tsp", "metric teaspoon", "metric teaspoons"),
    "book_australian_tablespoon": ("au tbsp", "australian tbsp", "australian tablespoon"),
    "book_uk_tablespoon": ("uk tbsp", "uk tablespoon", "uk tablespoons"),
    "book_canadian_tablespoon": ("canadian tbsp", "canadian tablespoon"),
}
_DEFINITIONS = (
    "meter = [length] = m",
    "gram = [mass] = g",
    "second = [time] = s",
    "kelvin = [temperature]; offset: 0 = K",
    "kilo- = 1e3 = k-",
    "deci- = 1e-1 = d-",
    "centi- = 1e-2 = c-",
    "milli- = 1e-3 = m-",
    "liter = 1e-3 * meter**3 = L",
    "hectare = 1e4 * meter**2",
    "metric_ton = 1e3 * kilogram",
    "minute = 60 * second",
    "hour = 60 * minute",
    "day = 24 * hour",
    "week = 7 * day",
    "percent = 0.01",
    "degree_Celsius = kelvin; offset: 273.15",
    "degree_Fahrenheit = 5 / 9 * kelvin; offset: 459.67 * 5 / 9",
)
_NAMES = {spelling: name for name, all_of in _SPELLINGS.items() for spelling in all_of}

#: Words that mean different amounts in different countries, and what to write instead.
AMBIGUOUS: dict[str, tuple[str, ...]] = {
    "gal": ("US gal", "imp gal"),
    "qt": ("US qt", "L"),
    "pt": ("US pt", "imp pt"),
    "cup": ("US cup", "metric cup", "imp cup"),
    "fl oz": ("US fl oz", "imp fl oz"),
    "tbsp": ("US tbsp", "metric tbsp", "australian tbsp", "uk tbsp"),
    "tsp": ("US tsp", "metric tsp"),
    "ton": ("t (1000 kg)", "lb"),
}
_AMBIGUOUS_SPELLINGS = {
    "gallon": "gal", "gallons": "gal", "gals": "gal", "quart": "qt", "quarts": "qt",
    "pint": "pt", "pints": "pt", "cups": "cup", "floz": "fl oz", "fluid ounce": "fl oz",
    "fluid ounces": "fl oz", "T": "tbsp", "tbs": "tbsp", "tbsps": "tbsp",
    "tablespoon": "tbsp", "tablespoons": "tbsp", "tsps": "tsp", "teaspoon": "tsp",
    "teaspoons": "tsp", "tons": "ton",
}  # fmt: skip


@cache
def registry() -> Any:
    """The one registry of the process, with the measures of the evidence table added."""
    made: Any = pint.UnitRegistry(list(_DEFINITIONS), cache_folder=None)
    for row in book().topic("units"):
        made.define(f"book_{row.id.split('.', 1)[1]} = {row.value!r} * {row.unit}")
    made.define("book_year = 365.25 * day")
    return made


def canonical(spelling: str) -> str | None:
    """Name in the registry for one spelling of a plain unit; None if it is not known."""
    return _NAMES.get(spelling) or _NAMES.get(spelling.lower())


def choices(spelling: str) -> tuple[str, ...]:
    """What an ambiguous word may mean; empty if the word is clear or unknown."""
    word = _AMBIGUOUS_SPELLINGS.get(spelling) or _AMBIGUOUS_SPELLINGS.get(spelling.lower())
    return AMBIGUOUS.get(word or spelling.lower(), ())


@cache
def factor(spelling: str, dimension: str) -> float:
    """How many of the dimension's own unit one ``spelling`` holds (no temperatures)."""
    top, _, bottom = spelling.partition("/")
    own_top, _, own_bottom = UNITS[dimension].partition("/")
    units = registry()
    size = units.Quantity(1.0, canonical(top) or "dimensionless")
    own = units.Quantity(1.0, canonical(own_top) or "dimensionless")
    if bottom:
        size = size / units.Quantity(1.0, canonical(bottom))
    if own_bottom:
        own = own / units.Quantity(1.0, canonical(own_bottom))
    return float((size / own).to("dimensionless").magnitude)
