"""From a sheet's data to a PDF: one Typst file per sheet, no network, no fonts of the machine."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any, Literal

import typst

from sourloam.documents.speech import Language, Speech

Paper = Literal["a4", "letter"]
_FONT = "Libertinus Serif"  # comes with the typesetter
_MISSING = re.compile(r"the text `\"(.+?)\"` could not be displayed")
_SIZE = re.compile(r"font-size:([0-9.]+)px")
_LARGER = 1.4  # a narrow serif takes less room than the drawings allow for
_FAMILY = re.compile(r"font-family:[^;\"}]*")


def with_rules(svg: str, rules: str) -> str:
    """A drawing with the styles of paper inside: greys that any printer keeps apart."""
    head, close, rest = svg.partition("</title>")
    return f"{head}{close}<style>{rules}</style>{rest}"


class DocumentError(ValueError):
    """A sheet that can't be printed, and why, in one line; ``letters`` is a text that the printing
    type can't set, where that is why."""

    def __init__(self, line: str, letters: str = "") -> None:
        super().__init__(line)
        self.letters = letters


@dataclass(frozen=True)
class Printing:
    """How a reader wants a sheet.

    ``day`` is the date that stands on it; ``call`` are people to ask, a line each; ``address`` is
    where this place is served, for QR codes (empty if nowhere).
    """

    language: Language = "en"
    paper: Paper = "a4"
    system: Literal["metric", "us"] = "metric"
    day: dt.date | None = None
    call: tuple[str, ...] = field(default=())
    address: str = ""

    @property
    def speech(self) -> Speech:
        """The reader's language and units."""
        return Speech(self.language, self.system)


def typeset(sheet: str, data: Mapping[str, Any], printing: Printing) -> bytes:
    """A PDF/A-2b, PDF/UA-1 file; DocumentError where a text has letters that no font here has."""
    pdf, warnings = typeset_with_warnings(sheet, data, printing)
    if missing := [w for w in warnings if "unknown font" in w]:
        raise DocumentError(missing[0])
    return pdf


def typeset_with_warnings(
    sheet: str, data: Mapping[str, Any], printing: Printing
) -> tuple[bytes, list[str]]:
    """The same, with what the typesetter had to say about it."""
    given = {**data, "paper": printing.paper, "language": printing.language}
    try:
        made, warnings = typst.compile_with_warnings(
            _source("house") + _source(sheet),
            ignore_system_fonts=True,
            format="pdf",
            sys_inputs={"data": json.dumps(given, ensure_ascii=False)},
            pdf_standards=["a-2b", "ua-1"],  # kept for years, and readable aloud,
            timestamp=_stamp(printing.day),
        )
    except typst.TypstError as error:
        raise _why(error) from None
    if not isinstance(made, bytes):
        raise DocumentError(f"{sheet}: the typesetter gave no file")
    return made, [warning.message for warning in warnings]


def for_print(svg: str) -> str:
    """A drawing with the type that the typesetter has, a size that paper wants."""
    sized = _SIZE.sub(lambda found: f"font-size:{float(found[1]) * _LARGER:g}px", svg)
    return _FAMILY.sub(f"font-family:{_FONT}", sized)


@cache
def _source(name: str) -> bytes:
    return files("sourloam.documents").joinpath("sheets", f"{name}.typ").read_bytes()


def _stamp(day: dt.date | None) -> int | None:
    """Seconds since 1970, so that the same sheet is the same file."""
    if day is None:
        return None
    return int(dt.datetime.combine(day, dt.time(), dt.UTC).timestamp())


def _why(error: typst.TypstError) -> DocumentError:
    """One line; missing letters are the usual cause."""
    said = " ".join((error.message or "").split())
    if missing := _MISSING.search(said):
        return DocumentError(
            f"the printing type has no letters for “{missing[1]}”; write it in Latin, Greek or "
            "Cyrillic letters",
            missing[1],
        )
    return DocumentError(f"the sheet could not be set: {said}")
