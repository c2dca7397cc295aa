"""The sheet of a batch of inoculated bran: weigh, do day by day, tick off, label."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sourloam.bran import Answer
from sourloam.bran.contract import Step, Weighed
from sourloam.documents import bran_words
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import Printing, typeset
from sourloam.evidence import book
from sourloam.numerics import Range

_CUPS = 3
_MANY_CUPS = 40.0  # more than that nobody counts: weigh
_DEPTH = Range(low=0.01, median=0.015, high=0.02, unit="m")


def bran_sheet(answer: Answer, printing: Printing) -> bytes:
    """A page to stand beside the tub."""
    speech = printing.speech
    names = _in_words(answer.carriers, speech)
    data = {
        "title": speech.say("A batch of inoculated bran"),
        "place": _under(answer, names, speech),
        "weigh_title": speech.say("Weigh out"),
        **_weighing([_weighed(thing, speech) for thing in answer.weighed], speech),
        "days_title": speech.say("Day by day"),
        "days_head": [speech.say(word) for word in bran_words.DAYS],
        "days": list(_days(answer, speech)),
        "facts": list(_facts(answer, speech)),
        "label": {
            "title": speech.say("Write on every bag"),
            "lines": list(_label(answer, names, speech)),
        },
        "care": bran_words.care(speech, [c.id for c in answer.cautions]),
        "foot": speech.say(
            "Computed from {n} possible batches; ranges hold eight of ten. Your own test tells "
            "more than this forecast. Local rules come first.",
            n=answer.members,
        ),
    }
    return typeset("bran", data, printing)


def _in_words(names: str, speech: Speech) -> str:
    """Such as "wheat bran and rice husk" in the reader's language."""
    if speech.language == "en":
        return names
    return " y ".join(speech.known(name) for name in names.split(" and "))


def _under(answer: Answer, names: str, speech: Speech) -> str:
    return speech.say(
        "{mass} of {names}, mixed on {day}",
        mass=speech.figure(answer.wanted_kg, "kg"),
        names=names,
        day=speech.day(answer.steps[0].date, year=True),
    )


def _weighing(rows: list[list[str]], speech: Speech) -> dict[str, list[Any]]:
    """The table of what to weigh out; nothing stands above cups where none is counted."""
    head = [speech.say(word) for word in bran_words.WEIGH]
    if not any(row[_CUPS] for row in rows):
        head[_CUPS] = ""
    return {"weigh_head": head, "weigh": rows}


def _weighed(thing: Weighed, speech: Speech) -> list[str]:
    mass, volume, cups = thing.mass, thing.volume, thing.cups
    shown = "" if volume is None else speech.figure(volume.median, volume.unit)
    counted = None if cups is None else cups.median
    cup = "" if counted is None or counted > _MANY_CUPS else speech.count(counted)
    return [_in_words(thing.name, speech), speech.figure(mass.median, mass.unit), shown, cup, ""]


def _days(answer: Answer, speech: Speech) -> Iterator[list[str]]:
    told = set()
    for step in answer.steps:
        if step.kind not in told:  # the kinds are told once, in words of this sheet
            told.add(step.kind)
            said = _said(step, answer, speech)
            yield [speech.number(step.day), speech.day(step.date), said, ""]


def _said(step: Step, answer: Answer, speech: Speech) -> str:
    souring, drying = answer.souring, answer.drying
    values = {
        "packed": speech.figure(souring.packed.median, "L"),
        "room": speech.figure(souring.room_c, "°C"),
        "gas": speech.figure(souring.gas.median, "L"),
        "low": speech.number(souring.ph.low or 0.0, 1),
        "high": speech.number(souring.ph.high or 0.0, 1),
        "sour": speech.number(souring.ph_sour, 1),
        **_drop(speech),
    }
    if drying is not None:
        values |= {
            "depth": speech.ends(_DEPTH),
            "area": speech.figure(drying.trays.median, "m2"),
            "first": _whole(drying.days.low, speech),
            "last": _whole(drying.days.high, speech),
            "wet": speech.number(drying.moisture_before.median or 0.0),
            "mass": speech.figure(drying.weight_after.median, "kg"),
        }
    kind = "keep" if step.kind == "pack" and drying is None else step.kind
    return speech.say(bran_words.STEPS[kind], **values)


def _drop(speech: Speech) -> dict[str, str]:
    """The figures of the sour-drop test."""
    drop = {n: book()[f"bran_tests.drop.{n}"].value for n in ("bran", "milk", "at", "ph", "pass")}
    return {
        "bran": _measured(drop["bran"], "g", speech),
        "milk": _measured(drop["milk"], "mL", speech),
        "warm": speech.figure(drop["at"], "°C"),
        "mark": speech.number(drop["ph"], 1),
        "hours": speech.number(drop["pass"]),
    }


def _measured(value: float, unit: str, speech: Speech) -> str:
    """In the reader's unit, and in the finer one that small scales and jars tell."""
    own = speech.figure(value, unit)
    return own if speech.system == "metric" else f"{own} ({speech.number(value)} {unit})"


def _whole(days: float | None, speech: Speech) -> str:
    return "?" if days is None else speech.number(max(days, 1))


def _facts(answer: Answer, speech: Speech) -> Iterator[list[str]]:
    yield [speech.say("Ready"), speech.day(answer.ready, year=True)]
    yield [speech.say("To pack"), speech.figure(answer.product.median, "kg")]
    until = _until(answer, speech)
    kept = speech.say("Best before, kept at {store}", **until)
    yield [kept, until["best"]]
    first = answer.ages[0]
    if first.advised is not None:
        yield [speech.say("Dose at first, a kg of scraps"), speech.figure(first.advised, "g")]
    chance = speech.say("{n} in 100", n=round(100 * first.chance_good))
    yield [speech.say("Chance that it is strong enough"), chance]


def _until(answer: Answer, speech: Speech) -> dict[str, str]:
    """Best-before by the middle and both ends, and the warmth that it is told for."""
    days = answer.good_for
    return {
        "best": speech.day(answer.best_before, year=True),
        "first": speech.day(answer.good_until(days.low), year=True),
        "last": speech.day(answer.good_until(days.high), year=True),
        "store": speech.figure(answer.store_c, "°C"),
    }


def _label(answer: Answer, names: str, speech: Speech) -> Iterator[str]:
    blank = "________"
    yield speech.say("INOCULATED BRAN for scraps. NOT FOOD OR FEED.")
    yield speech.say(
        "{names}; mixed {day}; best before {best}, kept at {store} (somewhere from {first} to "
        "{last})",
        names=names,
        day=speech.day(answer.steps[0].date, year=True),
        **_until(answer, speech),
    )
    yield speech.say("pH {blank} on {blank}; test {blank}", blank=blank)
    for allergen in _allergens(answer):
        yield speech.say("CONTAINS {what}", what=speech.known(allergen).upper())


def _allergens(answer: Answer) -> list[str]:
    """What the batch's own label names as allergens."""
    mark = "CONTAINS "
    lines: list[Any] = [line for line in answer.label if line.startswith(mark)]
    return [name for line in lines for name in line.removeprefix(mark).lower().split(", ")]
