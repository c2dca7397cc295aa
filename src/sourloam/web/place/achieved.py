"""What a place achieved, for the page: the account of the paper, its pictures, its footnotes."""

from __future__ import annotations

from typing import Any

from django.utils.translation import get_language
from django.utils.translation import gettext as _

from sourloam.documents.achieved_account import account
from sourloam.documents.achieved_contract import Account, Footnote, Notes, Table
from sourloam.documents.speech import Speech
from sourloam.drawing.moving import draw_movers
from sourloam.drawing.palette import WIDE
from sourloam.drawing.ways import draw_ways
from sourloam.impact import Impact, from_log
from sourloam.web.pictures import shown


def speech(units: str) -> Speech:
    """The reader's language and units."""
    language = (get_language() or "en")[:2]
    return Speech("es" if language == "es" else "en", "us" if units == "us" else "metric")


def page(answer: Impact, units: str) -> dict[str, Any]:
    """Everything that the template needs of an answer."""
    told = account(answer, speech(units))
    return {
        "told": told,
        "saved_sources": _sources(told, told.ways_notes),
        "kept_sources": _sources(told, told.kept_notes),
        "ways": shown(draw_ways(told.ways, WIDE)),
        "compared": _table(told, told.compared),
        "parts": [_table(told, part) for part in told.parts],
        "years": _table(told, told.years),
        "ends": _table(told, told.ends),
        "garden": _table(told, told.garden),
        "carbon": _table(told, told.carbon),
        "handling": _table(told, told.handling),
        "money": None if told.money is None else _table(told, told.money),
        "moved": [
            {
                "title": moved.title,
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
