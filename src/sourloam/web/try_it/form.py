"""The sliders of the page to play with, its ready-made comparisons, its legend."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.documents.experiment import COLD_C, JAR_KG
from sourloam.web import wording as w
from sourloam.web.fields import choices
from sourloam.web.pictures import shown
from sourloam.web.try_it.settings import (
    CHOICES,
    FIRST_SHOWN,
    SIDES,
    UNITS,
    Dial,
    Side,
    Trial,
    address_of,
    dials_of,
    usual,
)
from sourloam.web.try_it.words import DIAL_WORDS, PIECE_WORDS, dial_says

_COLD_SHED_C = 8.0
_COOL_ROOM_C = 13.0  # where bran decides most in the model; in a warm kitchen it hardly does


def opening(units: str) -> Trial:
    """What the page opens with: a difference that can be seen, at its end."""
    cold = Trial(b=replace(usual("pail"), warmth=_COLD_SHED_C), units=units)
    return replace(cold, day=cold.last_day)


def ready_made(units: str = "metric") -> list[dict[str, str]]:
    """Comparisons of one tap, at their end: name, and the query that sets them up."""
    plain = usual("pail")
    cool = replace(plain, warmth=_COOL_ROOM_C)
    pairs = (
        (_("Cold shed, warm kitchen"), Trial(b=replace(plain, warmth=_COLD_SHED_C))),
        (_("No bran, in a cool room"), Trial(cool, replace(cool, bran=0))),
        (_("A leaking lid"), Trial(b=replace(plain, leak=2))),
        (_("Too much bread"), Trial(b=replace(plain, bread=60))),
        (_("Opened every day"), Trial(b=replace(plain, opened=1))),
        (_("Much meat and fish"), Trial(b=replace(plain, meat=40))),
    )
    return _offered(((name, replace(one, day=one.last_day)) for name, one in pairs), units)


def _offered(pairs: Iterable[tuple[str, Trial]], units: str) -> list[dict[str, str]]:
    told = ((name, replace(trial, units=units)) for name, trial in pairs)
    return [{"name": name, "query": address_of(trial)} for name, trial in told]


def class_trials(units: str = "metric") -> list[dict[str, str]]:
    """The jars of the class kit, two at a time."""
    jar = replace(usual("jar"), layer=JAR_KG)
    pairs = (
        (_("Jars with and without bran"), Trial(jar, replace(jar, bran=0), 3)),
        (_("Jars in the room and in the refrigerator"), Trial(jar, replace(jar, warmth=COLD_C), 7)),
    )
    return _offered(pairs, units)


def form_of(trial: Trial) -> dict[str, Any]:
    """Sliders and choices, A beside B."""
    picks = {
        "mix": choices(w.MIXES, CHOICES["mix"]),
        "pieces": choices(PIECE_WORDS, CHOICES["pieces"]),
    }
    return {
        "trial": trial,
        "rows": [_row(trial, dial) for dial in dials_of(trial.body)],
        "picks": [
            {
                "word": w.word(DIAL_WORDS, name),
                "sides": [
                    {
                        "letter": letter.upper(),
                        "name": f"{letter}_{name}",
                        "value": getattr(trial.side(letter), name),
                        "usual": getattr(Side, name),
                        "choices": values,
                    }
                    for letter in SIDES
                ],
            }
            for name, values in picks.items()
        ],
        "ready_made": _marked(ready_made(trial.units), trial),
        "class_trials": _marked(class_trials(trial.units), trial),
        "other_units": address_of(replace(trial, units=_other(trial.units))),
        "usual_day": FIRST_SHOWN[trial.body],
    }


def _other(units: str) -> str:
    return next(one for one in UNITS if one != units)


def _marked(offers: list[dict[str, str]], trial: Trial) -> list[dict[str, str]]:
    """The one that stands now says so."""
    here = [address_of(replace(trial, day=d)) for d in (FIRST_SHOWN[trial.body], trial.last_day)]
    return [{**one, "here": "1" if one["query"] in here else ""} for one in offers]


def _row(trial: Trial, dial: Dial) -> dict[str, Any]:
    sides = []
    for letter in SIDES:
        value = getattr(trial.side(letter), dial.name)
        sides.append(
            {
                "letter": letter.upper(),
                "name": f"{letter}_{dial.name}",
                "value": f"{value:g}",
                "usual": f"{dial.usual:g}",
                "shown": dial_says(dial.name, value, trial.units),
            }
        )
    steps = round((dial.high - dial.low) / dial.step)
    places = [dial.snapped(dial.low + step * dial.step) for step in range(steps + 1)]
    return {
        "word": w.word(DIAL_WORDS, dial.name),
        "min": f"{dial.low:g}",
        "max": f"{dial.high:g}",
        "step": f"{dial.step:g}",
        "says": "|".join(dial_says(dial.name, place, trial.units) for place in places),
        "sides": sides,
        "differs": sides[0]["value"] != sides[1]["value"],
    }


def swatches() -> list[dict[str, SafeString | str]]:
    """The steps of sourness, a spoiled layer, and the marks on a lid, with their words."""
    return _steps() + [
        {"word": word, "swatch": shown(drawing.draw_mark_swatch(mark))}
        for mark, word in (
            ("resting", _("closed and resting")),
            ("ready", _("sour and steady in time")),
            ("late", _("late")),
            ("failed", _("spoiled")),
        )
    ]


def _steps() -> list[dict[str, SafeString | str]]:
    rect = '<rect width="22" height="18" class="d-{}"/>'
    cross = '<path d="M4 5l5 7l4-7l5 7" class="d-cross"/>'
    names = [*(name for name, _start in drawing.SOURNESS), "spoiled"]
    return [
        {
            "word": w.word(w.SOURNESS, name),
            "swatch": mark_safe(
                '<svg viewBox="0 0 22 18" aria-hidden="true">'
                + rect.format(name)
                + (cross if name == "spoiled" else "")
                + "</svg>"
            ),
        }
        for name in names
    ]
