"""The answer to signs, to print with Rich."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType

from sourloam.ledger.sentences import Sentence
from sourloam.report.page import Look, Page, bar, heading, listing, paragraph
from sourloam.report.quantities import odds
from sourloam.triage import CAUSES, JUDGED, SIGNS, Answer
from sourloam.triage.signs import asked_outright

_SHOWN = 4
_BAR = 12
_GROUPS = {
    "smell": "Smell",
    "growth": "Mould and flies",
    "liquid": "Liquid",
    "feel": "Look and feel",
    "strip": "pH strip",
    "tightness": "Lid, tap and bran",
    "history": "What was done",
    "soil": "Soil",
    "plants": "Plants",
    "burial": "How it was buried",
}


def rescue_text(answer: Answer, system: str = "metric") -> Page:
    """The whole answer, in "metric" or "us" units."""

    def parts(look: Look) -> Iterator[RenderableType]:
        yield from _stops(answer, look)
        yield from _verdict(answer)
        yield from _steps(answer, look)
        yield from _rest(answer, look)

    return Page(parts, system)


def signs_text(stage: str, numbered: bool = False) -> Page:
    """The signs of a stage by group, with their ids, or with numbers to choose by."""

    def parts(look: Look) -> Iterator[RenderableType]:
        signs = asked_outright(stage) if numbered else tuple(SIGNS.values())
        number = {sign.id: str(i) for i, sign in enumerate(signs, start=1)}
        for group, title in _GROUPS.items():
            rows = [
                (number[sign.id] if numbered else sign.id, sign.label)
                for sign in signs
                if sign.group == group and sign.stage == stage
            ]
            if rows:
                yield heading(title)
                yield listing(rows, (3 if numbered else 20,))

    return Page(parts, "metric")


def told(sentence: Sentence, system: str) -> str:
    """A sentence in English with its quantities in a system of units."""
    return sentence.msgid % sentence.shown(system)


def _stops(answer: Answer, look: Look) -> Iterator[RenderableType]:
    for caution in answer.cautions:
        if caution.stop:
            yield paragraph(told(caution.text, look.system), "bold")


def _verdict(answer: Answer) -> Iterator[RenderableType]:
    verdict = answer.verdict
    yield heading(answer.headline.rstrip("."))
    if answer.why:
        yield paragraph(answer.why)
    for first, second in verdict.contradictory:
        yield paragraph(f"Both cannot be: {SIGNS[first].label}; {SIGNS[second].label}.")
    for sign in verdict.unexplained:
        there = "" if sign in verdict.seen else "not "
        yield paragraph(f"Not explained by the likeliest cause: {there}{SIGNS[sign].label}.")
    rows = [
        (bar(one.share, _BAR), odds(one.share), CAUSES[one.cause].label)
        for one in verdict.likely[:_SHOWN]
    ]
    if verdict.doubt != "nothing_told":
        yield listing(rows, (_BAR, 9))
        yield paragraph(JUDGED, "dim")


def _steps(answer: Answer, look: Look) -> Iterator[RenderableType]:
    yield heading("Now")
    for number, step in enumerate(answer.now, start=1):
        yield listing([(f"{number}.", told(step, look.system))], (2,))
    if answer.watch is not None:
        yield paragraph(
            f"Watch: {told(answer.watch, look.system)} Look again in {answer.again_days} "
            f"{'day' if answer.again_days == 1 else 'days'}."
        )
    if answer.next_time is not None:
        yield paragraph(f"Next time: {told(answer.next_time, look.system)}")


def _rest(answer: Answer, look: Look) -> Iterator[RenderableType]:
    if answer.lost:
        yield heading("If it is lost")
        for line in answer.lost:
            yield paragraph(told(line, look.system))
    yield heading("Cautions")
    for caution in answer.cautions:
        if not caution.stop:
            yield paragraph(told(caution.text, look.system))
