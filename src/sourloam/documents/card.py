"""The card of a vessel: one side of paper on the wall beside it, with this kitchen's figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any

from sourloam.documents import card_words
from sourloam.documents.names import vessel_name
from sourloam.documents.qr import qr_svg, said_by
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import Printing, for_print, typeset
from sourloam.documents.vessel_drawing import cut_open
from sourloam.evidence import book
from sourloam.numerics import Range
from sourloam.planning.contract import Fill, Plan
from sourloam.units import factor
from sourloam.vessel.kinds import Vessel

_MANY_SPOONS = 12.0  # more than that nobody counts: weigh
_ML = 1e6


@dataclass(frozen=True)
class OnShelf:
    """A vessel of a logbook: what people call it, its kind, its short code."""

    name: str
    kind: str
    code: str = ""


def vessel_cards(
    plan: Plan,
    vessels: Sequence[Vessel],
    printing: Printing,
    shelf: Sequence[OnShelf] = (),
    drain_every: int | None = None,
) -> bytes:
    """A page for each vessel of the shelf; without one for each that the place owns, or that the
    plan asks for if it owns none.

    ``vessels`` are the shapes of the site's kinds, to draw them; ``drain_every`` is the rhythm of
    those who do it, in days, the plan's if left out.
    """
    every = drain_every or plan.liquid.drain_every_days
    speech, shapes = printing.speech, {vessel.name: vessel for vessel in vessels}
    data = {
        "title": speech.say("Cards of the vessels of {place}", place=plan.site.name),
        "place": plan.site.name,
        "cards": [
            _card(plan, one, shapes[one.kind], every, printing) for one in shelf or named(plan)
        ],
        "qr_alt": speech.say("QR code of this vessel"),
        "begin": speech.say("Before the first layer: tap shut, grid in, a handful of bran."),
        "blanks": [speech.say(w) for w in card_words.BLANKS],
        "foot": _foot(plan, printing),
        **card_words.panels(speech, printing.call),
    }
    return typeset("card", data, printing)


def named(plan: Plan) -> Iterator[OnShelf]:
    """Each vessel: those owned, else as many of the chosen kind as needed."""
    owned = {kind.name: kind.owned for kind in plan.site.vessels if kind.owned}
    for kind, number in (owned or {plan.vessels.chosen: plan.vessels.chosen_number}).items():
        for place in range(1, number + 1):
            yield OnShelf(f"{kind} no. {place}", kind)


def _card(
    plan: Plan, one: OnShelf, shape: Vessel, every: int, printing: Printing
) -> dict[str, Any]:
    speech, kind = printing.speech, shape.name
    shown = vessel_name(one.name, speech)
    fill = next(f for f in plan.fill if f.vessel == kind)
    svg, alt = cut_open(shape, shown, speech)
    return {
        "name": shown,
        "qr": qr_svg(said_by(printing.address, one.name, plan.site.name, one.code)),
        "drawing": for_print(svg),
        "drawing_alt": alt,
        "steps": [
            {"number": str(i), **step}
            for i, step in enumerate(_steps(plan, fill, every, speech), start=1)
        ],
        "seasons": _seasons(plan, fill, speech),
        "care": card_words.care(speech, [c.id for c in plan.cautions]),
    }


def _steps(plan: Plan, fill: Fill, every: int, speech: Speech) -> Iterator[dict[str, str]]:
    yield _bran(plan, fill, speech)
    yield {
        "lead": speech.say("Then, every time"),
        "figure": speech.say("press, plate, lid"),
        "detail": speech.say("Press out the air, put the plate back, close the lid tight."),
    }
    yield _drain(plan, every, speech)
    yield _full(fill, speech)
    yield _rest(plan, speech)


def _bran(plan: Plan, fill: Fill, speech: Speech) -> dict[str, str]:
    layer = next(row for row in plan.bran.per_layer if row.vessel == fill.vessel)
    spoons = layer.spoons.median or 0.0
    grams = speech.figure(layer.mass.median, "g")
    by_weight = spoons > _MANY_SPOONS
    row = book()[f"units.{plan.bran.spoon}"]
    spoon_ml = speech.number(row.value * factor(row.unit, "volume") * _ML)
    counted = speech.many("{n} spoon", "{n} spoons", spoons)
    usual = median(s.taken.median / s.layers.median for s in fill.by_season
                   if s.taken.median and s.layers.median)  # fmt: skip
    detail = speech.say(
        "of inoculated bran ({ends}), out to the edge, for a usual layer of {mass}.",
        ends=speech.ends(layer.mass),
        mass=speech.figure(usual, "kg"),
    )
    if by_weight:
        level = speech.say("About {n} level tablespoons of {ml} mL.", n=round(spoons), ml=spoon_ml)
    else:
        level = speech.say("Level tablespoons of {ml} mL.", ml=spoon_ml)
    return {
        "lead": speech.say("On each layer of scraps"),
        "figure": grams if by_weight else f"{counted} · {grams}",
        "detail": f"{detail} {level}",
    }


def _drain(plan: Plan, every: int, speech: Speech) -> dict[str, str]:
    """Liquid gathers as long as nobody drains: the plan's amount, for the days between."""
    liquid, water = plan.liquid, book()["practice.dilution"]
    comes = liquid.per_draining
    low, middle, high = (
        None if end is None else end * every / liquid.drain_every_days
        for end in (comes.low, comes.median, comes.high)
    )
    comes = Range(low=low, median=middle, high=high, unit=comes.unit)
    return {
        "lead": speech.say("Drain at the tap"),
        "figure": speech.many("every day", "every {n} days", every),
        "detail": speech.say(
            "About {middle} comes ({ends}); none is no fault. That day, on soil, in {least} parts "
            "of water; {more} for seedlings and pots.",
            middle=speech.figure(comes.median, "mL"),
            ends=speech.ends(comes),
            least=speech.number((water.high or 0.0) / 2),
            more=speech.number(water.high or 0.0),
        ),
    }


def _full(fill: Fill, speech: Speech) -> dict[str, str]:
    rows = fill.by_season
    middles = [s.days.median for s in rows if s.days.median is not None]
    low = [s.days.low for s in rows if s.days.low is not None]
    high = [s.days.high for s in rows if s.days.high is not None]
    taken = median(s.taken.median for s in rows if s.taken.median is not None)
    figure = speech.many("{n} day", "about {n} days", round(median(middles))) if middles else "?"
    return {
        "lead": speech.say("Full after"),
        "figure": figure,
        "detail": speech.say(
            "{low} to {high} days; about {mass}. The plate must still fit under the lid. Then "
            "write the day on it and begin the next empty one.",
            low=speech.number(min(low)) if low else "?",
            high=speech.number(max(high)) if len(high) == len(rows) else "?",
            mass=speech.figure(taken, "kg"),
        ),
    }


def _rest(plan: Plan, speech: Speech) -> dict[str, str]:
    rows = plan.finish.by_season
    high = [s.days.high for s in rows if s.days.high is not None]
    low = [s.days.low for s in rows if s.days.low is not None]
    long = len(high) < len(rows) or not high
    figure = speech.say("until it is sour") if long else _days(max(high), speech)
    early = speech.number(min(low)) if low else "?"
    if plan.ground.way == "tub":
        detail = speech.say(
            "From the last layer on; keep draining. Sour after {low} days at the earliest; longer "
            "does no harm. Then mix it with soil in the tub.",
            low=early,
        )
    else:
        detail = speech.say(
            "From the last layer on; keep draining. Sour after {low} days at the earliest; longer "
            "does no harm. Then bury it.",
            low=early,
        )
    return {"lead": speech.say("Then let it rest, closed, for"), "figure": figure, "detail": detail}


def _days(number: float, speech: Speech) -> str:
    return speech.many("{n} day", "{n} days", round(number))


def _seasons(plan: Plan, fill: Fill, speech: Speech) -> dict[str, Any] | None:
    """Filling and rest by season, where there are seasons."""
    if len(fill.by_season) < 2:
        return None
    rest = {row.season: row.days for row in plan.finish.by_season}
    rows = [
        [speech.known(row.season), _about(row.days, speech), _about(rest[row.season], speech)]
        for row in fill.by_season
        if row.season in rest
    ]
    head = [speech.say("Days"), speech.say("until full"), speech.say("of rest")]
    return {"head": head, "rows": rows}


def _about(days: Range, speech: Speech) -> str:
    ends = [speech.number(end) if end is not None else "…" for end in (days.low, days.high)]
    return "–".join(ends)


def _foot(plan: Plan, printing: Printing) -> str:
    speech = printing.speech
    return speech.say(
        "Computed from {n} possible years of this place; ranges hold eight of ten. {day}. Local "
        "rules come first.",
        n=plan.provenance.members,
        day=speech.day(printing.day or plan.site.start, year=True),
    )
