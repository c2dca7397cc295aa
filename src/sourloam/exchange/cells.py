"""Values of an entry's body as cells of a table, and back, without loss.

A text that a spreadsheet would take for a formula gets an apostrophe before it; so does one that
begins with an apostrophe, and the empty text is an apostrophe alone. An empty cell is no value.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from sourloam.ledger import KINDS
from sourloam.ledger.sentences import gettext_noop as _

_RISKY = tuple("=+-@\t\r'＝＋－＠")
_NUMBER = re.compile(r"-?\d+(\.\d+)?([eE][+-]?\d+)?")
_INNER = "."  # between a section and its field


class CellError(ValueError):
    """A cell can't be read; the text is a message id that takes what was ``found``."""


@dataclass(frozen=True)
class Column:
    """One column: the field, the field inside it if it is a section, and what its cells hold."""

    field: str
    inner: str
    sort: str

    @property
    def name(self) -> str:
        """Heading of the column."""
        return f"{self.field}{_INNER}{self.inner}" if self.inner else self.field


@lru_cache(maxsize=64)
def columns(kind: str) -> tuple[Column, ...]:
    """Columns of the body of a kind of entry."""
    schema = KINDS[kind].body.model_json_schema(by_alias=True)
    found: list[Column] = []
    for name, part in schema.get("properties", {}).items():
        inside = _section(part, schema)
        if inside is None:
            found.append(Column(name, "", _sort(part)))
        else:
            found += [Column(name, inner, _sort(p)) for inner, p in inside.items()]
    return tuple(found)


def _section(part: Mapping[str, Any], schema: Mapping[str, Any]) -> Mapping[str, Any] | None:
    """Fields of a section that stands inside a body."""
    ways = [way for way in part.get("anyOf", [part]) if way != {"type": "null"}]
    reference = ways[0].get("$ref", "") if len(ways) == 1 else ""
    inside = schema.get("$defs", {}).get(reference.rpartition("/")[2], {})
    found: Mapping[str, Any] | None = inside.get("properties")
    return found


def _sort(part: Mapping[str, Any]) -> str:
    sorts = {way.get("type", "object") for way in part.get("anyOf", [part])} - {"null"}
    if sorts <= {"number", "integer"}:
        return "number"
    if sorts == {"string"}:
        return "text"
    if sorts == {"boolean"}:
        return "boolean"
    if sorts == {"array"} and part.get("items", {}).get("type") == "string":
        return "words"
    return "text or table" if "string" in sorts else "table"


def guarded(text: str) -> str:
    """A text as a spreadsheet may hold it without taking it for a formula."""
    return f"'{text}" if not text or text.startswith(_RISKY) else text


def bare(cell: str) -> str:
    """The text of a guarded cell."""
    return cell[1:] if cell.startswith("'") else cell


def written(value: Any, sort: str) -> str:
    """A value as a cell."""
    if value is None:
        return ""
    if isinstance(value, str):
        return guarded(value)
    if sort == "words" and value and not any(" " in w or w.startswith("[") for w in value):
        return guarded(" ".join(value))
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def read(cell: str, sort: str, comma: bool = False) -> Any:
    """The value of a cell; CellError with what would be right. ``comma`` allows 1,5 for 1.5."""
    if sort == "number":
        plain = cell.strip().replace(",", ".") if comma else cell.strip()
        if not _NUMBER.fullmatch(plain):
            raise CellError(_("found %(found)s; write a plain number, such as 1.5"))
        whole = plain.lstrip("-").isdigit() and len(plain) < 40
        return int(plain) if whole else float(plain)
    if sort == "boolean":
        if cell.strip().lower() not in ("true", "false"):
            raise CellError(_("found %(found)s; write true or false"))
        return cell.strip().lower() == "true"
    if cell.startswith(("{", "[")) and sort != "text":
        try:
            return json.loads(cell)
        except (ValueError, RecursionError):
            raise CellError(_("found %(found)s; this is no JSON")) from None
    if sort == "words":
        return bare(cell).split()
    return bare(cell)
