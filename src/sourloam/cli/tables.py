"""Tables that a verb writes between the markers of a document, or holds against it."""

from __future__ import annotations

from pathlib import Path

import typer

from sourloam.cli.trouble import Refusal

STALE = 1


def renew(path: Path, tables: dict[str, str]) -> None:
    """Put the tables between their markers."""
    path.write_text(_placed(read(path), tables, path), encoding="utf-8")
    typer.echo(f"renewed the tables in {path}", err=True)


def held(path: Path, tables: dict[str, str], how: str = "") -> int:
    """0 if the document holds these tables, 1 with a line that says how to renew them."""
    document = read(path)
    if _placed(document, tables, path) == document:
        typer.echo(f"{path} holds the tables of this model", err=True)
        return 0
    typer.echo(f"{path} holds older tables: run sourloam validate {how}--write {path}", err=True)
    return STALE


def markers(path: Path, names: list[str]) -> None:
    """Refusal before any computing where the document has no place for these tables."""
    _placed(read(path), dict.fromkeys(names, ""), path)


def read(path: Path) -> str:
    """The document; Refusal in one line where it can't be read."""
    try:
        return path.read_text(encoding="utf-8")
    except OSError as error:
        raise Refusal(f"{path}: {(error.strerror or 'cannot be read').lower()}") from None


def _placed(document: str, tables: dict[str, str], path: Path) -> str:
    from sourloam import validation as room

    try:
        return room.with_tables(document, tables)
    except ValueError as error:
        raise Refusal(f"{path}: {error}") from None
