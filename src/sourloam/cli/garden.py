"""``sourloam garden``: which ferment goes into which bed, when; what the liquid feeds."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
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
    read,
    spoken_in,
)
from sourloam.cli.progress import progress
from sourloam.cli.trouble import Refusal
from sourloam.cli.writing import writable, write_whole

if TYPE_CHECKING:
    from sourloam.garden import GardenPlan
    from sourloam.site import Site


def garden(
    site_file: SiteFile,
    json: Json = False,
    members: Members = 100,
    seed: Seed = 1,
    units: Units = None,
    chart: Chart = None,
) -> None:
    """Plan the beds: which ferment goes where, and when.

    Also what each bed can bear, how long to wait before sowing, and how to feed with the drained
    liquid. Without a bed the ferment goes home through tubs of soil.
    """
    if chart is not None:
        writable(chart, CHARTS)
    place, system = spoken_in(read(site_file), units)
    answer = compute(place, site_file, members, seed)
    if chart is not None:
        _draw(answer, chart, system)
    if json:
        typer.echo(answer.model_dump_json(indent=2))
    else:
        _print(answer, system)


def compute(place: Site, path: Path, members: int, seed: int) -> GardenPlan:
    """The garden plan of a place; Refusal that names the file where it can't be made."""
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


def _draw(answer: GardenPlan, path: Path, system: System) -> None:
    from sourloam.garden.chart import garden_chart
    from sourloam.report.saving import save_chart

    wide, narrow = (garden_chart(answer, system=system, narrow=n) for n in (False, True))
    write_whole(path, lambda draft: save_chart(wide, draft, narrow))


def _print(answer: GardenPlan, system: System) -> None:
    from rich.console import Console

    from sourloam.report.garden_text import garden_text

    Console().print(garden_text(answer, system))
