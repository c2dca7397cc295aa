"""``sourloam plan``: the year-round plan of one place."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from sourloam.cli.asking import (
    CHARTS,
    Chart,
    Json,
    Members,
    Seed,
    SiteFile,
    System,
    Units,
    Years,
    read,
    spoken_in,
)
from sourloam.cli.progress import progress
from sourloam.cli.writing import writable, write_whole

if TYPE_CHECKING:
    from sourloam.planning.contract import Plan
    from sourloam.site import Site


def plan(
    site_file: SiteFile,
    json: Json = False,
    years: Years = 1,
    members: Members = 500,
    seed: Seed = 1,
    units: Units = None,
    chart: Chart = None,
) -> None:
    """Plan the year of a place, from scraps to soil.

    How many vessels, when each is full, rests and is buried; how much inoculated bran to have
    ready, when to drain, what the ground must give, what is due in each month, and what moves the
    answer most. Every figure comes with its range and its reason.
    """
    if chart is not None:
        writable(chart, CHARTS)
    place, system = spoken_in(read(site_file), units)
    answer = _compute(place, years, members, seed)
    if chart is not None:
        _draw(answer, system, chart)
    if json:
        typer.echo(answer.model_dump_json(indent=2))
    else:
        _print(answer, system)


def _compute(place: Site, years: int, members: int, seed: int) -> Plan:
    from sourloam.planning import make_plan

    with progress() as report:
        return make_plan(place, years=years, members=members, seed=seed, progress=report)


def _draw(answer: Plan, system: System, path: Path) -> None:
    from sourloam.report.chart import plan_chart
    from sourloam.report.saving import save_chart

    picture = plan_chart(answer, system)
    write_whole(path, lambda draft: save_chart(picture, draft))


def _print(answer: Plan, system: System) -> None:
    from rich.console import Console

    from sourloam.report.text import plan_text

    Console().print(plan_text(answer, system))
