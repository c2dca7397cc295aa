"""``sourloam plan``: the year-round plan of one place."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sourloam.cli.progress import progress
from sourloam.cli.trouble import Refusal
from sourloam.cli.writing import writable, write_whole

if TYPE_CHECKING:
    from sourloam.planning.contract import Plan
    from sourloam.site import Site

CHARTS = (".svg", ".png", ".html")
System = Literal["metric", "us"]


def plan(
    site_file: Annotated[Path, typer.Argument(metavar="SITE.toml", help="The place to plan for.")],
    json: Annotated[
        bool, typer.Option("--json", help="Print the plan as JSON (metric), nothing else.")
    ] = False,
    years: Annotated[int, typer.Option(min=1, max=10, help="Years to plan.")] = 1,
    members: Annotated[
        int, typer.Option(min=20, max=20_000, help="How many possible worlds to compute.")
    ] = 500,
    seed: Annotated[
        int, typer.Option(min=0, max=2**63 - 1, help="The same seed gives the same plan.")
    ] = 1,
    units: Annotated[
        System | None, typer.Option(help="Units to print; by default the site file's.")
    ] = None,
    chart: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Also draw the plan: FILE.svg, .png or .html."),
    ] = None,
) -> None:
    """Plan the year: vessels, rest, bran, liquid, ground, calendar, with ranges and reasons."""
    if chart is not None:
        writable(chart, CHARTS)
    place = _read(site_file)
    system: System = units or ("us" if place.place.units == "us" else "metric")
    answer = _compute(_speaking(place, system), years, members, seed)
    if chart is not None:
        _draw(answer, system, chart)
    if json:
        typer.echo(answer.model_dump_json(indent=2))
    else:
        _print(answer, system)


def _read(path: Path) -> Site:
    from sourloam.site import SiteError, load

    try:
        return load(path)
    except SiteError as error:
        raise Refusal(str(error)) from None


def _speaking(place: Site, system: System) -> Site:
    """The same place with its sentences in the units asked for."""
    return place.model_copy(update={"place": place.place.model_copy(update={"units": system})})


def _compute(place: Site, years: int, members: int, seed: int) -> Plan:
    from sourloam.planning import make_plan

    with progress() as report:
        return make_plan(place, years=years, members=members, seed=seed, progress=report)


def _draw(answer: Plan, system: System, path: Path) -> None:
    from sourloam.report import plan_chart, save_chart

    picture = plan_chart(answer, system)
    write_whole(path, lambda draft: save_chart(picture, draft))


def _print(answer: Plan, system: System) -> None:
    from rich.console import Console

    from sourloam.report import plan_text

    Console().print(plan_text(answer, system))
