"""Reading the tables and drawing parameters from them."""

from __future__ import annotations

import tomllib
import zlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

import numpy as np
from pydantic import ValidationError

from sourloam.evidence.naming import Names, name_of
from sourloam.evidence.parameters import Parameters
from sourloam.evidence.row import Row

_CITATIONS, _NAMES = "citations.toml", "names.toml"


class EvidenceError(ValueError):
    """A table breaks a rule; the message names file, row and what would be right."""


@dataclass(frozen=True)
class Book:
    """All rows by id, and the full citations by key."""

    rows: Mapping[str, Row]
    citations: Mapping[str, str]

    def __getitem__(self, key: str) -> Row:
        return self.rows[key]

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows.values())

    @property
    def topics(self) -> tuple[str, ...]:
        """Names of the tables, sorted."""
        return tuple(sorted({row.topic for row in self}))

    def topic(self, name: str) -> tuple[Row, ...]:
        """Rows of one table in the order written; KeyError if there is no such table."""
        rows = tuple(row for row in self if row.topic == name)
        if not rows:
            raise KeyError(name)
        return rows

    def ids(self, *prefixes: str) -> tuple[str, ...]:
        """Ids that are a prefix or lie under one (``"acids.lactic"`` -> ``acids.lactic.pka``), each
        once, in the order of the prefixes; a prefix that nothing lies under adds none."""
        return tuple(dict.fromkeys(key for one in prefixes for key in self._under.get(one, ())))

    @cached_property
    def _under(self) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, list[str]] = {}
        for key in self.rows:
            parts = key.split(".")
            for length in range(1, len(parts) + 1):
                found.setdefault(".".join(parts[:length]), []).append(key)
        return {prefix: tuple(ids) for prefix, ids in found.items()}

    def citation(self, row: Row) -> str:
        """Full text of the row's citations, parted by semicolons; empty if it has none."""
        return "; ".join(self.citations[key] for key in _keys(row.citation))

    def central(self, ids: Iterable[str]) -> Parameters:
        """Central value of each id, as an object with one member."""
        return Parameters({key: np.array([self.rows[key].value]) for key in ids}, 1)

    def sample(self, ids: Iterable[str], members: int, rng: np.random.Generator) -> Parameters:
        """Latin-hypercube draw of each id, independent between ids.

        The draw of one id depends on the generator's state and that id alone, so that asking
        for more ids leaves the others as they were.
        """
        root = int(rng.integers(2**63))
        return Parameters(
            {key: _draw(self.rows[key], members, root) for key in dict.fromkeys(ids)}, members
        )


def _draw(row: Row, members: int, root: int) -> np.ndarray:
    rng = np.random.default_rng([root, zlib.crc32(row.id.encode())])
    strata = (rng.permutation(members) + rng.random(members)) / members
    return row.quantile(strata)


def _keys(citation: str) -> tuple[str, ...]:
    return tuple(key.strip() for key in citation.split(";") if key.strip())


@cache
def book() -> Book:
    """All tables that ship with Sourloam, read once a process."""
    return load(files("sourloam.evidence") / "tables")


def load(folder: Traversable) -> Book:
    """Read every table in ``folder``; EvidenceError where one breaks a rule."""
    names = _names(folder)
    citations = tomllib.loads((folder / _CITATIONS).read_text(encoding="utf-8"))
    rows: dict[str, Row] = {}
    for file in sorted(folder.iterdir(), key=lambda f: f.name):
        if not file.name.endswith(".toml") or file.name in (_CITATIONS, _NAMES):
            continue
        for row in _read(file, names):
            if row.id in rows:
                raise EvidenceError(f"{file.name}: {row.id} stands twice")
            missing = [key for key in _keys(row.citation) if key not in citations]
            if missing:
                raise EvidenceError(
                    f"{file.name}: {row.id} cites {missing[0]}, not in {_CITATIONS}"
                )
            rows[row.id] = row
    return Book(rows, citations)


def _names(folder: Traversable) -> Names:
    file = folder / _NAMES
    return tomllib.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}


def _read(file: Traversable, names: Names) -> Iterator[Row]:
    topic = file.name.removesuffix(".toml")
    table = tomllib.loads(file.read_text(encoding="utf-8"))
    for entry in table.get("value", []):
        try:
            row = Row(**_written_out(entry, names))
        except ValidationError as error:
            problem = error.errors()[0]
            where = ".".join(str(part) for part in problem["loc"])
            raise EvidenceError(
                f"{file.name}: {entry.get('id')}: {where} {problem['msg']}"
            ) from None
        if row.topic != topic:
            raise EvidenceError(f"{file.name}: {row.id} belongs in {row.topic}.toml")
        yield row


def _written_out(entry: dict[str, Any], names: Names) -> dict[str, Any]:
    """A fixed row may leave out low, high and distribution, and any its name."""
    whole = {"name": name_of(str(entry.get("id", "")), names), **entry}
    if "low" not in entry and "high" not in entry:
        value = entry["value"]
        return {"low": value, "high": value, "distribution": "fixed", **whole}
    return whole
