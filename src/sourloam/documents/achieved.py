"""The report on what a place achieved: a page of pictures, then method and sources."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from sourloam.documents.achieved_account import account
from sourloam.documents.achieved_contract import Account, Table
from sourloam.documents.speech import Speech
from sourloam.documents.typesetting import Printing, for_print, typeset
from sourloam.drawing.moving import draw_movers
from sourloam.drawing.ways import draw_ways
from sourloam.impact import Impact

_DRAWN = frozenset({"ways", "moved"})


def achieved_report(answer: Impact, printing: Printing) -> bytes:
    """A PDF for people who decide: pictures on one page, every figure with range and footnote."""
    speech = printing.speech
    told = account(answer, speech)
    plain = {k: v for k, v in asdict(told).items() if k not in _DRAWN}
    data: dict[str, Any] = {
        **plain,
        "title": speech.say("What fermenting scraps would achieve")
        if told.foreseen
        else speech.say("What fermenting scraps achieved"),
        "under": f"{told.place}, {told.period}",
        "kept_line": speech.say(
            "of scraps kept from the bin in a year, foreseen; range {ends}", ends=told.kept_range
        )
        if told.foreseen
        else speech.say("of scraps kept from the bin; range {ends}", ends=told.kept_range),
        "ways_svg": for_print(draw_ways(told.ways, standalone=True)),
        "ways_title": told.ways.title,
        "ways_alt": told.ways.desc,
        "ways_see": speech.say(
            "Bar: eight of ten possible worlds; stroke: the middle. Part by part, with footnotes: "
            "section 2."
        ),
        "moved": [
            {
                "title": m.title,
                "svg": for_print(draw_movers(m.picture, standalone=True)),
                "alt": m.picture.desc,
                "notes": m.notes,
            }
            for m in told.moved
        ],
        "moved_key": speech.say(
            "Ring: the input is low (10 %); dot: high (90 %); all else in the middle"
        ),
        "claims_title": speech.say("What people say, held against this case"),
        "claims_see": speech.say("Reasons and figures: section 4"),
        "tables": [
            [section, [_table(t) for t in found]] for section, found in _sections(told, speech)
        ],
        "garden": _table(told.garden),
        "reasons_title": speech.say("4. What people say, and why it holds or not"),
        "method_title": speech.say("1. How it was reckoned"),
        "sources_title": speech.say("6. Who says so"),
        "sources_lead": speech.say(
            "Each value with its range, how well it is founded, under which conditions it holds, "
            "and its source."
        ),
        "cautions_title": speech.say("5. Mind"),
        "foot": _foot(told, speech, printing),
    }
    return typeset("achieved", data, printing)


def _sections(told: Account, speech: Speech) -> list[tuple[str, list[Table]]]:
    whole = [told.compared, *told.parts, told.years, told.ends]
    rest = [told.carbon, told.handling, *([told.money] if told.money else [])]
    return [
        (speech.say("2. The same scraps on every way"), whole),
        (speech.say("3. Soil, water, money"), rest),
    ]


def _table(table: Table) -> dict[str, Any]:
    return {
        "title": table.title,
        "head": table.head,
        "notes": table.notes,
        "rows": [{"cells": (row.name, *row.figures), "notes": row.notes} for row in table.rows],
    }


def _foot(told: Account, speech: Speech, printing: Printing) -> str:
    said = speech.say(
        "Figures are middles with the range of eight in ten possible cases; numbers in brackets "
        "are footnotes under 6."
    )
    if printing.day is None:
        return said
    return f"{told.place}, {speech.day(printing.day, year=True)}. {said}"
