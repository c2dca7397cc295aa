"""From a spreadsheet of weighings to layers of the log: what each row says, or why it can't."""

from __future__ import annotations

import datetime as dt
import re
import uuid
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from sourloam import units
from sourloam.exchange.sheet import Sheet, words_of
from sourloam.ledger import Entry, EntryError, PlaceState, parse_entry
from sourloam.ledger.sentences import Sentence, gettext_noop
from sourloam.scraps import PRESETS

Ask = Literal["day_first", "comma", "unit", "vessel", "measure"]
_FAMILY = uuid.uuid5(uuid.NAMESPACE_URL, "tag:sourloam,2026:weighings")
_NOON = dt.time(12)
_UNITS = {
    "kg": "kg kgs kilo kilos kilogram kilograms kilogramo kilogramos",
    "lb": "lb lbs pound pounds libra libras",
    "g": "g gr gram grams gramo gramos",
    "oz": "oz ounce ounces onza onzas",
    "bowl": "bowl bowls bowlful bowlfuls tazon tazones cuenco cuencos",
}
_UNIT_OF = {word: unit for unit, words in _UNITS.items() for word in words.split()}
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?")
_SPOKEN = re.compile(r"(\d{1,2})([-/.])(\d{1,2})[-/.](\d{2}|\d{4})(?: .*)?")
_CLOCK = re.compile(r"(\d{1,2})[:.h](\d{2})(?::\d{2})?")
_AMOUNT = re.compile(r"(\d[\d.,]*)\s*([^\d\s.,].*)?")
_DATE = gettext_noop("%(found)s is no date; write it as 2026-03-01")
_ORDER = gettext_noop("%(found)s fits no order of day and month that the other lines have")
_AHEAD = gettext_noop("%(found)s lies ahead")
_TIME = gettext_noop("%(found)s is no time; write it as 18:30")
_NUMBER = gettext_noop("%(found)s is no amount; write a number above 0")
_NO_UNIT = gettext_noop("%(found)s: in which unit? write kg, lb, g, oz or bowls")
_VESSEL = gettext_noop(
    "%(found)s: no vessel of that name; put it on the shelf first, or correct it"
)
_NAMELESS = gettext_noop("which vessel?")
_MEASURE = gettext_noop("no bowl was weighed yet; set a measure first, or write kg")
_BRAN = gettext_noop("%(found)s is no amount of bran; write grams")
_REFUSED = gettext_noop("it can't be a layer: %(found)s")


@dataclass(frozen=True)
class Choice:
    """What the person said where a sheet leaves it open; ids of a vessel and of a measure."""

    day_first: bool | None = None
    comma: bool | None = None
    unit: str | None = None
    vessel: str | None = None
    measure: str | None = None


@dataclass(frozen=True)
class Row:
    """One line of the sheet: its number there, the layer it becomes, or what is wrong with it."""

    number: int
    said: str
    entry: Entry | None = None
    problem: Sentence | None = None


@dataclass(frozen=True)
class Weighings:
    """All lines, and what must be asked before any can come in."""

    rows: tuple[Row, ...]
    asks: tuple[Ask, ...] = ()
    columns: Mapping[str, str] = field(default_factory=dict)

    @property
    def good(self) -> tuple[Entry, ...]:
        """The layers, once nothing is left to ask."""
        return () if self.asks else tuple(row.entry for row in self.rows if row.entry)

    @property
    def bad(self) -> tuple[Row, ...]:
        """Lines that can't come in."""
        return tuple(row for row in self.rows if row.problem)


class _Wrong(Exception):
    def __init__(self, msgid: str, found: str = "") -> None:
        super().__init__(msgid)
        self.sentence = Sentence.of(msgid, found=f"“{found[:60]}”") if found else Sentence(msgid)


@dataclass(frozen=True)
class _Reader:
    sheet: Sheet
    place: str
    state: PlaceState
    zone: dt.tzinfo
    today: dt.date
    choice: Choice
    day_first: bool | None
    comma: bool

    def body(self, row: tuple[str, ...]) -> tuple[dt.datetime, dict[str, Any]]:
        at = self.at(row)
        body: dict[str, Any] = {"vessel": self.vessel(row), "amount": self.amount(row)}
        note, kind = self.sheet.cell(row, "note"), self.sheet.cell(row, "kind")
        mix = "_".join(words_of(kind))
        if mix in PRESETS:
            body["kinds"] = mix
        elif kind:
            note = f"{kind}; {note}" if note else kind
        bran = self.sheet.cell(row, "bran")
        if bran:
            body["bran_g"] = self.bran_g(bran)
        return at, body | ({"note": note} if note else {})

    def at(self, row: tuple[str, ...]) -> dt.datetime:
        said = self.sheet.cell(row, "date")
        day = _day(said, self.day_first)
        if day > self.today:
            raise _Wrong(_AHEAD, said)
        clock = self.sheet.cell(row, "time")
        found = _CLOCK.fullmatch(clock)
        if clock and (found is None or int(found[1]) > 23 or int(found[2]) > 59):
            raise _Wrong(_TIME, clock)
        time = dt.time(int(found[1]), int(found[2])) if found else _NOON
        return dt.datetime.combine(day, time, self.zone)

    def vessel(self, row: tuple[str, ...]) -> str:
        said = self.sheet.cell(row, "vessel")
        if not said:
            if self.choice.vessel is None:
                raise _Wrong(_NAMELESS)
            return self.choice.vessel
        wanted = said.casefold()
        named = [v.id for v in self.state.vessels if wanted in (v.name.casefold(), v.id)]
        if len(named) != 1:
            raise _Wrong(_VESSEL, said)
        return named[0]

    def amount(self, row: tuple[str, ...]) -> dict[str, Any]:
        said = self.sheet.cell(row, "amount")
        found = _AMOUNT.fullmatch(said)
        number = None if found is None else _number(found[1], self.comma)
        if found is None or number is None or not number > 0:
            raise _Wrong(_NUMBER, said or "–")
        unit = _unit(found[2] or "") or _unit(self.sheet.cell(row, "unit"))
        unit = unit or _unit(self.sheet.columns["amount"][1]) or self.choice.unit
        if unit is None or (found[2] and _unit(found[2]) is None):
            raise _Wrong(_NO_UNIT, said)
        if unit == "bowl":
            measure = _measure(self.state, self.choice)
            if measure is None:
                raise _Wrong(_MEASURE)
            return {"measure": measure, "count": number}
        return {"mass_kg": round(units.parse(f"{number!r} {unit}", "mass"), 6)}

    def bran_g(self, said: str) -> float:
        found = _AMOUNT.fullmatch(said)
        number = None if found is None else _number(found[1], self.comma)
        if found is None or number is None:
            raise _Wrong(_BRAN, said)
        unit = _unit(found[2] or "") or _unit(self.sheet.columns["bran"][1]) or "g"
        if unit == "bowl":
            raise _Wrong(_BRAN, said)
        return round(1000 * units.parse(f"{number!r} {unit}", "mass"), 3)


def weighings(
    sheet: Sheet,
    place: str,
    state: PlaceState,
    zone: dt.tzinfo,
    today: dt.date,
    choice: Choice | None = None,
) -> Weighings:
    """Each line as a layer of the place ``place``, whose state tells vessels and measures.

    The same line always makes the same entry, so that a sheet that comes in twice adds nothing.
    A day without a time is its noon in ``zone``.
    """
    choice = choice or Choice()
    day_first, comma = _day_first(sheet, choice), _comma(sheet, choice)
    asks = _asks(sheet, state, choice, day_first, comma)
    reader = _Reader(sheet, place, state, zone, today, choice, day_first, bool(comma))
    seen: Counter[str] = Counter()
    rows = tuple(_row(reader, number, row, seen) for number, row in sheet.rows)
    return Weighings(rows, asks, {role: words for role, (_, words) in sheet.columns.items()})


def _row(reader: _Reader, number: int, row: tuple[str, ...], seen: Counter[str]) -> Row:
    said = " · ".join(cell.strip() for cell in row if cell.strip())[:120]
    try:
        at, body = reader.body(row)
        return Row(number, said, _entry(reader.place, at, body, seen))
    except _Wrong as wrong:
        return Row(number, said, problem=wrong.sentence)
    except (EntryError, units.UnitError, OverflowError) as error:
        return Row(number, said, problem=Sentence.of(_REFUSED, found=str(error)))


def _entry(place: str, at: dt.datetime, body: dict[str, Any], seen: Counter[str]) -> Entry:
    said = f"{place}\n{at.isoformat()}\n{sorted(body.items())}"
    seen[said] += 1
    raw = {
        "id": str(uuid.uuid5(_FAMILY, f"{said}\n{seen[said]}")),
        "place": place,
        "kind": "fed",
        "at": at.isoformat(),
        "written_at": at.isoformat(),  # the sheet was the first to hold it
        "body": body,
    }
    return parse_entry(raw)


def _asks(
    sheet: Sheet, state: PlaceState, choice: Choice, day_first: bool | None, comma: bool | None
) -> tuple[Ask, ...]:
    asks: list[Ask] = []
    if day_first is None and any(_ambiguous(cell) for cell in sheet.each("date")):
        asks.append("day_first")
    if comma is None:
        asks.append("comma")
    unit = _unit(sheet.columns["amount"][1]) or choice.unit
    said = [_unit(sheet.cell(row, "unit")) or _own_unit(sheet, row) for _n, row in sheet.rows]
    if unit is None and not all(said):
        asks.append("unit")
    if choice.vessel is None and any(not cell for cell in sheet.each("vessel")):
        asks.append("vessel")
    bowls = unit == "bowl" or "bowl" in said
    if bowls and _measure(state, choice) is None and state.stores.measures:
        asks.append("measure")
    return tuple(asks)


def _own_unit(sheet: Sheet, row: tuple[str, ...]) -> str | None:
    found = _AMOUNT.fullmatch(sheet.cell(row, "amount"))
    return _unit(found[2]) if found and found[2] else None


def _unit(text: str) -> str | None:
    """The unit that a heading or the end of a cell names."""
    return next((_UNIT_OF[word] for word in words_of(text) if word in _UNIT_OF), None)


def _measure(state: PlaceState, choice: Choice) -> str | None:
    known = [record.body.measure for record in state.stores.measures]
    if choice.measure is not None:
        return choice.measure if choice.measure in known else None
    return known[0] if len(known) == 1 else None


def _day_first(sheet: Sheet, choice: Choice) -> bool | None:
    """Whether the day comes before the month: said, else as the sheet's own dates tell."""
    if choice.day_first is not None:
        return choice.day_first
    pairs = [
        (int(m[1]), m[2], int(m[3])) for c in sheet.each("date") if (m := _SPOKEN.fullmatch(c))
    ]
    day = any(a > 12 or dot == "." for a, dot, _ in pairs)
    month = any(b > 12 for _, _, b in pairs)
    return None if day == month else day


def _ambiguous(cell: str) -> bool:
    found = _SPOKEN.fullmatch(cell)
    return found is not None and found[1].lstrip("0") != found[3].lstrip("0")


def _day(said: str, day_first: bool | None) -> dt.date:
    iso, spoken = _ISO.fullmatch(said), _SPOKEN.fullmatch(said)
    if iso is not None:
        year, month, day = (int(part) for part in iso.groups()[:3])
    elif spoken is not None:
        first, second = int(spoken[1]), int(spoken[3])
        day, month = (second, first) if day_first is False else (first, second)
        year = int(spoken[4]) + (2000 if len(spoken[4]) == 2 else 0)
    else:
        raise _Wrong(_DATE, said or "–")
    try:
        return dt.date(year, month, day)
    except ValueError:
        raise _Wrong(_ORDER if spoken and 12 < max(first, second) <= 31 else _DATE, said) from None


def _comma(sheet: Sheet, choice: Choice) -> bool | None:
    """Whether decimals stand after a comma; None where only a person can tell."""
    if choice.comma is not None:
        return choice.comma
    found = [m[1] for cell in sheet.each("amount") if (m := _AMOUNT.fullmatch(cell))]
    if any(re.fullmatch(r"\d+(\.\d{3})*,(\d{1,2}|\d{4,})|\d+(\.\d{3})+,\d+", one) for one in found):
        return True
    if any("." in one for one in found) or not any("," in one for one in found):
        return False
    return True if sheet.delimiter != "," else None  # 1,500: one and a half, or many


def _number(text: str, comma: bool) -> float | None:
    plain = text.replace(".", "").replace(",", ".") if comma else text.replace(",", "")
    return float(plain) if re.fullmatch(r"\d+(\.\d*)?", plain) and len(plain) < 20 else None
