"""``sourloam impact``: what fermenting brings against landfill, incinerator and compost."""

from __future__ import annotations

import datetime as dt
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sourloam.cli.asking import CHARTS, Chart, Json, Members, Seed, System, Units, read, spoken_in
from sourloam.cli.log_file import log_of, text_of
from sourloam.cli.progress import progress
from sourloam.cli.trouble import Refusal
from sourloam.cli.writing import writable, write_whole

if TYPE_CHECKING:
    from sourloam.impact import Asked, Impact, Local
    from sourloam.ledger import PlaceState
    from sourloam.site import Site

Report = Literal["ar5", "ar6"]
Horizon = Literal["20", "100"]
Paper = Literal["a4", "letter"]
Language = Literal["en", "es"]

Sites = Annotated[
    list[Path] | None,
    typer.Argument(
        metavar="SITE.toml ...",
        help="The file of your place; several files make one programme.",
        show_default=False,
    ),
]
Log = Annotated[
    Path | None,
    typer.Option(
        metavar="LOG.json",
        help="Reckon from a log, as `sourloam export` writes it or as a JSON list of entries.",
    ),
]


def impact(  # noqa: PLR0913 - one argument for each option
    site_files: Sites = None,
    from_log: Log = None,
    gwp: Annotated[Report, typer.Option(help="Whose weights of the gases.")] = "ar6",
    years: Annotated[Horizon, typer.Option(help="Years over which gases count.")] = "100",
    bin_file: Annotated[
        Path | None,
        typer.Option(
            "--bin",
            metavar="FILE.toml",
            help="Where your bin goes, your own ways and prices.",
        ),
    ] = None,
    json: Json = False,
    members: Members = 500,
    seed: Seed = 1,
    units: Units = None,
    chart: Chart = None,
    since: Annotated[
        str | None, typer.Option(metavar="DATE", help="First day of the log that counts.")
    ] = None,
    until: Annotated[
        str | None, typer.Option(metavar="DATE", help="Last day of the log that counts.")
    ] = None,
    report: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE.pdf",
            help="A report to hand on: a page of pictures, then method and sources.",
        ),
    ] = None,
    paper: Annotated[Paper, typer.Option(help="Paper of the report.")] = "a4",
    language: Annotated[
        Language, typer.Option(help="Language of the report: English or Spanish.")
    ] = "en",
) -> None:
    """Reckon what fermenting brings against bin and compost.

    Carbon, nitrogen and gases of the same scraps in landfill, incinerator, compost and ground,
    year by year; nutrients for the garden; popular statements held against your case. Every
    figure has a range and says who says so. Without a log it reckons the first year that the
    site file foresees.
    """
    if chart is not None:
        writable(chart, CHARTS)
    if report is not None:
        writable(report, [".pdf"])
    if (since or until) and from_log is None:
        raise Refusal("--since and --until choose days of a log: give --from-log LOG.json too")
    period = _period(since, until)
    if not site_files and from_log is None:
        raise Refusal("nothing to reckon: give a SITE.toml, several, or --from-log LOG.json")
    if from_log is not None and len(site_files or []) > 1:
        raise Refusal("--from-log goes with one SITE.toml at most: a log is of one place")
    places = [spoken_in(read(path), units)[0] for path in site_files or []]
    answer = _compute(places, from_log, _asked(members, seed, gwp, int(years), bin_file), period)
    system: System = units or answer.units
    if chart is not None:
        _draw(answer, system, chart)
    if report is not None:
        _set(answer, report, paper, language, system)
    if json:
        typer.echo(answer.model_dump_json(indent=2))
    else:
        _print(answer, system)


def _asked(members: int, seed: int, gwp: str, years: int, bin_file: Path | None) -> Asked:
    from sourloam.impact import Asked, Local

    local = Local() if bin_file is None else _local(bin_file)
    return Asked(members=members, seed=seed, report=gwp, years=years, local=local)


def _local(path: Path) -> Local:
    """A person's own facts and prices; Refusal in one line for anything wrong with them."""
    from pydantic import ValidationError

    from sourloam.impact import Local

    try:
        given = tomllib.loads(text_of(path))
    except tomllib.TOMLDecodeError as error:
        raise Refusal(f"{path}: {error}") from None
    try:
        return Local.model_validate(given)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise Refusal(f"{path}: {where}: {first['msg']}") from None


def _period(since: str | None, until: str | None) -> tuple[dt.date, dt.date] | None:
    """First and last day; None for all of the log."""
    if since is None and until is None:
        return None
    first, last = _day("--since", since, dt.date.min), _day("--until", until, dt.date.max)
    if first > last:
        raise Refusal(f"--since {first} comes after --until {last}; swap them")
    return first, last


def _day(option: str, text: str | None, left_out: dt.date) -> dt.date:
    try:
        return left_out if text is None else dt.date.fromisoformat(text)
    except ValueError:
        raise Refusal(f"{option} {text}: write a day such as 2026-03-31") from None


def _compute(
    places: list[Site], log: Path | None, asked: Asked, period: tuple[dt.date, dt.date] | None
) -> Impact:
    from sourloam.climate import ClimateError
    from sourloam.impact import LogError, impact_of_log, impact_of_sites

    try:
        with progress() as report:
            if log is None:
                return impact_of_sites(places, asked, report)
            site = places[0] if places else None
            return impact_of_log(_state(log), site, asked, report, period)
    except LogError as error:
        raise Refusal(f"{log}: {error}") from None
    except ClimateError as error:
        raise Refusal(f"climate: {error}") from None


def _state(path: Path) -> PlaceState:
    """The folded log of one place."""
    return log_of(path).state


def _set(answer: Impact, path: Path, paper: Paper, language: Language, system: System) -> None:
    from sourloam.documents import DocumentError, Printing, achieved_report

    try:
        made = achieved_report(answer, Printing(language, paper, system, dt.date.today()))
    except DocumentError as error:
        raise Refusal(f"{path}: {error}") from None

    def write(draft: Path) -> None:
        draft.write_bytes(made)

    write_whole(path, write)


def _draw(answer: Impact, system: System, path: Path) -> None:
    from sourloam.report.impact_chart import impact_chart
    from sourloam.report.saving import save_chart

    picture = impact_chart(answer, system)
    write_whole(path, lambda draft: save_chart(picture, draft))


def _print(answer: Impact, system: System) -> None:
    from rich.console import Console

    from sourloam.report.impact_text import impact_text

    Console().print(impact_text(answer, system))
