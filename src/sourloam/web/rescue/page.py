"""The conversation from signs to a remedy, of a vessel or of a bed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sourloam.drawing.share import draw_share
from sourloam.drawing.signs import draw_sign
from sourloam.ledger.entries import body_json
from sourloam.ledger.sentences import Sentence
from sourloam.ledger.state import VesselState
from sourloam.triage import (
    CAUSES,
    JUDGED,
    SIGNS,
    Answer,
    Context,
    Question,
    answer_to,
    context_of,
    diagnose,
    judged,
    learned,
    outcomes_of,
    signs_of,
)
from sourloam.triage.sign import GROUPS, Stage
from sourloam.triage.signs import asked_outright
from sourloam.web import wording as w
from sourloam.web.house import House, Inside
from sourloam.web.log.telling import said
from sourloam.web.pictures import shown
from sourloam.web.rescue.how_known import how_known
from sourloam.web.rescue.outcomes import OUTCOMES

_SHOWN = 4
_MOST = 60  # signs in one address; more is nobody's tap
_GROUPS: w.Words = {
    "smell": gettext_lazy("Smell"),
    "growth": gettext_lazy("Mould and flies"),
    "liquid": gettext_lazy("Liquid"),
    "feel": gettext_lazy("Look and feel"),
    "strip": gettext_lazy("pH strip"),
    "tightness": gettext_lazy("Lid, tap and bran"),
    "soil": gettext_lazy("Soil"),
    "plants": gettext_lazy("Plants"),
    "burial": gettext_lazy("How it was buried"),
}


@dataclass(frozen=True)
class Told:
    """What the reader told so far, as it stands in the address."""

    begun: bool
    enough: bool
    seen: tuple[str, ...]
    absent: tuple[str, ...]
    skip: tuple[str, ...]

    @classmethod
    def of(cls, query: QueryDict, stage: Stage) -> Told:
        """Signs of the stage only, each once; a sign that is there is not also absent. Of a list
        that was ``asked``, what is not ticked is absent, once one is ticked or none is said."""
        seen = _signs(query.getlist("seen"), stage)
        asked = _signs(query.getlist("asked"), stage)
        listed = asked if "none" in query or set(asked) & set(seen) else ()
        absent = _signs((*query.getlist("absent"), *listed), stage)
        absent = tuple(s for s in absent if s not in seen)
        skip = _signs(query.getlist("skip"), stage)
        return cls("begun" in query, "enough" in query, seen, absent, skip)

    def hidden(self) -> list[tuple[str, str]]:
        """The same as hidden fields of the next form."""
        parts = (("seen", self.seen), ("absent", self.absent), ("skip", self.skip))
        return [("begun", "1"), *((name, sign) for name, all_ in parts for sign in all_)]


def _signs(asked: Iterable[str], stage: Stage) -> tuple[str, ...]:
    known = (s for s in asked if s in SIGNS and SIGNS[s].stage == stage)
    return tuple(dict.fromkeys(known))[:_MOST]


def known_of(inside: Inside, vessel: VesselState) -> tuple[Context, tuple[str, ...]]:
    """What log and forecast know of a vessel, and the signs of its last look."""
    if vessel.turn is None:
        return Context(), ()
    seen = inside.foreseen.get(vessel.id)
    today = inside.house.today
    context = context_of(
        vessel.turn, inside.state, today, None if seen is None else seen.chance_of_failing
    )
    return context, signs_of(vessel.turn, today)


def open_rescues(inside: Inside, vessel: VesselState, signs: w.Words) -> list[dict[str, Any]]:
    """Help that was sought and whose outcome nobody wrote down yet, each as four forms."""
    turn = vessel.turn
    if turn is None or not inside.house.may("rescued"):
        return []
    units = inside.house.units
    return [
        {
            "id": str(record.entry),
            "day": w.day(record.day),
            "said": said(record.kind, record.body, inside.state, units, signs),
            "at": record.at.isoformat(),
            "fields": _fields(body_json(record.body)),
            "outcomes": list(OUTCOMES.items()),
        }
        for record in turn.rescues
        if record.body.outcome is None
    ]


def page(
    inside: Inside, stage: Stage, thing: str, told: Told, known: tuple[Context, tuple[str, ...]]
) -> dict[str, Any]:
    """Everything that the template needs; ``thing`` is the id of the vessel or bed.

    The place's own outcomes have taught the shares.
    """
    house, (context, looked) = inside.house, known
    if not told.begun:
        return {"step": "signs", "groups": _groups(stage, looked)}
    taught = outcomes_of(inside.state) if stage == "vessel" else ()
    beliefs = learned(judged(stage), taught)
    answer = answer_to(diagnose(told.seen, told.absent, context, beliefs), told.skip, beliefs)
    question = None if told.enough else answer.question
    common = {
        "hidden": told.hidden(),
        "stops": [_said(c.text, house.units) for c in answer.cautions if c.stop],
        "likely": _likely(answer),
        "judged": _(JUDGED),
        "how": how_known(answer.verdict, beliefs, len(taught)),
        "told": [_tick(sign, "") for sign in told.seen],
        "first_steps": [_said(line, house.units) for line in answer.first],
    }
    if question is not None:
        return {"step": "question", **common, **_question(question)}
    return {"step": "answer", **common, **_answered(answer, house, stage, thing)}


def _groups(stage: Stage, ticked: Sequence[str]) -> list[dict[str, Any]]:
    found = asked_outright(stage)
    return [
        {
            "word": _GROUPS[group],
            "signs": [
                _tick(s.id, "checked" if s.id in ticked else "") for s in found if s.group == group
            ],
        }
        for group in GROUPS
        if any(s.group == group for s in found)
    ]


def _tick(sign: str, checked: str) -> dict[str, Any]:
    return {
        "id": sign,
        "word": _(SIGNS[sign].label),
        "picture": shown(draw_sign(sign)),
        "checked": bool(checked),
    }


def _likely(answer: Answer) -> list[dict[str, Any]]:
    if answer.verdict.doubt == "nothing_told":
        return []
    return [
        {
            "word": _(CAUSES[one.cause].label),
            "bar": shown(draw_share(one.share, one.low, one.high)),
            "share": f"{round(100 * one.share)} %",
            "range": f"{round(100 * one.low)} – {round(100 * one.high)}",
        }
        for one in answer.verdict.likely[:_SHOWN]
    ]


def _question(question: Question) -> dict[str, Any]:
    first = question.options[0]
    return {
        "asked": _(question.text),
        "how": _(question.how) if question.how else "",
        "options": question.options,
        "choices": [
            {"id": o, "word": _(SIGNS[o].question), "picture": shown(draw_sign(o))}
            for o in question.options
            if not question.several
        ],
        "several": [_tick(o, "") for o in question.options if question.several],
        "is_choice": question.is_choice,
        "first": first,
        "picture": shown(draw_sign(first)),
    }


def _answered(answer: Answer, house: House, stage: Stage, thing: str) -> dict[str, Any]:
    units = house.units
    body = answer.entry_body(**{"vessel" if stage == "vessel" else "bed": thing})
    return {
        "headline": _(answer.headline),
        "why": _(answer.why) if answer.why else "",
        "odd": _odd(answer),
        "now_steps": [_said(line, units) for line in answer.now],
        "watch": _said(answer.watch, units) if answer.watch else "",
        "again": answer.again_days,
        "next_time": _said(answer.next_time, units) if answer.next_time else "",
        "lost": [_said(line, units) for line in answer.lost],
        "sure": answer.verdict.sure,
        "minds": [_said(c.text, units) for c in answer.cautions if not c.stop],
        "may_write": house.may("rescued"),
        "fields": _fields(body),
    }


def _odd(answer: Answer) -> list[str]:
    pairs = answer.verdict.contradictory
    both = [
        _("Both cannot be: %(first)s; %(second)s.")
        % {"first": _(SIGNS[a].label), "second": _(SIGNS[b].label)}
        for a, b in pairs
    ]
    strange = [sign for sign in answer.verdict.unexplained if sign in answer.verdict.seen]
    return both + [
        _("Not explained by the likeliest cause: %(sign)s.") % {"sign": _(SIGNS[sign].label)}
        for sign in strange
    ]


def _fields(body: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The body of the entry as hidden fields, named as the forms of the log name theirs."""
    found: list[tuple[str, str]] = []
    for name, value in body.items():
        many = [(f"{name}:list", one) for one in value] if isinstance(value, list) else None
        found += many if many is not None else [(name, value)]
    return found


def _said(sentence: Sentence, units: str) -> str:
    return w.with_comma(_(sentence.msgid) % sentence.shown(units))
