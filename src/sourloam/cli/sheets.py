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
from sourloam.documents import OnShelf, Printing, Stickers
from sourloam.evidence import book
from sourloam.site.ordering import in_order

if TYPE_CHECKING:
    from sourloam.exchange import Log
    from sourloam.ledger.state import Turn, VesselState
    from sourloam.planning import Plan
    from sourloam.site import Site
    from sourloam.site.beds import FinishedVessel
    from sourloam.site.equipment import VesselKind


#: Sheets that a log tells by itself, without a plan.
OF_LOG = ("season", "week", "labels")


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
    shelf: tuple[OnShelf, ...] = ()
    drain_every: int | None = None


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


def sheet_of_log(what: str, log: Log, printing: Printing, stickers: Stickers, path: Path) -> bytes:
    """A sheet made from a place's log alone."""
    day = printing.day or dt.date.today()
    if what == "season":
        return documents.season_report(log.place.name, log.state, day, printing)
    if what == "week":
        return documents.week_sheet(log.place.name, log.state, day, printing)
    shelf = shelf_of(log, path)
    names, codes = [one.name for one in shelf], [one.code for one in shelf]
    return documents.vessel_labels(names, log.place.name, printing, stickers, codes)


def shelf_of(log: Log, path: Path) -> tuple[OnShelf, ...]:
    """The vessels of a log with their short codes; Refusal where there is none."""
    from sourloam.web.short import code

    vessels = _used(log)
    if not vessels:
        raise Refusal(f"{path}: no vessel stands on its shelf yet")
    return tuple(OnShelf(v.name, _kind(v).name, code(log.place.id, v.id)) for v in vessels)


def site_of(log: Log, path: Path, day: dt.date) -> Site:
    """The place that a log describes from ``day`` on, owning what stands on its shelf; Refusal
    without one."""
    site = log.state.site()
    if site is None:
        raise Refusal(f"{path}: nobody described this place yet; set it up, or give a SITE.toml")
    kinds = {kind.name: kind.model_copy(update={"owned": 0}) for kind in site.vessels}
    for vessel in _used(log):
        kind = kinds.setdefault(_kind(vessel).name, _kind(vessel).model_copy(update={"owned": 0}))
        owned = kind.owned + 1
        most = None if kind.most is None else max(kind.most, owned)
        kinds[kind.name] = kind.model_copy(update={"owned": owned, "most": most})
    begun = site.place.model_copy(update={"start": day})
    return site.model_copy(update={"place": begun, "vessels": list(kinds.values())})


def waiting(log: Log, site: Site, day: dt.date) -> list[FinishedVessel]:
    """Vessels of the shelf that wait to be buried, or will once they have rested."""
    from sourloam.ledger.where import ferment_kg
    from sourloam.site.beds import FinishedVessel

    found: list[FinishedVessel] = []
    for vessel in _used(log):
        turn = vessel.turn
        if vessel.stage in ("resting", "ready") and turn is not None:
            rested = _rested(vessel, turn)
            name, kg = vessel.name, ferment_kg(turn, log.state, site)
            if any(one.name == name for one in found):
                name = f"{name} ({vessel.id[-4:]})"
            ready = max(rested, day)
            found.append(
                FinishedVessel.model_construct(
                    name=name, ready=ready, mass_kg=kg, nitrogen=None, meat="some"
                )
            )
    return found


def _rested(vessel: VesselState, turn: Turn) -> dt.date:
    """The day of its judgement, else the end of a long usual rest after its last layer."""
    if vessel.stage == "ready" and turn.judgements:
        return turn.judgements[-1].day
    last = turn.last_fed or turn.set_aside or turn.began
    return last.day + dt.timedelta(days=round(book()["practice.rest"].high))


def _used(log: Log) -> list[VesselState]:
    kept = [v for v in log.state.vessels if v.retired is None and v.added is not None]
    return sorted(kept, key=lambda vessel: in_order(vessel.name))


def _kind(vessel: VesselState) -> VesselKind:
    assert vessel.added is not None  # used vessels were described
    return vessel.added.body.read_spec()


def _plan(order: Order) -> Plan:
    from sourloam.planning import make_plan

    with progress() as report:
        return make_plan(order.place, members=order.members, seed=order.seed, progress=report)


def _card(order: Order) -> bytes:
    shapes = order.place.to_vessels()
    return documents.vessel_cards(
        _plan(order), shapes, order.printing, order.shelf, order.drain_every
    )


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
    return documents.bran_sheet(compute(asked, [order.place]), order.printing)


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
