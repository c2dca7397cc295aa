"""Any spreadsheet saved as CSV: its delimiter, its headings, its rows."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from sourloam.exchange.trouble import at_line, refuse
from sourloam.ledger.sentences import gettext_noop as _

MOST_BYTES = 2_000_000
_MOST_ROWS, _MOST_COLUMNS, _LONGEST_CELL = 20_000, 60, 2000
_DELIMITERS = ",;\t|"
#: What a column holds, by words of its heading; the first that fits.
_WORDS = {
    "note": "note notes remark remarks comment comments nota notas comentario",
    "bran": "bran salvado",
    "unit": "unit units unidad unidades",
    "date": "date day when fecha dia cuando",
    "time": "time hour hora",
    "vessel": "vessel bucket bin pail container drum tub barrel recipiente cubo cubeta bote",
    "kind": "kind type what mix sort tipo clase mezcla",
    "amount": "kg kgs kilo kilos kilogram kilograms lb lbs pound pounds g gram grams oz ounce "
    "ounces bowl bowls bowlful bowlfuls weight mass amount scraps count peso masa cantidad restos "
    "kilogramo kilogramos libra libras gramo gramos onza onzas tazon tazones cuenco cuencos",
}
_NEEDED = {
    "date": _("no column for the date among the headings %(found)s; call it date"),
    "amount": _("no column for the amount among the headings %(found)s; call it kg, lb or bowls"),
}
_ROLES = tuple((role, frozenset(words.split())) for role, words in _WORDS.items())


@dataclass(frozen=True)
class Sheet:
    """Headings by what they hold (its column and its words), and rows with their line numbers."""

    columns: dict[str, tuple[int, str]]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    delimiter: str

    def cell(self, row: tuple[str, ...], role: str) -> str:
        """What a row holds of a role, "" where nothing."""
        found = self.columns.get(role)
        return row[found[0]].strip() if found and found[0] < len(row) else ""

    def each(self, role: str) -> Iterable[str]:
        """Every cell of a role."""
        return (self.cell(row, role) for _number, row in self.rows)


def words_of(text: str) -> list[str]:
    """Plain small words of a heading or a unit, without marks over letters."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.findall(r"[a-z]+", plain)


def read_sheet(data: bytes) -> Sheet:
    """The sheet in a CSV file's bytes; ExchangeError, one line, where there is none."""
    if len(data) > MOST_BYTES:
        most = MOST_BYTES // 1_000_000
        raise refuse(_("larger than %(most)d MB; cut it into parts"), most=most)
    rows, delimiter = _rows(text_of(data))
    if len(rows) < 2:
        raise refuse(_("write one line of headings, and below it a line for each weighing"))
    if len(rows) > _MOST_ROWS:
        raise refuse(_("more than %(most)d lines; cut it into parts"), most=_MOST_ROWS)
    columns = _columns(rows[0][1])
    for role, missing in _NEEDED.items():
        if role not in columns:
            raise refuse(missing, found=", ".join(rows[0][1])[:120])
    return Sheet(columns, tuple(rows[1:]), delimiter)


def text_of(data: bytes) -> str:
    """UTF-8, else what older spreadsheets write."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings: tuple[str, ...] = ("utf-16",)
    else:
        encodings = ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise refuse(_("no text; save the sheet as CSV, not as a workbook"))


def _rows(text: str) -> tuple[list[tuple[int, tuple[str, ...]]], str]:
    first = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = max(_DELIMITERS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    rows: list[tuple[int, tuple[str, ...]]] = []
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                rows.append((reader.line_num, tuple(row)))
            if len(row) > _MOST_COLUMNS or any(len(cell) > _LONGEST_CELL for cell in row):
                many = _("too many columns, or a cell too long")
                raise refuse(many, at_line(reader.line_num))
            if len(rows) > _MOST_ROWS + 1:
                break
    except csv.Error:
        raise refuse(_("no line of a CSV file"), at_line(reader.line_num)) from None
    return rows, delimiter


def _columns(headings: tuple[str, ...]) -> dict[str, tuple[int, str]]:
    found: dict[str, tuple[int, str]] = {}
    for place, heading in enumerate(headings):
        said = set(words_of(heading))
        role = next((role for role, known in _ROLES if said & known), None)
        if role is not None:
            found.setdefault(role, (place, heading.strip()))
    return found
