"""Whether two copies hold the same, table by table, however each database orders and writes it."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sourloam.safekeeping.restoring import opened

_ROWS, _END = "rows/", ".jsonl"


@dataclass(frozen=True)
class Table:
    """A table of a copy: how many rows, and one digest over all that stands in them."""

    name: str
    rows: int
    digest: str


def tables(copy: Path) -> tuple[Table, ...]:
    """Every table of a copy, by name; BackupError where it is broken."""
    archive, manifest = opened(copy)
    with archive:
        names = sorted(name for name in manifest.parts if name.startswith(_ROWS))
        return tuple(_table(archive, name) for name in names)


def photos(copy: Path) -> frozenset[tuple[str, str]]:
    """Every photo of a copy with its digest."""
    archive, manifest = opened(copy)
    archive.close()
    found = ((name, part.sha256) for name, part in manifest.parts.items())
    return frozenset(one for one in found if one[0].startswith("photos/"))


def _table(archive: zipfile.ZipFile, name: str) -> Table:
    with archive.open(name) as file:
        columns, *rows = _lines(file)
    whole = hashlib.sha256(columns)
    for row in sorted(rows):
        whole.update(row)
    short = name.removeprefix(_ROWS).removesuffix(_END)
    return Table(short, len(rows), whole.hexdigest())


def _lines(file: Iterator[bytes]) -> Iterator[bytes]:
    """A digest of each line, whatever the order of keys within its documents."""
    for line in file:
        plain = json.dumps(json.loads(line), sort_keys=True, separators=(",", ":"))
        yield hashlib.sha256(plain.encode()).digest()
