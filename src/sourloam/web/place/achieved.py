"""What a place achieved, for the page: the account of the paper, its pictures, its footnotes."""

from __future__ import annotations

from typing import Any

from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from sourloam.documents.achieved_account import account
from sourloam.documents.achieved_contract import Account, Footnote, Notes, Table
from sourloam.documents.achieved_teller import Teller
from sourloam.documents.speech import Speech
from sourloam.drawing.columns import Column, ColumnsPicture, Stuff, draw_columns
from sourloam.drawing.moving import MoversPicture, draw_movers
from sourloam.drawing.palette import WIDE
from sourloam.drawing.ways import draw_ways
from sourloam.impact import Impact, from_log
from sourloam.numerics.range import Range
from sourloam.report.impact_units import in_units
from sourloam.web.pictures import shown


def speech(units: str) -> Speech:
    """The reader's language and units."""
    language = (get_language() or "en")[:2]
    return Speech("es" if language == "es" else "en", "us" if units == "us" else "metric")


def page(answer: Impact, units: str) -> dict[str, Any]:
    """Everything that the template needs of an answer."""
    told = account(answer, speech(units))
    t = Teller(answer, speech(units))
    return {
        "told": told,
        "saved_sources": _sources(told, told.ways_notes),
        "kept_sources": _sources(told, told.kept_notes),
        "ways": shown(draw_ways(told.ways, WIDE)),
        "compared": _table(told, told.compared),
        "parts": [_table(told, part) for part in told.parts],
        "years": _table(told, told.years),
        "ends": _table(told, told.ends),
        "garden": _garden(t) | {"table": _table(told, told.garden)},
        "soil": _soil(t) | {"table": _table(told, told.carbon)},
        "handling": _table(told, told.handling),
        "money": None if told.money is None else _table(told, told.money),
        "moved": [
            {
                "title": moved.title,
                "said": _most(moved.picture, t.unit("kg CO2e")),
                "drawing": shown(draw_movers(moved.picture, WIDE)),
                "sources": _sources(told, moved.notes),
            }
            for moved in told.moved
        ],
        "facts": [
            {"name": row.name, "figure": row.figures[0], "sources": _sources(told, row.notes)}
            for row in told.facts
        ],
        "claims": [
            {"claim": claim, "mark": _MARKS[claim.verdict], "sources": _sources(told, claim.notes)}
            for claim in told.claims
        ],
    }


def _garden(t: Teller) -> dict[str, Any]:
    """What feeds the garden, drawn and said."""
    way = t.answer.route("ferment")
    if not way.nitrogen_to_garden.high:
        return {"said": _("None of it reaches a garden's soil.")}
    title = _("Nutrients that reach the garden's soil")
    parts = (
        (_("nitrogen"), way.nitrogen_to_garden),
        (_("phosphorus"), way.phosphorus_to_garden),
        (_("potassium"), way.potassium_to_garden),
    )
    said = _("%(kg)s of nitrogen reach the garden, about %(usable)s of it usable within a year.")
    return {
        "drawing": _columns(t, parts, title, "leaf"),
        "said": said
        % {"kg": t.middle(way.nitrogen_to_garden), "usable": t.middle(way.usable_nitrogen)},
        "range": _("Range: %(ends)s; usable %(usable)s.")
        % {"ends": t.ends(way.nitrogen_to_garden), "usable": t.ends(way.usable_nitrogen)},
    }


def _soil(t: Teller) -> dict[str, Any]:
    """Carbon that stays for a while, drawn and said."""
    left = t.answer.route("ferment").soil_carbon
    if not left[0].amount.high:
        return {"said": _("None of its carbon reaches the soil.")}
    parts = tuple((_years(one.years), one.amount) for one in left)
    last = left[-1]
    said = _("After %(years)s about %(kg)s of its carbon are still in the soil.")
    return {
        "drawing": _columns(t, parts, _("Carbon still in the soil"), "trench"),
        "said": said % {"years": _years(last.years), "kg": t.middle(last.amount)},
        "range": _("Range: %(ends)s.") % {"ends": t.ends(last.amount)},
    }


def _years(number: int) -> str:
    return ngettext("%(n)d year", "%(n)d years", number) % {"n": number}


def _columns(t: Teller, parts: tuple[tuple[str, Range], ...], title: str, stuff: Stuff) -> str:
    def plain(value: float | None) -> float:
        return in_units(value or 0.0, "kg", t.speech.system)

    columns = tuple(
        Column(word, "", plain(one.median), (plain(one.low), plain(one.high)))
        for word, one in parts
    )
    desc = "; ".join(f"{word}: {t.three(one)}" for word, one in parts)
    return shown(draw_columns(ColumnsPicture(columns, t.unit("kg"), title, desc, stuff), _COLUMNS))


def _most(picture: MoversPicture, unit: str) -> str:
    """The input that moves it most, and how far."""
    first = picture.movers[0]
    ends = sorted(((first.at_low, first.low_words), (first.at_high, first.high_words)))
    return _("One input moves it most, %(name)s: from %(low)s to %(high)s %(unit)s.") % {
        "name": first.name,
        "low": ends[0][1],
        "high": ends[1][1],
        "unit": unit,
    }


_COLUMNS = 340.0
_MARKS = {"supported": "✓", "not supported": "✗", "cannot be told": "?"}


def _sources(told: Account, notes: Notes) -> list[Footnote]:
    return [told.footnote(number) for number in notes]


def _table(told: Account, table: Table) -> dict[str, Any]:
    every = sorted({*table.notes, *(n for row in table.rows for n in row.notes)})
    rows = [
        {"name": row.name, "cells": list(zip(table.head[1:], row.figures, strict=True))}
        for row in table.rows
    ]
    return {"table": table, "rows": rows, "sources": _sources(told, tuple(every))}


def trouble(said: str) -> str:
    """Why there is no answer, in the reader's language."""
    known = {
        from_log.NO_LAYER: _("The log holds no layer yet: nothing was kept from the bin so far."),
        from_log.NO_LAYER_THEN: _("The log holds no layer in that time; choose another."),
        from_log.NOTHING_WEIGHED: _(
            "No layer can be weighed: weigh one bowlful under bran and measures, then look again."
        ),
        from_log.NO_SITE: _("Nobody has described this place yet; set-up does that."),
    }
    return known.get(said) or _("That could not be reckoned; the log itself is safe.")
