"""``sourloam forecast``: what the log of one place foresees of its vessels."""

from __future__ import annotations

import datetime as dt
import json as json_text
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any
from zoneinfo import ZoneInfo

import typer

from sourloam.cli.asking import Json, Members, Seed, System, Units, read
from sourloam.cli.log_file import log_of
from sourloam.cli.progress import progress
from sourloam.cli.trouble import Refusal

if TYPE_CHECKING:
    from sourloam.forecast.telling import PlaceForecast
    from sourloam.ledger import PlaceState
    from sourloam.site import Site

LogFile = Annotated[
    Path,
    typer.Argument(
        metavar="LOG", help="The exported log of a place: a file that sourloam export writes."
    ),
]


def forecast(
    log: LogFile,
    vessel: Annotated[
        str | None, typer.Option(metavar="NAME", help="One vessel alone, by its name or id.")
    ] = None,
    at: Annotated[
        str | None,
        typer.Option(
            metavar="DATE",
            help="Foresee as of this day, such as 2026-03-01, with the entries up to it; by "
            "default the day of the newest entry.",
        ),
    ] = None,
    site: Annotated[
        Path | None,
        typer.Option(metavar="SITE.toml", help="The place, where its log does not describe it."),
    ] = None,
    json: Json = False,
    members: Members = 500,
    seed: Seed = 0,
    units: Units = None,
) -> None:
    """Foresee each vessel of a place from its log.

    When it is full, when sour and steady, when to drain next and how much comes, how likely it
    fails, each with its range; which readings hardly fit, what moves the answer most, and what the
    place's log has taught. The logbook's pages show the same figures.
    """
    told = log_of(log)
    zone = ZoneInfo(told.place.zone)
    day = _day(at, max(e.at.astimezone(zone).date() for e in told.entries))
    state = _state(told.entries, zone, day, log)
    place = read(site) if site is not None else state.site()
    if place is None:
        raise Refusal(f"{log}: the log does not describe its place; give --site SITE.toml too")
    only = None if vessel is None else _named(state, vessel, log)
    found = _compute(state, place, (day, members, seed), only)
    system: System = units or ("us" if place.place.units == "us" else "metric")
    if json:
        typer.echo(json_text.dumps(found.as_dict(), indent=2, allow_nan=False))
    else:
        _print(found, system)


def _day(given: str | None, newest: dt.date) -> dt.date:
    if given is None:
        return newest
    try:
        return dt.date.fromisoformat(given)
    except ValueError:
        raise Refusal(f"--at {given}: write a day such as {newest.isoformat()}") from None


def _state(entries: Any, zone: ZoneInfo, day: dt.date, path: Path) -> PlaceState:
    """The place as it stood at the end of a day."""
    from sourloam.ledger import fold

    there = [e for e in entries if e.at.astimezone(zone).date() <= day]
    if not there:
        first = min(e.at.astimezone(zone).date() for e in entries)
        raise Refusal(f"--at {day}: lies before the first entry of {path}, of {first}")
    return fold(there, zone)


def _named(state: PlaceState, name: str, path: Path) -> str:
    """The id of the vessel of that name or id."""
    wanted = name.casefold()
    for vessel in state.vessels:
        if wanted in (vessel.id.casefold(), vessel.name.casefold()):
            return vessel.id
    known = ", ".join(vessel.name for vessel in state.vessels) or "none"
    raise Refusal(f"--vessel {name}: {path} has no such vessel; it has {known}")


def _compute(
    state: PlaceState, place: Site, asked: tuple[dt.date, int, int], only: str | None
) -> PlaceForecast:
    from sourloam.climate import ClimateError
    from sourloam.forecast import Question
    from sourloam.forecast.telling import tell_place

    day, members, seed = asked
    try:
        with progress() as report:
            return tell_place(state, place, Question(day, members=members, seed=seed), only, report)
    except ClimateError as error:
        raise Refusal(f"climate: {error}") from None


def _print(found: PlaceForecast, system: System) -> None:
    from rich.console import Console

    from sourloam.cli.forecast_text import forecast_text

    Console().print(forecast_text(found, system))
