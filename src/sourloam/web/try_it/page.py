"""The page to play with: two vessels side by side, drawn on a day, and what becomes of them."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from sourloam import drawing
from sourloam.evidence import Row, book
from sourloam.vessel import Chance
from sourloam.web import heard
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.try_it.model import MEMBERS, Floats, Outcome, line_ph
from sourloam.web.try_it.settings import SIDES
from sourloam.web.try_it.stand import Seen, stand_of
from sourloam.web.try_it.words import says
from sourloam.web.vessel.forecast_part import held_back_said

_LOWEST_PH = 3.0
_PAIL_L = 19.0
_DOUBTED_BELOW_C = 18.0  # what docs/failing.md says of the model in the cool
_FOLLOWED: w.Words = {
    "flora.lactic.growth": gettext_lazy("How fast lactic bacteria grow at their best warmth"),
    "flora.lactic.t_min": gettext_lazy("The cold at which they stop"),
    "flora.clostridia.lactic_limit_ph": gettext_lazy("The pH below which spoilage is held back"),
    "vessel.air_exchange": gettext_lazy("Share of the air above the scraps that an opening renews"),
    "vessel.lid_leak": gettext_lazy("Air through a usual closed lid"),
    "vessel.air_spoils": gettext_lazy("Oxygen from which the top layer is likely to mould"),
    "bran.dose.share": gettext_lazy("The usual dose of bran"),
    "ferment.butyric_poor": gettext_lazy(
        "Butyric acid in dry matter above which a ferment is poor"
    ),
    "ferment.ammonia_poor": gettext_lazy("Share of nitrogen as ammonium from which it is poor"),
}


def answer_of(seen: Seen) -> dict[str, Any]:
    """The sentence, both vessels on the day, facts, charts, and where it comes from."""
    return {
        "sentence": says(seen.trial, seen.a, seen.b),
        "stands": [
            {"letter": letter, **stand_of(seen, letter, seen.trial.day)} for letter in SIDES
        ],
        "facts": _facts(seen),
        "charts": [_ph_chart(seen, letter) for letter in SIDES],
        "drawn_day": seen.trial.day,
        "day_px": f"{drawing.pixels_a_day(seen.trial.last_day - 1):.4f}",
        "fails": _(
            "Fails means late, not sour and steady four weeks after the last layer, or spoiled, "
            "with more butyric acid or ammonia than a poor silage. A late one may lie below the "
            "line by then and still be changing; more rest or warmth may mend it."
        ),
        "how": _how(seen),
        "sources": _sources(seen.trial.units),
    }


def _facts(seen: Seen) -> list[dict[str, Any]]:
    """Rows of figures, A beside B, each with its range."""
    rows: list[tuple[str, Callable[[Outcome], dict[str, str]]]] = [
        (_("Newest layer sour"), lambda outcome: after_said(outcome.sour_days)),
        (_("Newest layer sour and steady"), lambda outcome: after_said(outcome.steady_days)),
        (_("Fails, of a hundred"), _failing),
        (_("Mould on top, of a hundred"), lambda outcome: _chance(outcome.spoilt_top)),
    ]
    if seen.trial.body == "pail":
        rows.insert(2, (_("Liquid in all"), partial(_liquid, units=seen.trial.units)))
    return [{"of": of, "cells": [made(seen.outcome(x)) for x in SIDES]} for of, made in rows]


def after_said(days: Floats) -> dict[str, str]:
    """Days after the last layer."""
    low, middle, high = np.quantile(days, (0.1, 0.5, 0.9), method="nearest")
    far = _("not in time")
    return {
        "middle": _days(middle) if np.isfinite(middle) else far,
        "range": f"{low:.0f} – {high:.0f}"
        if np.isfinite(high)
        else (f"{low:.0f} – {far}" if np.isfinite(low) else ""),
    }


def _days(value: float) -> str:
    return ngettext("%(n)d day", "%(n)d days", int(value)) % {"n": int(value)}


def _liquid(outcome: Outcome, units: str) -> dict[str, str]:
    low, middle, high = np.quantile(outcome.liquid_total_ml, (0.1, 0.5, 0.9))
    return {
        "middle": w.liquid(float(middle), units),
        "range": w.liquid_range(float(low), float(high), units, float(middle)),
    }


def _failing(outcome: Outcome) -> dict[str, str]:
    """The chance, and which of the two ways it goes; one vessel may do both."""
    ways = {"late": f"{100 * outcome.late.share:.0f}", "bad": f"{100 * outcome.putrid.share:.0f}"}
    parts = _("late %(late)s, spoiled %(bad)s") % ways if outcome.failing.share else ""
    return _chance(outcome.failing) | {"parts": parts}


def _chance(chance: Chance) -> dict[str, str]:
    return {
        "middle": f"{100 * chance.share:.0f}",
        "range": f"{100 * chance.low:.0f} – {100 * chance.high:.0f}",
    }


def _ph_chart(seen: Seen, letter: str) -> dict[str, Any]:
    """The newest layer's pH by day; where it jumps up a new layer came."""
    outcome, trial = seen.outcome(letter), seen.trial
    last = trial.last_day
    every = 7 if last < 40 else 14
    low, middle, high = outcome.newest_ph
    title = _("%(letter)s: pH of the newest layer, with the range of eight in ten") % {
        "letter": letter.upper()
    }
    picture = drawing.BandPicture(
        tuple(float(d) for d in range(1, last + 1)),
        tuple(low),
        tuple(middle),
        tuple(high),
        tuple((float(d), _("day %(n)d") % {"n": d}) for d in range(every, last + 1, every)),
        ((4.0, "4"), (5.0, "5"), (6.0, "6"), (7.0, "7")),
        title,
        limit=(line_ph(), held_back_said(line_ph())),
        today=(float(trial.day), _("day %(n)d") % {"n": trial.day}),
        floor=_LOWEST_PH,
    )
    return {
        "title": title,
        "svg": shown(drawing.draw_band(heard.band(picture, heard.nth_day, heard.ph))),
    }


def _how(seen: Seen) -> list[str]:
    jar = seen.trial.body == "jar"
    shape = (
        _("A jar takes one layer and is followed for four weeks; its lid lies on loosely.")
        if jar
        else _(
            "A pail of %(volume)s takes a layer every third day for four weeks, or until one of "
            "the two is full, and then rests for four; where layers differ in size, each until it "
            "is full itself."
        )
        % {"volume": w.litres(_PAIL_L, seen.trial.units)}
    )
    cool = min(seen.trial.a.warmth, seen.trial.b.warmth) < _DOUBTED_BELOW_C
    return [
        _(
            "Both vessels are run %(n)d times by the model that also forecasts real ones, each "
            "time with other scraps, bacteria and packing, the same for A and B. The first figure "
            "is the middle of the runs, the range holds eight of ten. The drawing shows what most "
            "runs say of each layer."
        )
        % {"n": MEMBERS},
        shape,
        _(
            "Days count from the last layer. Sour means below pH %(ph)s, where spoilage is held "
            "back. The range of a chance is the noise of counting %(n)d runs."
        )
        % {"ph": w.number(line_ph()), "n": MEMBERS},
        _(
            "Nobody has published a full record of a real household vessel. What the model leaves "
            "out: flies, smells, and that a plate keeps air off."
        ),
        *(
            [
                _(
                    "Below %(warmth)s the model may be too hopeful: both published ferments at "
                    "15 °C soured less than it says."
                )
                % {"warmth": w.warmth(_DOUBTED_BELOW_C, seen.trial.units)}
            ]
            if cool
            else []
        ),
    ]


def _sources(units: str) -> list[dict[str, str]]:
    """Rows that decide most, with their range and who says so."""
    found = []
    for key, name in _FOLLOWED.items():
        row = book()[key]
        ends = _ends(row, units)
        said = book().citation(row) or w.word(w.STANDINGS, row.standing)
        found.append({"what": str(name), "range": ends, "who": said})
    return found


def _ends(row: Row, units: str) -> str:
    """A row's range with its unit; warmth in the reader's."""
    if row.unit in ("°C", "degC") and units != "metric":
        low, high = w.warmth(row.low, units), w.warmth(row.high, units)
        return f"{low} – {high}" if row.high > row.low else w.warmth(row.value, units)
    low, value, high = (w.with_comma(f"{x:g}") for x in (row.low, row.value, row.high))
    return f"{f'{low} – {high}' if row.high > row.low else value} {row.unit}".removesuffix(" 1")
