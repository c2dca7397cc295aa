"""What several verbs ask in the same words, and how they read a site file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sourloam.cli.trouble import Refusal

if TYPE_CHECKING:
    from sourloam.site import Site

#: Endings of the pictures that can be drawn.
CHARTS = (".svg", ".png", ".html")
System = Literal["metric", "us"]

SiteFile = Annotated[
    Path,
    typer.Argument(metavar="SITE.toml", help="The file that describes your place."),
]
Json = Annotated[bool, typer.Option("--json", help="Print JSON (metric figures) instead of words.")]
Years = Annotated[int, typer.Option(min=1, max=10, metavar="N", help="How many years to plan.")]
Members = Annotated[
    int,
    typer.Option(
        min=20,
        max=20_000,
        metavar="N",
        help="How many possible worlds to compute; more takes longer and steadies the ranges.",
    ),
]
Seed = Annotated[
    int,
    typer.Option(
        min=0,
        max=999_999_999,
        metavar="N",
        help="Where the chances start: the same seed gives the same answer.",
    ),
]
Units = Annotated[
    System | None,
    typer.Option(help="Units to print in; by default those of the site file."),
]
Chart = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        help="Draw a picture too: FILE.svg, FILE.png or FILE.html.",
    ),
]


def read(path: Path) -> Site:
    """The place that a file describes; Refusal in one line for anything wrong with it."""
    from sourloam.site import SiteError, load

    try:
        return load(path)
    except SiteError as error:
        raise Refusal(str(error)) from None


def spoken_in(place: Site, asked: System | None) -> tuple[Site, System]:
    """The place with its sentences in the units asked for, else in its own; and those units."""
    system: System = asked or ("us" if place.place.units == "us" else "metric")
    return place.model_copy(
        update={"place": place.place.model_copy(update={"units": system})}
    ), system
