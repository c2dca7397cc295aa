"""A place as CSV tables: ``place.csv``, and one table for each kind of entry that it has."""

from __future__ import annotations

import csv
import datetime as dt
import difflib
import io
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sourloam.exchange import cells
from sourloam.exchange.bundle import (
    FORMAT,
    MOST_ENTRIES,
    VERSION,
    Bundle,
    check_entries,
    check_version,
    read_facts,
)
from sourloam.exchange.document import parsed
from sourloam.exchange.trouble import ExchangeError, Trouble, Where, at_line, plain, refuse
from sourloam.ledger import KINDS, Entry
from sourloam.ledger.sentences import Sentence
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.site.wording import shown

_HEAD = ("id", "at", "written_at", "supersedes", "received_at", "by")
_NEEDED = ("id", "at", "written_at")
_DELIMITERS = ",;\t"
_LONGEST_HEAD = 60
PLACE = "place.csv"
csv.field_size_limit(1_000_000)  # a place's description is one cell


def tables(bundle: Bundle) -> dict[str, bytes]:
    """File names with their bytes: UTF-8 with the mark by which spreadsheets know it."""
    facts = {"format": FORMAT, "version": str(VERSION), **bundle.place.as_json()}
    made = {PLACE: _file([list(facts), [cells.guarded(v) if v else "" for v in facts.values()]])}
    for kind in KINDS:
        mine = [entry for entry in bundle.entries if entry.kind == kind]
        if mine:
            made[f"{kind}.csv"] = _file(_rows(kind, mine))
    return made


def _file(rows: Iterable[list[str]]) -> bytes:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue().encode("utf-8-sig")


def _rows(kind: str, entries: Iterable[Entry]) -> Iterator[list[str]]:
    columns = cells.columns(kind)
    yield [*_HEAD, *(column.name for column in columns)]
    for entry in entries:
        said = entry.as_json()
        body = said["body"]
        yield [
            *(cells.guarded(said[key]) if key in said else "" for key in _HEAD),
            *(cells.written(_found(body, column), column.sort) for column in columns),
        ]


def _found(body: Mapping[str, Any], column: cells.Column) -> Any:
    value = body.get(column.field)
    return (value or {}).get(column.inner) if column.inner else value


def read_tables(files: Mapping[str, bytes]) -> Bundle:
    """The place in CSV tables; ExchangeError with a line for each row that can't be read."""
    if PLACE not in files:
        raise refuse(_("missing; it names the place"), plain(PLACE))
    _delimiter, rows = _read(PLACE, files[PLACE])
    if len(rows) != 2 or len(rows[0][1]) != len(rows[1][1]):
        raise refuse(_("write one line of headings and one line of values"), plain(PLACE))
    facts = dict(zip(rows[0][1], map(cells.bare, rows[1][1]), strict=True))
    check_version(facts.pop("format", None), facts.pop("version", None))
    place = read_facts(facts)
    wrong: list[Trouble] = []
    found: list[tuple[Where, dict[str, Any]]] = []
    for name in files:
        kind = name.removesuffix(".csv")
        if kind in KINDS and name.endswith(".csv"):
            found += _raws(name, kind, files[name], place.id, wrong)
    if len(found) > MOST_ENTRIES:
        raise refuse(_("more than %(most)d entries"), most=MOST_ENTRIES)
    if wrong:
        raise ExchangeError(wrong)
    entries = check_entries(place, parsed(found))
    return Bundle(place, tuple(sorted(entries, key=_arrival)))


def _arrival(entry: Entry) -> tuple[dt.datetime, dt.datetime, str]:
    return entry.received_at or entry.written_at, entry.written_at, str(entry.id)


def _read(name: str, data: bytes) -> tuple[str, list[tuple[int, list[str]]]]:
    """The delimiter, and each line that holds something with its number."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise refuse(_("not text in UTF-8; save it as CSV UTF-8"), plain(name)) from None
    first = text.partition("\n")[0]
    delimiter = max(_DELIMITERS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        rows = [(reader.line_num, row) for row in reader if any(row)]
    except csv.Error:
        raise refuse(_("no line of a CSV file"), plain(name), at_line(reader.line_num)) from None
    return delimiter, rows


def _raws(
    name: str, kind: str, data: bytes, place: str, wrong: list[Trouble]
) -> Iterator[tuple[Where, dict[str, Any]]]:
    delimiter, rows = _read(name, data)
    if not rows:
        return
    heads = rows[0][1]
    known = {column.name: column for column in cells.columns(kind)}
    odd = _wrong_heads(name, heads, known)
    if odd:
        wrong += odd
        return
    for number, row in rows[1:]:
        where = (plain(name), at_line(number))
        if len(row) > len(heads):
            many = _("%(cells)d cells under %(heads)d headings")
            said = Sentence.of(many, cells=len(row), heads=len(heads))
            wrong.append(Trouble(said, where))
            continue
        try:
            raw = _raw(dict(zip(heads, row, strict=False)), known, delimiter != ",")
        except ExchangeError as error:
            wrong += [Trouble(one.said, (*where, *one.where)) for one in error.troubles]
        else:
            yield where, raw | {"place": place, "kind": kind}


def _wrong_heads(name: str, heads: list[str], known: Mapping[str, cells.Column]) -> list[Trouble]:
    file = plain(name)
    odd = [head for head in heads if head not in known and head not in _HEAD]
    wrong = [Trouble(_unknown(head, [*_HEAD, *known]), (file, _heading(head))) for head in odd]
    missing = (head for head in _NEEDED if head not in heads)
    wrong += [Trouble(Sentence(_("missing")), (file, _heading(head))) for head in missing]
    if len(set(heads)) < len(heads):
        wrong.append(Trouble(Sentence(_("a heading stands twice")), (file,)))
    return wrong


def _heading(head: str) -> Sentence:
    return Sentence.of(_("heading %(head)s"), head=shown(head))


def _unknown(head: str, known: list[str]) -> Sentence:
    near = difflib.get_close_matches(head[:_LONGEST_HEAD].lower(), known, n=1)
    if not near:
        return Sentence(_("unknown"))
    return Sentence.of(_("unknown; did you mean %(near)s?"), near=near[0])


def _raw(row: Mapping[str, str], known: Mapping[str, cells.Column], comma: bool) -> dict[str, Any]:
    raw: dict[str, Any] = {k: cells.bare(row[k]) for k in _HEAD if row.get(k)}
    body: dict[str, Any] = {}
    for name, cell in row.items():
        if name in _HEAD or not cell:
            continue
        column = known[name]
        try:
            value = cells.read(cell, column.sort, comma)
        except cells.CellError as error:
            raise refuse(str(error), plain(name), found=shown(cell)) from None
        if column.inner:
            body.setdefault(column.field, {})[column.inner] = value
        else:
            body[column.field] = value
    return raw | {"body": body}
