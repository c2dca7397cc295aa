"""``sourloam validate``: the model against published ferments, misses included."""

from __future__ import annotations

import json as json_text
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sourloam.cli.asking import Json, Members, Seed
from sourloam.cli.tables import held, renew
from sourloam.cli.trouble import Refusal
from sourloam.cli.validate_learning import forecasts, rescues

if TYPE_CHECKING:
    from sourloam.validation import Validation


def validate(  # noqa: PLR0913 - one argument for each option
    json: Json = False,
    charts: Annotated[
        Path | None, typer.Option(metavar="DIR", help="Write a figure a trial into DIR.")
    ] = None,
    check: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Compare the tables in FILE; end with 1 if they differ."),
    ] = None,
    write: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Renew the tables in FILE.")
    ] = None,
    sensitivity: Annotated[
        bool, typer.Option("--sensitivity", help="Also rank what moves a vessel (slower).")
    ] = False,
    failures: Annotated[
        bool,
        typer.Option("--failures", help="Tables of how often a vessel fails, alone (minutes)."),
    ] = False,
    forecast: Annotated[
        bool,
        typer.Option("--forecast", help="Forecasts against invented truths, alone (many minutes)."),
    ] = False,
    truths: Annotated[
        int, typer.Option(min=20, max=20_000, help="Invented vessels behind --forecast.")
    ] = 500,
    rescue: Annotated[
        bool, typer.Option("--rescue", help="Verdicts on invented cases, alone (a minute).")
    ] = False,
    members: Members = 400,
    seed: Seed = 1,
) -> int:
    """Hold the model against published ferments.

    Prints a table that also says where it misses: what was measured, what the model foresees with
    its range, and whether the measured figure lies within it.
    """
    from sourloam import validation as room

    if forecast:
        return forecasts(write, truths, members, seed)
    if rescue:
        return rescues(check, write, seed)
    if failures:
        return _failures(charts, check, write, seed)
    found = room.validate(members, seed)
    tables = {
        "comparison": room.validation_table(found),
        "inputs": room.assumptions_table(found),
        "soil waits": room.soil_wait_table(),
    }
    extra = _sensitivity(charts) if sensitivity else None
    if extra is not None:
        tables["sensitivity"] = extra
    if charts is not None:
        for path in room.validation_charts(found, charts):
            typer.echo(f"wrote {path}", err=True)
    if write is not None:
        renew(write, tables)
    if check is not None:
        return held(check, tables)
    if write is None:
        typer.echo(_shown(found, tables, json))
    return 0


def _failures(charts: Path | None, check: Path | None, write: Path | None, seed: int) -> int:
    """The tables of failures alone: they stand in a document of their own."""
    from sourloam import validation as room

    found = room.failures(seed)
    tables = {"failures": found.table(), "decline": room.decline_table(seed)}
    if charts is not None:
        charts.mkdir(parents=True, exist_ok=True)
        room.failures_chart(found).save(str(charts / "failing.svg"))
    if write is not None:
        renew(write, tables)
    if check is not None:
        return held(check, tables, "--failures ")
    if write is None:
        typer.echo(tables["failures"] + "\n" + tables["decline"])
    return 0


def _shown(found: Validation, tables: dict[str, str], json: bool) -> str:
    if json:
        return json_text.dumps(found.as_dict(), indent=2, allow_nan=False)
    return tables["comparison"] + tables.get("sensitivity", "")


def _sensitivity(charts: Path | None) -> str:
    from sourloam import validation as room

    try:
        ranked = room.sensitivity()
    except ImportError as error:
        raise Refusal(
            f"the ranking needs a package that is not installed ({error.name}): "
            "install Sourloam with its extra named check"
        ) from None
    if charts is not None:
        charts.mkdir(parents=True, exist_ok=True)
        room.sensitivity_chart(ranked).save(str(charts / "sensitivity.svg"))
    return ranked.table()
