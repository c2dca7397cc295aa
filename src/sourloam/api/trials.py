"""What if: two vessels side by side with something changed, as the page to play with has them."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np
from django.http import HttpRequest, HttpResponse
from ninja import Router
from numpy.typing import NDArray
from pydantic import Field

from sourloam.api import shapes
from sourloam.api.caller import caller_of
from sourloam.api.operations import operation, said
from sourloam.api.taking import Taken, body_of
from sourloam.api.trouble import Trouble
from sourloam.numerics import Range
from sourloam.vessel import Chance
from sourloam.web.try_it.gate import TooBusy, turnstile
from sourloam.web.try_it.model import MEMBERS, Outcome, both, line_ph
from sourloam.web.try_it.settings import SIDES, Trial, read_trial

router = Router(tags=["reckoned"])
_ENDS = (0.1, 0.5, 0.9)


class SideAsked(Taken):
    """One vessel; what is left out is the usual."""

    warmth: Annotated[float, Field(ge=2, le=38)] | None = None
    """°C"""
    bran: Annotated[float, Field(ge=0, le=60)] | None = None
    """g for a kg of scraps"""
    bread: Annotated[float, Field(ge=0, le=60)] | None = None
    """% of the layer"""
    meat: Annotated[float, Field(ge=0, le=40)] | None = None
    """% of the layer"""
    sugar: Annotated[float, Field(ge=0, le=60)] | None = None
    """g for a kg of scraps"""
    layer: Annotated[float, Field(ge=0.2, le=3)] | None = None
    """kg"""
    plate: Annotated[float, Field(ge=0, le=12)] | None = None
    """kg that press on the top, in a pail"""
    opened: Annotated[float, Field(ge=0, le=6)] | None = None
    """times a day beside feeding"""
    leak: Annotated[float, Field(ge=0, le=10)] | None = None
    """litres of air a day"""
    mix: Literal["trimmings", "household", "plate_waste", "school_lunch", "garden"] | None = None
    pieces: Literal["minced", "chopped", "whole"] | None = None


class NewTrial(Taken):
    """Two vessels of one kind."""

    body: Literal["pail", "jar"] = "pail"
    a: SideAsked = SideAsked()
    b: SideAsked = SideAsked()


@operation(router, "POST /trials", shapes.Trial, NewTrial)
def trial(request: HttpRequest) -> HttpResponse:
    """What becomes of two vessels that differ in something; nothing is kept.

    The model that forecasts real vessels, run with the same draws of all that is uncertain for
    both, and filled on the same days unless the size of a layer differs. Settings are taken to
    the nearest step of the page's sliders.
    """
    caller = caller_of(request)
    asked = _read(body_of(request, NewTrial))
    whose = f"token {caller.token.pk}"
    try:
        a, b = both(asked, lambda side: turnstile.outcome(side, whose))
    except TooBusy as busy:
        line = "Many are playing just now; ask again in a moment."
        raise Trouble(503, line, "busy", wait_s=busy.after_s) from None
    return said(
        shapes.Trial(
            changed=asked.changes(),
            held_back_below_ph=line_ph(),
            members=MEMBERS,
            a=_told(a),
            b=_told(b),
        )
    )


def _read(sent: NewTrial) -> Trial:
    query: dict[str, str] = {"body": sent.body}
    for letter in SIDES:
        side = sent.a if letter == "a" else sent.b
        given = side.model_dump(exclude_none=True)
        query |= {f"{letter}_{name}": str(value) for name, value in given.items()}
    try:
        return read_trial(query)
    except ValueError as error:
        raise Trouble(422, str(error), "field") from None


def _told(found: Outcome) -> shapes.TrialSide:
    return shapes.TrialSide(
        layer_kg=found.layer_kg,
        layers=len(found.layer_days),
        newest_ph=_by_day(found.newest_ph, "pH"),
        liquid=_by_day(found.liquid_ml, "mL"),
        days_until_sour=_points(found.sour_days, "d"),
        liquid_total=_points(found.liquid_total_ml, "mL"),
        failing=_chance(found.failing),
        spoiled_top=_chance(found.spoilt_top),
    )


def _by_day(rows: NDArray[np.float64], unit: str) -> tuple[Range, ...]:
    return tuple(_range(low, middle, high, unit) for low, middle, high in rows.T)


def _points(values: NDArray[np.float64], unit: str) -> Range:
    """Points of the members, null where one of them lies beyond the time followed."""
    low, middle, high = np.quantile(values, _ENDS, method="closest_observation")
    return _range(low, middle, high, unit)


def _range(low: float, middle: float, high: float, unit: str) -> Range:
    low_, middle_, high_ = (float(x) if np.isfinite(x) else None for x in (low, middle, high))
    return Range(low=low_, median=middle_, high=high_, unit=unit)


def _chance(found: Chance) -> Range:
    return Range(low=found.low, median=found.share, high=found.high, unit="1")
