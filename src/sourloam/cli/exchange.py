"""``sourloam export`` and ``sourloam import``: a whole place out of a data folder, and into it."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sourloam.cli.counting import counted
from sourloam.cli.trouble import Refusal
from sourloam.cli.writing import writable, write_whole

if TYPE_CHECKING:
    from sourloam.exchange import Choice, Weighings
    from sourloam.logbook.models import Place

_WAYS = (".json", ".zip")
_SHOWN = 20

Data = Annotated[
    Path | None, typer.Option(help="The logbook's folder, as `sourloam serve` has it.")
]
Demo = Annotated[bool, typer.Option("--demo", help="The demo's folder.")]
PlaceName = Annotated[
    str,
    typer.Option(
        "--place", metavar="NAME", help="Name or id of the place; the only one if left out."
    ),
]


def export(
    out: Annotated[
        Path,
        typer.Option(metavar="FILE", help="Where to write: .zip (tables and photos) or .json."),
    ],
    place: PlaceName = "",
    data: Data = None,
    demo: Demo = False,
) -> None:
    """Take a whole place out of a logbook.

    FILE.zip holds CSV tables and the photos, FILE.json one JSON document without photos; its
    schema is in docs/place.schema.json. `sourloam import` reads both.
    """
    writable(out, _WAYS)
    with _opened(data, demo):
        from sourloam.exchange import place_json, write_archive
        from sourloam.logbook import exchanging

        bundle = exchanging.take_out(None, exchanging.find_place(place).pk)

        def write(draft: Path) -> None:
            if out.suffix.lower() == ".json":
                draft.write_bytes(place_json(bundle))
            else:
                with draft.open("wb") as file:
                    write_archive(bundle, file)

        write_whole(out, write)
    name, number = bundle.place.name, len(bundle.entries)
    typer.echo(
        f"{out}: {name}, {counted(number, 'entry', 'entries')}, {_photos(out, len(bundle.photos))}"
    )


def _photos(out: Path, number: int) -> str:
    photos = counted(number, "photo")
    return photos if out.suffix.lower() == ".zip" else f"without its {photos}"


def import_(  # noqa: PLR0913 - on a command line each option is an argument
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE", help="What `sourloam export` wrote, or a sheet of weighings as .csv."
        ),
    ],
    person: Annotated[
        str,
        typer.Option(
            "--as", metavar="NAME", help="Whose account brings it in; the only one if left out."
        ),
    ] = "",
    place: PlaceName = "",
    dates: Annotated[
        Literal["day-first", "month-first"] | None,
        typer.Option(help="Of a sheet of weighings: which number of 03/04/2026 is the day."),
    ] = None,
    decimals: Annotated[
        Literal["comma", "point"] | None,
        typer.Option(help="Of a sheet of weighings: whether 1,500 is one and a half."),
    ] = None,
    unit: Annotated[
        Literal["kg", "lb", "g", "oz", "bowl"] | None,
        typer.Option(help="Of a sheet of weighings whose headings name none."),
    ] = None,
    vessel: Annotated[
        str, typer.Option(metavar="NAME", help="Of a sheet of weighings that names no vessel.")
    ] = "",
    measure: Annotated[
        str, typer.Option(metavar="NAME", help="Which measure a bowl of the sheet is.")
    ] = "",
    look: Annotated[
        bool, typer.Option("--look", help="Only show what would come in; write nothing.")
    ] = False,
    data: Data = None,
    demo: Demo = False,
) -> None:
    """Bring a place, or a sheet of weighings, into a logbook.

    A place that is not there yet begins with you as coordinator. All of a file comes in or
    nothing, and the same file again adds nothing. Photos come with a .zip.
    """
    if file.suffix.lower() not in (".csv", *_WAYS):
        raise Refusal(f"{file}: give a .zip, a .json or a .csv")
    with _opened(data, demo), _told(file):
        if file.suffix.lower() == ".csv":
            asked = _Sheet(file, place, dates, decimals, unit, vessel, measure)
            _weighings(asked, person, look)
        else:
            _whole(file, person, place, look)


def _whole(file: Path, person: str, place: str, look: bool) -> None:
    from sourloam.exchange import read_bundle
    from sourloam.exchange.logs import read_file
    from sourloam.logbook import exchanging

    bundle = read_bundle(read_file(file))
    wanted = exchanging.find_place(place).pk if place else None
    if look:
        entries = counted(len(bundle.entries), "entry", "entries")
        typer.echo(f"{bundle.place.name} ({bundle.place.id}): {entries}")
        return
    done = exchanging.bring_in(exchanging.find_coordinator(person), bundle, wanted)
    new = "a new place; " if done.fresh_place else ""
    typer.echo(
        f"{done.name}: {new}{counted(done.new, 'entry', 'entries')} new, {done.known} known, "
        f"{counted(done.photos, 'photo')}"
    )


class _Sheet:
    """A sheet of weighings and what was said of it."""

    def __init__(
        self,
        file: Path,
        place: str,
        dates: str | None,
        decimals: str | None,
        unit: str | None,
        vessel: str,
        measure: str,
    ) -> None:
        self.file, self.place, self.unit = file, place, unit
        self.vessel, self.measure = vessel, measure
        self.day_first = None if dates is None else dates == "day-first"
        self.comma = None if decimals is None else decimals == "comma"

    def choice(self, row: Place) -> Choice:
        """The same with ids of the place."""
        from sourloam.exchange import Choice
        from sourloam.logbook.standing import state_of

        state, _seq = state_of(row.pk, row.zone)
        vessels = {v.name.casefold(): v.id for v in state.vessels} | {
            v.id: v.id for v in state.vessels
        }
        measures = {r.body.name.casefold(): r.body.measure for r in state.stores.measures}
        return Choice(
            self.day_first,
            self.comma,
            self.unit,
            _chosen("--vessel", self.vessel, vessels),
            _chosen("--measure", self.measure, measures),
        )


def _chosen(option: str, said: str, known: dict[str, str]) -> str | None:
    if not said:
        return None
    if said.casefold() not in known:
        raise Refusal(f"{option} {said}: choose one of: {', '.join(known) or 'none'}")
    return known[said.casefold()]


def _weighings(asked: _Sheet, person: str, look: bool) -> None:
    from zoneinfo import ZoneInfo

    from sourloam.exchange import read_sheet, weighings
    from sourloam.exchange.logs import read_file
    from sourloam.logbook import exchanging
    from sourloam.logbook.standing import state_of

    row = exchanging.find_place(asked.place)
    zone = ZoneInfo(row.zone)
    state, _seq = state_of(row.pk, row.zone)
    today = dt.datetime.now(zone).date()
    sheet = read_sheet(read_file(asked.file))
    found = weighings(sheet, row.pk, state, zone, today, asked.choice(row))
    if found.asks:
        raise Refusal(f"{asked.file}: {_ASKED[found.asks[0]]}")
    if look:
        _show(found)
        return
    if found.bad:
        first = found.bad[0]
        why = first.problem.english if first.problem else ""
        more = f" (and {len(found.bad) - 1} more; --look shows them)" if len(found.bad) > 1 else ""
        raise Refusal(f"{asked.file}: line {first.number}: {why}{more}; nothing came in")
    new, known = exchanging.add_entries(exchanging.find_coordinator(person), row.pk, found.good)
    typer.echo(f"{row.name}: {new} layers new, {known} known")


_ASKED = {
    "day_first": "which number of its dates is the day? say --dates day-first or month-first",
    "comma": "is 1,500 one and a half? say --decimals comma or point",
    "unit": "in which unit? say --unit kg, lb, g, oz or bowl",
    "vessel": "some lines name no vessel; say --vessel NAME",
    "measure": "which measure is a bowl? say --measure NAME",
}


def _show(found: Weighings) -> None:
    for row in found.rows[:_SHOWN]:
        said = "comes in" if row.problem is None else row.problem.english
        typer.echo(f"line {row.number}: {row.said}: {said}")
    left = [row for row in found.rows[_SHOWN:] if row.problem]
    for row in left[:_SHOWN]:
        typer.echo(f"line {row.number}: {row.said}: {row.problem.english if row.problem else ''}")
    typer.echo(f"{counted(len(found.good), 'line')} would come in, {len(found.bad)} can't")


@contextmanager
def _opened(data: Path | None, demo: bool) -> Iterator[None]:
    """A data folder that exists, ready to be asked; Refusal in one line otherwise."""
    from sourloam.logbook import data_folder, serving

    try:
        folder = serving.folder_for(data, demo)
        elsewhere = os.environ.get(data_folder.DATABASE)
        if not elsewhere and not folder.database.exists():
            raise Refusal(f"{folder.path}: no logbook there; `sourloam serve` makes one")
        serving.prepare(folder, static=False)
    except (serving.FolderError, serving.ServingError) as error:
        raise Refusal(str(error)) from None
    from sourloam.logbook.refusals import Refused

    try:
        yield
    except Refused as refused:
        raise Refusal(str(refused)) from None


@contextmanager
def _told(file: Path) -> Iterator[None]:
    from sourloam.exchange import ExchangeError

    try:
        yield
    except ExchangeError as error:
        raise Refusal(f"{file}: {error}") from None
