"""``sourloam sources``: where the numbers come from."""

from __future__ import annotations

import difflib
import json as json_text
from collections import Counter
from typing import TYPE_CHECKING, Annotated

import typer

from sourloam.cli.asking import Json
from sourloam.cli.trouble import Refusal

if TYPE_CHECKING:
    from rich.console import Group
    from rich.table import Table
    from rich.text import Text

    from sourloam.evidence import Book, Row


def sources(
    topic: Annotated[
        str | None, typer.Argument(metavar="TOPIC", help="A topic, or the id of a value.")
    ] = None,
    json: Json = False,
) -> None:
    """Show the values behind a plan and their sources.

    Without a topic it lists the topics; with one, each value with its range and unit. The standing
    says how a value is known: published, common practice without a source, from memory and not
    verified, or our own judgement.
    """
    from rich.console import Console

    from sourloam.evidence import book

    rows = tuple(book()) if topic is None else _rows(book(), topic)
    if json:
        entries = [row.model_dump() | {"source": book().citation(row)} for row in rows]
        typer.echo(json_text.dumps(entries, indent=2, ensure_ascii=False))
    elif topic is None:
        Console().print(_topics(book()))
    else:
        Console().print(_table(book(), rows, topic))


def _rows(known: Book, topic: str) -> tuple[Row, ...]:
    rows = tuple(known[key] for key in known.ids(topic))
    if not rows:
        names = (*known.topics, *known.rows) if "." in topic else known.topics
        near = difflib.get_close_matches(topic.lower(), names, n=1, cutoff=0)
        raise Refusal(
            f'no topic "{topic[:60]}"; the nearest is {near[0] if near else "none"}; '
            "sourloam sources lists all"
        )
    return rows


def _topics(known: Book) -> Table:
    from rich.table import Table

    from sourloam.evidence import STANDINGS

    table = Table(
        title="Topics; sourloam sources TOPIC shows the values of one",
        title_justify="left",
        box=None,
    )
    table.add_column("topic", no_wrap=True, min_width=max(map(len, known.topics)))
    for word in ("values", *STANDINGS):
        table.add_column(word, justify="right")
    for name in known.topics:
        rows = known.topic(name)
        count = Counter(row.standing for row in rows)
        table.add_row(name, str(len(rows)), *(str(count[s] or "") for s in STANDINGS))
    return table


def _table(known: Book, rows: tuple[Row, ...], title: str) -> Group:
    """The rows as a table, the full sources beneath it by number."""
    from rich.console import Group
    from rich.padding import Padding
    from rich.table import Table
    from rich.text import Text

    keys = list(dict.fromkeys(key for row in rows for key in _cited(row)))
    number = {key: f"[{i}]" for i, key in enumerate(keys, start=1)}
    table = Table(title=title, title_justify="left", box=None, padding=(0, 2, 1, 0), expand=True)
    table.add_column("value, range", overflow="fold", ratio=1)
    table.add_column("what it is, standing, source", overflow="fold", ratio=3)
    for row in rows:
        table.add_row(_value(row), _what(row, " ".join(number[key] for key in _cited(row))))
    listed = [Padding(Text(f"{number[key]} {known.citations[key]}"), (0, 2)) for key in keys]
    ends = "Ranges: eight in ten lie between their ends (triangular, uniform: all)."
    heading = "\nSources" if listed else "\nNo source is cited here."
    return Group(table, Text(ends), Text(heading), *listed)


def _cited(row: Row) -> list[str]:
    return [key.strip() for key in row.citation.split(";") if key.strip()]


def _what(row: Row, cited: str) -> Text:
    """Its name and id, how it is known, when it holds, what is to be said of it."""
    from rich.text import Text

    text = Text(row.name, style="bold")
    text.append(f"  ({row.id})", style="not bold dim")
    for more in (f"{row.standing} {cited}".rstrip(), row.conditions, row.note):
        if more:
            text.append(f"\n{more}", style="not bold")
    return text


def _value(row: Row) -> Text:
    from rich.text import Text

    unit = "" if row.unit == "1" else f" {row.unit}"
    if row.distribution == "fixed":
        return Text(f"{row.value:.6g}{unit}")
    shape = f"\n{row.distribution}" if row.distribution in ("triangular", "uniform") else ""
    return Text(f"{row.value:.4g}{unit}\n{row.low:.4g} to {row.high:.4g}{shape}")
