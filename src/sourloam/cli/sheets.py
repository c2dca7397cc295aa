"""What ``sourloam print`` computes for each sheet: no more than that sheet needs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sourloam import documents
from sourloam.cli.progress import progress
from sourloam.cli.trouble import Refusal
from sourloam.documents import Printing, Stickers

if TYPE_CHECKING:
    from sourloam.planning import Plan
    from sourloam.site import Site


#: Sheets that a log is enough for.
OF_LOG = ("season", "labels")


@dataclass(frozen=True)
class Order:
    """Which sheet of which place, how to print it, and how it is computed."""

    what: str
    place: Site
    path: Path
    printing: Printing
    stickers: Stickers
    members: int
    seed: int


def sheet(order: Order) -> bytes:
    """The file's bytes; Refusal or DocumentError in one line for what can't be made."""
    ways: dict[str, Callable[[Order], bytes]] = {
        "card": _card,
        "labels": _labels,
        "burial": _burial,
        "feeding": _feeding,
        "bran": _bran,
        "class": _class,
        "calendar": _calendar,
    }
    return ways[order.what](order)


def sheet_of_log(what: str, path: Path, printing: Printing, stickers: Stickers) -> bytes:
    """A sheet made from a place's log alone; Refusal in one line for what needs a site file."""
    from sourloam.cli.log_file import log_of
    from sourloam.web.short import code

    if what not in OF_LOG:
        raise Refusal(f"--what {what}: needs a SITE.toml; from a log come {', '.join(OF_LOG)}")
    log = log_of(path)
    if what == "season":
        day = printing.day or dt.date.today()
        return documents.season_report(log.place.name, log.state, day, printing)
    vessels = [v for v in log.state.vessels if v.retired is None and v.added is not None]
    if not vessels:
        raise Refusal(f"{path}: no vessel stands on its shelf yet")
    vessels.sort(key=lambda v: v.name)
    codes = [code(log.place.id, v.id) for v in vessels]
    names = [v.name for v in vessels]
    return documents.vessel_labels(names, log.place.name, printing, stickers, codes)


def _plan(order: Order) -> Plan:
    from sourloam.planning import make_plan

    with progress() as report:
        return make_plan(order.place, members=order.members, seed=order.seed, progress=report)


def _card(order: Order) -> bytes:
    return documents.vessel_cards(_plan(order), order.place.to_vessels(), order.printing)


def _calendar(order: Order) -> bytes:
    return documents.plan_calendar(_plan(order), order.printing)


def _labels(order: Order) -> bytes:
    """Names of what is owned need no plan."""
    owned = {kind.name: kind.owned for kind in order.place.vessels if kind.owned}
    if not owned:
        vessels = _plan(order).vessels
        owned = {vessels.chosen: vessels.chosen_number}
    names = [f"{kind} no. {n}" for kind, many in owned.items() for n in range(1, many + 1)]
    return documents.vessel_labels(names, order.place.name, order.printing, order.stickers)


def _burial(order: Order) -> bytes:
    from sourloam.cli.garden import compute

    answer = compute(order.place, order.path, order.members, order.seed)
    return documents.burial_sheet(answer, order.printing)


def _feeding(order: Order) -> bytes:
    from sourloam.cli.garden import compute

    answer = compute(order.place, order.path, order.members, order.seed)
    return documents.feeding_table(answer, order.printing)


def _bran(order: Order) -> bytes:
    """The batch that `sourloam bran SITE.toml` plans when nothing else is asked."""
    from sourloam.cli.bran_batch import Asked, compute, mixture, quantity, usual_room

    warm = quantity("room", usual_room(order.place), "temperature")
    asked = Asked(
        mixture=mixture([], None, order.place),
        sweet="molasses",
        inoculum="bought",
        sweet_rate=None,
        inoculum_rate=None,
        moisture=None,
        room_c=warm,
        closed_days=None,
        way="air",
        air_c=warm,
        humidity=quantity("humidity", "50 %", "share"),
        oven_c=quantity("oven", "35 °C", "temperature"),
        layer=None,
        store_c=warm,
        want_kg=None,
        box_m3=None,
        prices={},
        trials=[],
        start=order.printing.day or dt.date.today(),
        cup="metric_cup" if order.printing.system == "metric" else "us_cup",
        system=order.printing.system,
        members=order.members,
        seed=order.seed,
    )
    return documents.bran_sheet(compute(asked, order.place), order.printing)


def _class(order: Order) -> bytes:
    """Three jars in the room of the place."""
    import numpy as np

    from sourloam.cli.bran_batch import quantity, usual_room
    from sourloam.documents.experiment import evidence_ids, foresee_jars
    from sourloam.evidence import book

    rng = np.random.default_rng(order.seed)
    parameters = book().sample(evidence_ids(), order.members, rng)
    warm = quantity("room", usual_room(order.place), "temperature")
    return documents.class_kit(foresee_jars(warm, parameters), order.members, order.printing)
