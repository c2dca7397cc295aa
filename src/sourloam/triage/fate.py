"""What to do with a batch that is lost."""

from __future__ import annotations

from sourloam.ledger.sentences import Sentence
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.caution import has_animal_food
from sourloam.triage.diagnosis import Verdict
from sourloam.triage.remedy import with_numbers

_DEEP = _(
    "Where your local rules allow it, bury it away from food beds, mixed with dry "
    "soil, under at least %(deep_m)s of soil, mark the place, and leave it %(deep_weeks)d weeks "
    "(%(deep_winter_weeks)d over winter) until it smells of earth and cress comes up."
)
_NO_FOOD = _(
    "Meat or fish is in it. Ask your local rules first. Where burying is allowed: "
    "away from food beds, under at least %(deep_m)s of soil, marked, and no food crop there this "
    "season. Else bag it twice for the organics or the closed bin."
)
_COLLECT = _(
    "Bag it twice and hand it to organics collection or the closed bin, as your "
    "local rules say. Nobody digs it in where children or guests come."
)
_NEVER = _("Never onto the ground, into water or a storm drain, never to animals.")


def fate_if_lost(verdict: Verdict) -> tuple[Sentence, ...]:
    """Where a lost batch may go; empty for the ground, where it lies already."""
    if verdict.stage == "ground" or verdict.well:
        return ()
    return with_numbers(_way(verdict)), with_numbers(_NEVER)


def _way(verdict: Verdict) -> str:
    if verdict.context.setting == "programme" or "cleaner_went_in" in verdict.seen:
        return _COLLECT
    return _NO_FOOD if has_animal_food(verdict) else _DEEP
