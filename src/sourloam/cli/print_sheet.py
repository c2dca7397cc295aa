"""``sourloam print``: sheets of paper for the wall, the bed and the bag, and a calendar file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sourloam.cli.asking import Members, Seed, Units, read, spoken_in
from sourloam.cli.trouble import Refusal
from sourloam.cli.writing import writable, write_whole

if TYPE_CHECKING:
    from sourloam.documents import Stickers

What = Literal[
    "card", "week", "labels", "burial", "feeding", "bran", "class", "calendar", "season"
]  # fmt: skip
_LOGS = (".json", ".zip")
_WEB = ("http://", "https://")


def print_sheet(  # noqa: PLR0913 - on a command line each option is an argument
    site_file: Annotated[
        Path,
        typer.Argument(
            metavar="SITE.toml",
            help="The file of your place, or its log as `sourloam export` writes it (week and "
            "season need that).",
        ),
    ],
    out: Annotated[
        Path, typer.Option(metavar="FILE", help="Where to write: a .pdf, or .ics for a calendar.")
    ],
    what: Annotated[
        What,
        typer.Option(
            help="A card for each vessel; what to do this week; labels on stickers; where "
            "and when to bury; what to feed with the liquid; a batch of bran; four pages for a "
            "class; the year as a calendar file; the season as its log tells it."
        ),
    ] = "card",
    paper: Annotated[Literal["a4", "letter"], typer.Option(help="Size of the paper.")] = "a4",
    language: Annotated[Literal["en", "es"], typer.Option(help="English or Spanish.")] = "en",
    call: Annotated[
        list[str] | None,
        typer.Option(metavar="WHO", help="Whom to ask, on the card; each after its own --call."),
    ] = None,
    address: Annotated[
        str,
        typer.Option(
            metavar="ADDRESS",
            help="Where the logbook is served; QR codes then open the vessel's page, else say its "
            "name.",
        ),
    ] = "",
    sticker: Annotated[
        str, typer.Option(metavar="WxH", help="Width and height of a sticker in mm.")
    ] = "70x37",
    skip: Annotated[int, typer.Option(min=0, help="Stickers of the sheet already used.")] = 0,
    members: Members = 100,
    seed: Seed = 1,
    units: Units = None,
) -> None:
    """Print cards, labels and sheets; write a calendar.

    All with the figures of your place. Cards and labels hold a page or a sticker for each vessel
    that you own.
    """
    from sourloam.cli.log_file import log_of
    from sourloam.cli.sheets import OF_LOG, Order, sheet, sheet_of_log, shelf_of, site_of, waiting
    from sourloam.documents import Printing
    from sourloam.documents.usual import drain_rhythm

    writable(out, [".ics" if what == "calendar" else ".pdf"])
    if address and not address.startswith(_WEB):
        raise Refusal(f"--address {address}: begin it with http:// or https://")
    stickers = _stickers(sticker, skip)
    day = dt.date.today()
    if site_file.suffix.lower() in _LOGS:
        log = log_of(site_file)
        system = units or ("us" if log.place.units == "us" else "metric")
        printing = Printing(language, paper, system, day, tuple(call or ()), address)
        if what in OF_LOG:
            _written(out, site_file, lambda: sheet_of_log(what, log, printing, stickers, site_file))
            return
        place = site_of(log, site_file, day)
        if what == "burial":
            place = place.model_copy(update={"finished": waiting(log, place, day)})
        shelf = shelf_of(log, site_file) if what == "card" else ()
        every: int | None = drain_rhythm(log.state)
    elif what in ("season", "week"):
        raise Refusal(f"{site_file}: a {what} is told by a log; give the .json or .zip of one")
    else:
        place, system = spoken_in(read(site_file), units)
        printing = Printing(language, paper, system, day, tuple(call or ()), address)
        shelf, every = (), None
    order = Order(what, place, site_file, printing, stickers, members, seed, shelf, every)
    _written(out, site_file, lambda: sheet(order))


def _written(out: Path, source: Path, make: Callable[[], bytes]) -> None:
    """The sheet in its file; Refusal in one line where it can't be made."""
    from sourloam.documents import DocumentError

    try:
        made = make()
    except DocumentError as error:
        raise Refusal(f"{source}: {error}") from None

    def write(draft: Path) -> None:
        draft.write_bytes(made)

    write_whole(out, write)


def _stickers(size: str, skip: int) -> Stickers:
    from sourloam.documents import Stickers

    wide, cross, tall = size.lower().partition("x")
    try:
        if not cross:
            raise ValueError
        return Stickers(float(wide), float(tall), skip=skip)
    except ValueError:
        raise Refusal(f"--sticker {size}: write width x height in mm, such as 70x37") from None
