"""``sourloam garden``: which ferment goes into which bed, when; what the liquid feeds."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sourloam.cli.progress import progress
from sourloam.cli.trouble import Refusal
from sourloam.cli.writing import writable, write_whole

if TYPE_CHECKING:
    from sourloam.garden import GardenPlan
    from sourloam.site import Site

CHARTS = (".svg", ".png", ".html")
System = Literal["metric", "us"]


def garden(
    site_file: Annotated[Path, typer.Argument(metavar="SITE.toml", help="The place to plan for.")],
    json: Annotated[
        bool, typer.Option("--json", help="Print the plan as JSON (metric), nothing else.")
    ] = False,
    members: Annotated[
        int, typer.Option(min=20, max=20_000, help="How many possible worlds to compute.")
    ] = 100,
    seed: Annotated[
        int, typer.Option(min=0, max=2**63 - 1, help="The same seed gives the same plan.")
    ] = 1,
    units: Annotated[
        System | None, typer.Option(help="Units to print; by default the site file's.")
    ] = None,
    chart: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Also draw beds and season: FILE.svg, .png or .html."),
    ] = None,
) -> None:
    """Plan the beds: where each vessel's ferment goes and when, and how to feed with liquid."""
    if chart is not None:
        writable(chart, CHARTS)
    place = _read(site_file)
    answer = _compute(place, site_file, members, seed)
    if chart is not None:
        _draw(answer, chart)
    if json:
        typer.echo(answer.model_dump_json(indent=2))
    else:
        _print(answer, units or ("us" if place.place.units == "us" else "metric"))


def _read(path: Path) -> Site:
    from sourloam.site import SiteError, load

    try:
        return load(path)
    except SiteError as error:
        raise Refusal(str(error)) from None


def _compute(place: Site, path: Path, members: int, seed: int) -> GardenPlan:
    from sourloam.planning.gardening import GardenError, plan_garden

    try:
        with progress() as report, _results_apart():
            return plan_garden(place, members, seed, report)
    except GardenError as error:
        raise Refusal(f"{path}: {error}") from None


@contextmanager
def _results_apart() -> Iterator[None]:
    """What a compiled solver prints goes to standard error, so that results stay clean."""
    sys.stdout.flush()
    kept = os.dup(1)
    os.dup2(2, 1)
    try:
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)


def _draw(answer: GardenPlan, path: Path) -> None:
    from sourloam.garden.chart import garden_chart
    from sourloam.report import save_chart

    picture = garden_chart(answer)
    write_whole(path, lambda draft: save_chart(picture, draft))


def _print(answer: GardenPlan, system: System) -> None:
    from rich.console import Console

    from sourloam.report.garden_text import garden_text

    Console().print(garden_text(answer, system))
