"""Who needs help today, why, and which word or visit helps."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import prod
from typing import Literal

from sourloam.ledger.sentences import Sentence, gettext_noop
from sourloam.ledger.work import rule
from sourloam.programme.drawn import Drawn
from sourloam.programme.facts import PlaceFacts, Three, VesselFacts
from sourloam.programme.filling import chance_full
from sourloam.programme.silence import Silence, silence
from sourloam.programme.supply import chance_bran_out

What = Literal["failed", "nowhere", "failing", "stopped", "bran", "undrained"]
ORDER: tuple[What, ...] = ("failed", "nowhere", "failing", "stopped", "bran", "undrained")

_FAILED = gettext_noop("%(vessel)s was judged failed and still stands there.")
_FAILING = gettext_noop("%(vessel)s is likely to fail.")
_NOWHERE_NOW = gettext_noop("Every vessel is full or unwashed: scraps have nowhere to go.")
_NOWHERE = gettext_noop("No free vessel is left when %(vessel)s is full, about %(day)s.")
_BRAN_OUT = gettext_noop("Bran is used up, or will be tomorrow.")
_BRAN = gettext_noop("Bran lasts about %(days)d days more.")
_UNDRAINED = gettext_noop("%(vessel)s should have been drained by %(day)s.")
_SILENT = gettext_noop("Quiet for %(days)d days; the usual gap here is about %(usual)d.")
_SILENT_DAILY = gettext_noop("Quiet for %(days)d days; here somebody writes about every day.")

_NEVER = gettext_noop("Joined on %(day)s, and nothing was written there yet.")

_TAKE_FAILED = gettext_noop("Take it along closed, leave a clean vessel, and say that it happens.")
_LOOK = gettext_noop("Look at it together: drain it, smell it, try a strip.")
_EMPTY_READY = gettext_noop("%(vessel)s is ready: help to bury it, or fetch it.")
_FETCH = gettext_noop("Fetch a full vessel and leave a clean one.")
_WASH = gettext_noop("An emptied vessel waits to be washed: that is enough.")
_BRING_BRAN = gettext_noop("Bring bran.")
_DRAIN_WORD = gettext_noop("Write: two minutes at the tap are enough.")
_BOTHER = gettext_noop("Visit: %(vessel)s may have gone wrong and put them off; look together.")
_FULL_VISIT = gettext_noop("Visit: everything is full there. Take a vessel, leave a clean one.")
_BRAN_VISIT = gettext_noop("Visit, and bring bran: theirs has run out.")
_WORD = gettext_noop("A kind word: ask how it goes, and count no days.")
_NEW_WORD = gettext_noop("A kind word: they are new; ask what was more bother than expected.")
_BEGIN = gettext_noop("Visit: ask what holds them up, and put in the first layer together.")
_ASK_ON = gettext_noop(
    "Visit: ask whether they want to go on. If not, thank them and give the vessels to others."
)
_NEW_ENTRIES = 12  # method: days with entries below which a place counts as new


@dataclass(frozen=True)
class Risk:
    """One reason why a place needs somebody: its chance (None where it was seen; three times the
    same where all that is not known is in it), why, and what helps."""

    what: What
    chance: Three | None
    why: Sentence
    helps: Sentence
    on: dt.date | None = None

    @property
    def weight(self) -> float:
        """How pressing it is against others of its kind."""
        return 1.0 if self.chance is None else self.chance[1]


@dataclass(frozen=True)
class Help:
    """A place that needs somebody, its most pressing reason first; and its silence."""

    place: PlaceFacts
    risks: tuple[Risk, ...]
    silence: Silence | None

    @property
    def long_quiet(self) -> bool:
        """Whether it is only that they fell silent long ago: no news of today."""
        only = all(risk.what == "stopped" for risk in self.risks)
        days = 0 if self.silence is None else self.silence.days
        return only and days >= rule("programme.silence.long")

    @property
    def visit(self) -> bool:
        """Whether somebody should go there rather than write."""
        far = rule("programme.silence.visit_from")
        return any(
            (risk.what in ("failed", "nowhere", "failing", "bran") and risk.helps.msgid != _WASH)
            or (risk.what == "stopped" and risk.weight >= far)
            for risk in self.risks
        )


def needing_help(places: Iterable[PlaceFacts], today: dt.date, sample: Drawn) -> list[Help]:
    """Places with at least one risk, the most pressing first."""
    found = []
    for one in places:
        quiet = silence(one, today, sample)
        risks = tuple(sorted(_risks(one, quiet, today), key=_rank))
        if risks:
            found.append(Help(one, risks, quiet))
    return sorted(found, key=lambda h: (*_rank(h.risks[0]), -len(h.risks), h.place.name))


def _rank(risk: Risk) -> tuple[int, float]:
    """Of those who fell silent the latest first: they are the likeliest to come back."""
    late = risk.what == "stopped" and risk.on is not None
    return ORDER.index(risk.what), -float(risk.on.toordinal() if late and risk.on else risk.weight)


def _risks(one: PlaceFacts, quiet: Silence | None, today: dt.date) -> Iterator[Risk]:
    least = rule("programme.risk.begins")
    for vessel in one.vessels:
        if vessel.stage == "failed":
            why = Sentence.of(_FAILED, vessel=vessel.name)
            yield Risk("failed", None, why, Sentence(_TAKE_FAILED), vessel.since)
        elif vessel.failing is not None and vessel.failing[1] >= least:
            why = Sentence.of(_FAILING, vessel=vessel.name)
            yield Risk("failing", vessel.failing, why, Sentence(_LOOK))
        yield from _undrained(vessel, today)
    yield from _nowhere(one, today, least)
    yield from _bran(one, least)
    yield from _stopped(one, quiet)


def _undrained(vessel: VesselFacts, today: dt.date) -> Iterator[Risk]:
    if vessel.drain_by is None or vessel.stage not in ("filling", "resting"):
        return
    if (today - vessel.drain_by).days >= rule("programme.risk.undrained"):
        why = Sentence.of(_UNDRAINED, vessel=vessel.name, day=vessel.drain_by)
        yield Risk("undrained", None, why, Sentence(_DRAIN_WORD), vessel.drain_by)


def _nowhere(one: PlaceFacts, today: dt.date, least: float) -> Iterator[Risk]:
    """Everything fills up and nothing is free."""
    if not one.vessels or one.free:
        return
    helps = _makes_room(one)
    if not one.filling:
        if one.standing_full:
            yield Risk("nowhere", None, Sentence(_NOWHERE_NOW), helps)
        return
    ahead = int(rule("programme.risk.ahead"))
    chance = prod(chance_full(v.full_on, today, ahead) for v in one.filling)
    if chance >= least:
        last = max(one.filling, key=lambda v: _middle(v) or today)
        day = _middle(last) or today + dt.timedelta(days=ahead)
        why = Sentence.of(_NOWHERE, vessel=last.name, day=day)
        yield Risk("nowhere", (chance,) * 3, why, helps, day)


def _middle(vessel: VesselFacts) -> dt.date | None:
    return None if vessel.full_on is None else vessel.full_on[1]


def _makes_room(one: PlaceFacts) -> Sentence:
    ready = [v for v in one.vessels if v.stage == "ready"]
    if ready:
        return Sentence.of(_EMPTY_READY, vessel=ready[0].name)
    if any(v.dirty for v in one.vessels):
        return Sentence(_WASH)
    return Sentence(_FETCH)


def _bran(one: PlaceFacts, least: float) -> Iterator[Risk]:
    ahead = int(rule("programme.risk.ahead"))
    chance = chance_bran_out(one, ahead)
    if chance < least or one.bran is None:
        return
    lasts = int(max(one.bran.left_kg, 0.0) / one.bran.daily_kg[1])
    why = Sentence.of(_BRAN, days=lasts) if lasts > 1 else Sentence(_BRAN_OUT)
    yield Risk("bran", (chance,) * 3, why, Sentence(_BRING_BRAN))


def _stopped(one: PlaceFacts, quiet: Silence | None) -> Iterator[Risk]:
    if quiet is None or quiet.chance[1] < rule("programme.silence.word_from"):
        return
    if not quiet.began:
        why = Sentence.of(_NEVER, day=quiet.last)
        yield Risk("stopped", quiet.chance, why, Sentence(_BEGIN), quiet.last)
        return
    usual = round(quiet.usual_days)
    why = (
        Sentence.of(_SILENT_DAILY, days=quiet.days)
        if usual <= 1
        else Sentence.of(_SILENT, days=quiet.days, usual=usual)
    )
    yield Risk("stopped", quiet.chance, why, _kind_deed(one, quiet.chance[1]), quiet.last)


def _kind_deed(one: PlaceFacts, chance: float) -> Sentence:
    """What brings people back depends on what may have put them off."""
    least = rule("programme.risk.begins")
    wrong = [v for v in one.vessels if v.stage == "failed" or (v.failing and v.failing[1] >= least)]
    if wrong:
        return Sentence.of(_BOTHER, vessel=wrong[0].name)
    if one.vessels and not one.filling and not one.free:
        return Sentence(_FULL_VISIT)
    if one.bran is not None and one.bran.keeps_stock and one.bran.left_kg <= 0:
        return Sentence(_BRAN_VISIT)
    if chance >= rule("programme.silence.visit_from"):
        return Sentence(_ASK_ON)
    return Sentence(_NEW_WORD if len(one.entry_days) < _NEW_ENTRIES else _WORD)
