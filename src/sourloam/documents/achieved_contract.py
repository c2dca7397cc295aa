"""What a place achieved, as page and paper show it: sentences, figures, rows, pictures."""

from __future__ import annotations

from dataclasses import dataclass

from sourloam.drawing.moving import MoversPicture
from sourloam.drawing.ways import WaysPicture

Notes = tuple[int, ...]


@dataclass(frozen=True)
class Row:
    """A line of a table: its name, its figures with their ranges, numbers of its footnotes."""

    name: str
    figures: tuple[str, ...]
    notes: Notes = ()


@dataclass(frozen=True)
class Table:
    """Rows under a head; ``title`` may be empty."""

    title: str
    head: tuple[str, ...]
    rows: tuple[Row, ...]
    notes: Notes = ()


@dataclass(frozen=True)
class Verdict:
    """A popular statement, held against this case."""

    id: str
    statement: str
    verdict: str
    word: str
    figure: str
    reason: str
    notes: Notes


@dataclass(frozen=True)
class Footnote:
    """Who says so."""

    number: int
    id: str
    name: str
    value: str
    standing: str
    said: str
    citation: str


@dataclass(frozen=True)
class Moved:
    """What moves the saving against one way."""

    title: str
    picture: MoversPicture
    notes: Notes


@dataclass(frozen=True)
class Account:
    """All that page and paper show."""

    place: str
    period: str
    foreseen: bool
    kept: str
    kept_range: str
    kept_notes: Notes
    measured: tuple[str, ...]
    saved: tuple[str, ...]
    facts: tuple[Row, ...]
    ways: WaysPicture
    ways_notes: Notes
    weights: str
    compared: Table
    moved: tuple[Moved, ...]
    garden: Table
    carbon: Table
    parts: tuple[Table, ...]
    ends: Table
    years: Table
    handling: Table
    money: Table | None
    claims: tuple[Verdict, ...]
    cautions: tuple[str, ...]
    method: tuple[str, ...]
    sources: tuple[Footnote, ...]

    def footnote(self, number: int) -> Footnote:
        """The footnote of that number."""
        return self.sources[number - 1]
