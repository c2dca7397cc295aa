"""Which of many places wants somebody first, and what it wants, in a sentence."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam.ledger.due_vessel import LOOK_RISK
from sourloam.ledger.work import URGENCIES, Due
from sourloam.web.house import Inside
from sourloam.web.place.shelf import headlines
from sourloam.web.place.slips import Visit, now, what_said

_QUIET = 9  # a place that wants nothing today
Rank = tuple[int, dt.date, int, str]


def rank(inside: Inside, found: Sequence[Visit]) -> Rank:
    """The smaller, the more pressing: what may spoil, what is late, since when, how much."""
    today = now(found)
    name = inside.house.name.casefold()
    if not today:
        return _QUIET, dt.date.max, 0, name
    grave, since = min(_weight(visit) for visit in today)
    return grave, since, -len(today), name


def wanted(inside: Inside, found: Sequence[Visit]) -> str:
    """What a place that lies folded wants most, and how much more."""
    today = now(found)
    if not today:
        return _("Nothing today")
    first = what_said(min(today, key=_weight)[0], inside.house.units)
    more = len(today) - 1
    if not more:
        return first
    return ngettext("%(what)s, and %(n)d thing more", "%(what)s, and %(n)d things more", more) % {
        "what": first,
        "n": more,
    }


def fewer(inside: Inside, found: Sequence[Visit], most: int) -> str:
    """The same as work is done one by one without signal, JSON: then only the number is sure."""
    said = [wanted(inside, found), *headlines(found, most)[1:]]
    return json.dumps(said, ensure_ascii=False)


def _weight(visit: Visit) -> tuple[int, dt.date]:
    return min((_grave(due), due.on) for due in visit)


def _grave(due: Due) -> int:
    """A failed vessel, a recalled bran, a vessel likely to fail; then what is late."""
    if due.what == "check" and due.kind == "emptied":
        return 0
    if due.what == "recall":
        return 1
    if due.why.msgid == LOOK_RISK:
        return 2
    return 3 + URGENCIES.index(due.urgency)
