"""From the ledger's turn of a vessel to the plain log that a forecast reads."""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.forecast.logged import Layer, Logged, Look, Reading, Strip, Way
from sourloam.ledger import PlaceState
from sourloam.ledger.amounts import layer_kg
from sourloam.ledger.bodies import Amount, Body, Fed, WarmthRead
from sourloam.ledger.state import Record, Turn
from sourloam.vessel import Vessel

#: Signs that tell of a rotten smell.
ROTTEN = frozenset({"rotten_smell"})
_UNTOLD = 0.3  # method: relative error of a mass read off a fill mark


def from_ledger(
    turn: Turn, state: PlaceState, shape: Vessel, mix: str | dict[str, float]
) -> Logged:
    """The log of one turn. A layer told by a measure that was never calibrated is left out, and a
    vessel whose log begins with a fill mark has one first layer of that much."""
    began = turn.began.day

    def day(record: Record[Body]) -> int:
        return max((record.day - began).days, 0)

    layers = [*_before_the_log(turn, shape), *_layers(turn, state, began, mix)]
    emptied = turn.ended
    last = None if emptied is None else day(emptied)
    warmths = [*turn.warmths, *_room(state, began, last)]
    return Logged(
        began=began,
        layers=tuple(sorted(layers, key=lambda layer: layer.day)),
        drains=tuple(Reading(day(r), r.body.volume_ml) for r in turn.drains),
        marks=tuple(Reading(day(r), r.body.fraction) for r in turn.marks),
        weighings=tuple(
            Reading(day(r), r.body.mass_kg - (r.body.empty_kg or 0.0))
            for r in turn.weighings
            if r.body.mass_kg > (r.body.empty_kg or 0.0)
        ),
        strips=tuple(Strip(day(r), r.body.ph, r.body.of == "solid") for r in turn.phs),
        warmths=tuple(
            sorted((Reading(day(r), r.body.temperature_c) for r in warmths), key=_by_day)
        ),
        looks=tuple(Look(day(r), bool(ROTTEN & set(r.body.signs))) for r in turn.looks),
        set_aside=None if turn.set_aside is None else day(turn.set_aside),
        verdict=turn.verdict,
    )


def _by_day(reading: Reading) -> int:
    return reading.day


def _before_the_log(turn: Turn, shape: Vessel) -> list[Layer]:
    """What was in the vessel when its log begins with a fill mark."""
    if turn.layers and turn.layers[0].day <= turn.began.day:
        return []
    fraction = turn.marks[0].body.fraction if turn.marks else 0.0
    kg = fraction * shape.usable_m3 * book()["site.vessel.fits"].value
    return [Layer(0, kg, _UNTOLD)] if kg > 0 else []


def _layers(
    turn: Turn, state: PlaceState, began: dt.date, mix: str | dict[str, float]
) -> list[Layer]:
    found = []
    for record in turn.layers:
        layer = _layer(record.body, state, (record.day - began).days, mix)
        if layer is not None:
            found.append(layer)
    return found


def _layer(fed: Fed, state: PlaceState, day: int, mix: str | dict[str, float]) -> Layer | None:
    kg = layer_kg(fed, state, mix)
    if kg is None:
        return None
    measure = state.measure(fed.amount.measure) if fed.amount.measure else None
    way, row, times = _way(fed.amount)
    by_eye = way == "counted" and measure is not None and measure.volume_l is not None
    error = book()[f"ledger.amount.{row}"].value / max(times, 1.0) ** 0.5
    return Layer(day, kg, error, "by_eye" if by_eye else way)


def laid_by_day(
    state: PlaceState, today: dt.date, mix: str | dict[str, float]
) -> tuple[NDArray[np.datetime64], NDArray[np.float64]]:
    """Days on which some vessel stood open to layers, with kg laid in all of them; days with a
    layer whose amount nobody can tell are left out."""
    kg: dict[dt.date, float] = {}
    untold: set[dt.date] = set()
    for turn in (turn for vessel in state.vessels for turn in vessel.turns):
        fed = [record for record in turn.layers if record.day <= today]
        if not fed:
            continue
        for day in range((fed[-1].day - fed[0].day).days + 1):
            kg.setdefault(fed[0].day + dt.timedelta(days=day), 0.0)
        for record in fed:
            layer = _layer(record.body, state, 0, mix)
            if layer is None:
                untold.add(record.day)
            else:
                kg[record.day] += layer.kg
    days = sorted(set(kg) - untold)
    return np.array(days, dtype="datetime64[D]"), np.array([kg[day] for day in days])


def _way(amount: Amount) -> tuple[Way, str, float]:
    """How it was told, the row of its error, over how many independent readings it evens out."""
    if amount.mass_kg is not None:
        return "weighed", "scale", 1.0
    if amount.volume_l is not None:
        return "by_eye", "volume", 1.0
    return "counted", "count", amount.count or 1.0


def _room(state: PlaceState, began: dt.date, last: int | None) -> list[Record[WarmthRead]]:
    """The room's thermometer in the days of the turn."""
    return [
        r
        for r in state.stores.warmths
        if r.day >= began and (last is None or (r.day - began).days <= last)
    ]
