"""``sourloam bran``: one batch of inoculated bran, from weighing to the end of its use."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sourloam.cli.asking import Json, Members, Seed, System, Units, read, spoken_in
from sourloam.cli.bran_batch import (
    Asked,
    Way,
    between,
    compute,
    day,
    mixture,
    prices,
    quantity,
    share,
    trials,
    usual_room,
)
from sourloam.cli.trouble import Refusal

if TYPE_CHECKING:
    from sourloam.bran import Answer

_CARRIERS = "wheat_bran, rice_bran, rice_husk, spent_grain, sawdust, coffee_chaff"
Sweet = Literal["molasses", "sugar", "whey", "none"]
Inoculum = Literal["bought", "serum", "batch"]
Cup = Literal["metric_cup", "us_cup", "imperial_cup"]


def bran(  # noqa: PLR0913 - on a command line each option is an argument
    site_files: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="[SITE.toml]...",
            help="The file that describes your place: its plan says how much bran it needs. "
            "Several: one batch for all of them, made at the first.",
        ),
    ] = None,
    want: Annotated[
        str | None,
        typer.Option(metavar="MASS", help='Dry bran wanted, e.g. "10 kg"; instead of a site file.'),
    ] = None,
    carrier: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME[=SHARE]",
            help=f"What the bran is made of: {_CARRIERS}. Several make a mix, e.g. "
            "wheat_bran=0.7 rice_husk=0.3, each after its own --carrier.",
        ),
    ] = None,
    carrier_moisture: Annotated[
        str | None,
        typer.Option(metavar="SHARE", help='Water in the carrier as it comes, e.g. "76 %".'),
    ] = None,
    sugar: Annotated[Sweet, typer.Option(help="Where the sugar comes from.")] = "molasses",
    sugar_dose: Annotated[
        str | None, typer.Option(metavar="DOSE", help='Of it, per dry carrier, e.g. "20 g/kg".')
    ] = None,
    inoculum: Annotated[
        Inoculum,
        typer.Option(help="A bought liquid, your own sour serum, or bran of an earlier batch."),
    ] = "bought",
    inoculum_dose: Annotated[
        str | None, typer.Option(metavar="DOSE", help='Of it, per dry carrier, e.g. "10 g/kg".')
    ] = None,
    moisture: Annotated[
        str | None, typer.Option(metavar="SHARE", help='Water in the mix, e.g. "38 %".')
    ] = None,
    room: Annotated[
        str | None,
        typer.Option(
            metavar="TEMPERATURE",
            help="Where it stands closed; by default the site's room, else 22 °C.",
        ),
    ] = None,
    closed: Annotated[
        int | None, typer.Option(min=1, max=60, metavar="DAYS", help="Days closed, if you know.")
    ] = None,
    drying: Annotated[
        Way, typer.Option(help="How it is dried: airy room, fan, sun, vented cabinet, or not.")
    ] = "air",
    air: Annotated[
        str | None,
        typer.Option(metavar="TEMPERATURE", help="Of the drying air; by default that of the room."),
    ] = None,
    humidity: Annotated[
        str, typer.Option(metavar="SHARE", help="Relative humidity of that air.")
    ] = "50 %",
    oven: Annotated[
        str, typer.Option(metavar="TEMPERATURE", help="Inside the cabinet, with --drying oven.")
    ] = "35 °C",
    layer: Annotated[
        str | None, typer.Option(metavar="AMOUNT", help='Wet bran on trays, e.g. "4 kg/m2".')
    ] = None,
    store: Annotated[
        str | None,
        typer.Option(metavar="TEMPERATURE", help="Where it is kept; by default as the room."),
    ] = None,
    container: Annotated[
        str | None, typer.Option(metavar="VOLUME", help='Of what it stands closed in, e.g. "20 L".')
    ] = None,
    price: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WHAT=MONEY",
            help="Your prices: carrier, sugar, inoculum and bag for a kg, energy for a kWh; each "
            "after its own --price.",
        ),
    ] = None,
    test: Annotated[
        list[str] | None,
        typer.Option(
            metavar="KIND=RESULT[@DAY]",
            help="A test that you did on it, DAY days after packing: sour_drop=20 (hours, or "
            "never), slurry=4.3 (pH), jar=4.1 (pH), plate=7.2 (power of ten); each after its own "
            "--test.",
        ),
    ] = None,
    cup: Annotated[Cup, typer.Option(help="The cup that you measure with.")] = "metric_cup",
    start: Annotated[
        str | None,
        typer.Option(metavar="DATE", help="Day of mixing, e.g. 2026-03-02; today by default."),
    ] = None,
    json: Json = False,
    members: Members = 400,
    seed: Seed = 1,
    units: Units = None,
) -> None:
    """Plan one batch of inoculated bran.

    What to weigh out, what to do on which day, what gas to expect, how long it dries and to what
    weight, how strong the bran is and how long it stays good, how much of it to give, what it
    costs, what to write on the label. Give either --want or a site file.
    """
    places = [read(path) for path in site_files or ()]
    place = places[0] if places else None
    if (place is None) == (want is None):
        raise Refusal(
            'give either --want, such as --want "10 kg", or a site file whose plan says how much'
        )
    system: System = units or "metric"
    if place is not None:
        place, system = spoken_in(place, units)
        places[0] = place
    warm = room or usual_room(place)
    asked = Asked(
        mixture=mixture(carrier or [], carrier_moisture, place),
        sweet=sugar,
        inoculum=inoculum,
        sweet_rate=share("--sugar-dose", sugar_dose),
        inoculum_rate=share("--inoculum-dose", inoculum_dose),
        moisture=share("--moisture", moisture),
        room_c=quantity("--room", warm, "temperature"),
        closed_days=closed,
        way=drying,
        air_c=quantity("--air", air or warm, "temperature"),
        humidity=quantity("--humidity", humidity, "share"),
        oven_c=quantity("--oven", oven, "temperature"),
        layer=None if layer is None else quantity("--layer", layer, "mass_per_area"),
        store_c=quantity("--store", store or warm, "temperature"),
        want_kg=None if want is None else between("--want", want, "mass", 0.05, 5000),
        box_m3=None if container is None else between("--container", container, "volume", 1e-4, 10),
        prices=prices(price or []),
        trials=trials(test or []),
        start=day(start),
        cup=cup,
        system=system,
        members=members,
        seed=seed,
    )
    answer = compute(asked, places)
    if json:
        typer.echo(answer.model_dump_json(indent=2))
    else:
        _print(answer, system)


def _print(answer: Answer, system: System) -> None:
    from rich.console import Console

    from sourloam.cli.bran_text import bran_text

    Console().print(bran_text(answer, system))
