"""What to do on which day, in sentences for the printed page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import ArrayLike

from sourloam.bran.carriers import INOCULA, SWEETS
from sourloam.bran.contract import Step, StepKind
from sourloam.bran.making import Batch
from sourloam.bran.recipe import containers
from sourloam.numerics import spread
from sourloam.units import show, show_range

_SMELL = (
    "It should smell sweet-sour and malty, like bread dough or cider; a white film is fine. "
    "Foul, like ammonia or rancid butter, or green, black or pink: discard it."
)
_VENTING = 7
_DEPTH_M = (0.01, 0.02)  # method: what the layers that can be chosen come to


@dataclass(frozen=True)
class Setting:
    """When the batch is begun, how the reader measures, and the container, m3, if known."""

    start: dt.date
    system: str = "metric"
    container_m3: float | None = None


def packing_day(made: Batch) -> int:
    """Days from mixing until it is packed, by the middle of the range; ValueError where it never
    gets dry."""
    drying = 0.0 if made.dried is None else float(spread(made.dried.days).median)
    if not np.isfinite(drying):
        raise ValueError("this air does not dry bran: give warmer or drier air, or --drying oven")
    return made.soured.closed_days + int(np.ceil(drying))


def steps(made: Batch, setting: Setting) -> tuple[Step, ...]:
    """All steps in order of day."""
    listed = (
        *_mixing(made, setting),
        *_closed(made, setting),
        *_drying(made, setting),
        *_packing(made, setting),
    )
    return tuple(_dated(kind, day, text, setting) for kind, day, text in listed)


def _dated(kind: str, day: int, text: str, setting: Setting) -> Step:
    date = setting.start + dt.timedelta(days=day)
    return Step(kind=cast("StepKind", kind), day=day, date=date, text=text)


_Line = tuple[str, int, str]


def _mixing(made: Batch, setting: Setting) -> Iterator[_Line]:
    weighed, wish = made.recipe, made.case.wish
    water = _middle(weighed.water_kg)
    mass, small = _mass(setting), _small(setting)
    carrier = mass(weighed.carrier_kg)
    if water <= 0:
        yield (
            "mix",
            0,
            f"The carrier is wetter than the mix should be: press out or dry off "
            f"{mass(-water)} of water first. It needs no water.",
        )
    wet = [] if wish.sweet == "none" else [f"{small(weighed.sweet_kg)} of {SWEETS[wish.sweet]}"]
    if wish.inoculum == "batch":
        yield (
            "mix",
            0,
            f"Rub {small(weighed.inoculum_kg)} of {INOCULA['batch']} into {carrier} of "
            f"{wish.mixture.words}.",
        )
    else:
        wet.append(f"{small(weighed.inoculum_kg)} of {INOCULA[wish.inoculum]}")
    into = f"{mass(water)} of hand-warm water that stood overnight" if water > 0 else "each other"
    stirred = f"Stir {' and '.join(wet)} into {into}; " if wet else f"Take {into}; "
    yield (
        "mix",
        0,
        f"{stirred}rub it into {carrier} of {wish.mixture.words} until it is even. A squeezed "
        "handful holds together, breaks at a touch and does not drip.",
    )


def _closed(made: Batch, setting: Setting) -> Iterator[_Line]:
    weighed, sour = made.recipe, made.soured
    volume = show(_middle(weighed.packed_m3), "volume", setting.system)
    into = f"a container of {volume} or more"
    if setting.container_m3:
        count = containers(weighed.packed_m3, setting.container_m3, made.parameters)
        each = show(setting.container_m3, "volume", setting.system)
        into = f"{int(_middle(count))} x {each}"
    room = show(made.case.room_c, "temperature", setting.system)
    yield (
        "close",
        0,
        f"Press it into {into} without pockets of air, a sheet on top, the lid on but able to "
        f"vent. Label it. Keep it dark at {room}.",
    )
    gas = sour.gas_l_per_kg * weighed.wet_kg / 1000
    yield (
        "vent",
        1,
        f"Let the gas out every day of the first {min(_VENTING, sour.closed_days)} days, about "
        f"{show(_middle(gas), 'volume', setting.system)} in all, then press the sheet "
        "down again.",
    )
    ph = spread(sour.ph)
    least = float(made.parameters["bran_making.ph.pass"][0])
    yield (
        "look",
        sour.closed_days,
        f"Open it. {_SMELL} Its slurry should read pH {ph.low:.1f} to {ph.high:.1f}; above "
        f"{least:g}, leave it closed another week.",
    )


def _drying(made: Batch, setting: Setting) -> Iterator[_Line]:
    if made.dried is None:
        return
    dry, how = made.dried, made.case.drying
    wet = _middle(made.recipe.wet_kg)
    area = show(_middle(dry.trays_m2 * made.recipe.wet_kg), "area", setting.system)
    layer = show(1 / _middle(dry.trays_m2), "mass_per_area", setting.system)
    depth = show_range(*_DEPTH_M, "length", setting.system)
    takes = spread(dry.days)
    time = show_range(float(takes.low), float(takes.high), "duration")
    where = {
        "air": "in an airy room",
        "fan": "under a slow fan",
        "sun": "in the sun, taken in at night",
        "oven": f"in a vented cabinet at {show(how.oven_c, 'temperature', setting.system)}",
    }[how.method]
    end = show(_middle(made.product_kg), "mass", setting.system)
    yield (
        "dry",
        made.soured.closed_days,
        f"Spread it on trays, {area} in all ({layer}, {depth}), {where}; turn it "
        f"twice a day, rub out lumps. It takes {time}. Weigh it: of "
        f"{_mass(setting)(wet)} wet, {end} are left when it is dry enough.",
    )


def _packing(made: Batch, setting: Setting) -> Iterator[_Line]:
    day = packing_day(made)
    limits = {n: float(made.parameters[f"bran_making.{n}"][0]) for n in ("warm_bag", "hot_bag")}
    kelvin = "temperature_difference"
    fine, bad = (show(limits[n], kelvin, setting.system) for n in ("warm_bag", "hot_bag"))
    store = show(made.case.store_c, "temperature", setting.system)
    if made.dried is None:
        yield (
            "pack",
            day,
            "Leave it pressed and closed: moist bran keeps only while it is sour and airless. "
            f"Take out what a week needs, press the rest down again, keep it at {store}.",
        )
    else:
        yield (
            "pack",
            day,
            f"Pack it into airtight bags or tubs as soon as it is dry and cool; put the label "
            f"on; keep it dark at {store}.",
        )
    yield (
        "check",
        day + 1,
        f"Feel a bag, or put a thermometer into it: up to {fine} above the room is fine, more "
        f"than {bad} means that it is spoiling. Do one of the tests of strength now.",
    )


def _middle(values: ArrayLike) -> float:
    """The middle of the members, the same one as in the table of what to weigh out."""
    return float(spread(np.ravel(values)).median)


class _Shown:
    """Shows the middle of members, or one figure, in the reader's unit."""

    def __init__(self, dimension: str, system: str) -> None:
        self._dimension, self._system = dimension, system

    def __call__(self, values: ArrayLike) -> str:
        return show(_middle(values), self._dimension, self._system)


def _mass(setting: Setting) -> _Shown:
    return _Shown("mass", setting.system)


def _small(setting: Setting) -> _Shown:
    return _Shown("small_mass", setting.system)
