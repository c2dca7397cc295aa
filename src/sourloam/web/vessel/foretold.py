"""What a forecast says in sentences, in the reader's language, with the day of a surprise."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator

from django.utils.translation import gettext as _

from sourloam.evidence import book
from sourloam.forecast.movers import LABELS
from sourloam.forecast.surprise import MEANINGS
from sourloam.forecast.vessel import WHY_COLD, WHY_ILL
from sourloam.ledger.foreseen import percent_of
from sourloam.web import wording as w
from sourloam.web.vessel.foresight import Foresight

WHY = (WHY_ILL, WHY_COLD)
_PLACE = re.compile(r"\\\{(\w+)\\\}")
_RECENT_DAYS = 45


def sentences() -> Iterator[str]:
    """Every sentence that a translation must know."""
    yield from WHY
    yield from MEANINGS.values()
    yield from LABELS.values()


def is_likely_to_fail(seen: Foresight) -> bool:
    """Whether the chance of failing is one that is looked at the same day."""
    chance = seen.chance_of_failing
    return chance is not None and chance >= book()["ledger.due.chance"].value


def stands_at_c(seen: Foresight) -> float | None:
    """How warm it stands where that is why it is likely to fail, °C; None where it is not."""
    for note in seen.raw.get("notes", ()):
        match = _pattern(WHY_COLD).fullmatch(str(note))
        if match:
            return float(match["warmth"])
    return None


def why(seen: Foresight, units: str) -> list[str]:
    """Why it is likely to fail; empty where it is not."""
    notes = seen.raw.get("notes", ())
    return [text for note in notes if (text := _of_template(str(note), units))]


def _of_template(note: str, units: str) -> str:
    """A sentence with its numbers, found among those that the forecast can say."""
    for template in WHY:
        match = _pattern(template).fullmatch(note)
        if match:
            found = match.groupdict()
            found["percent"] = str(percent_of(int(found["percent"]) / 100))
            text = _(template)
            if "warmth" in found:
                text = text.replace("{warmth} °C", w.warmth(float(found["warmth"]), units))
            return text.format(**found)
    return ""


def _pattern(template: str) -> re.Pattern[str]:
    return re.compile(_PLACE.sub(r"(?P<\1>[-\\d]+)", re.escape(template)))


def moved_by(seen: Foresight) -> list[str]:
    """The inputs that move the answer most, the first one most."""
    told = (str(one.get("what")) for one in seen.raw.get("movers", ()))
    return [_(LABELS[what]) for what in told if what in LABELS]


def surprises(seen: Foresight, today: dt.date) -> list[str]:
    """Readings of late that hardly fit the forecast, the newest first: day and meaning."""
    began = seen.raw.get("began")
    if not began:
        return []
    first = dt.date.fromisoformat(began)
    found = [
        (first + dt.timedelta(days=int(one["day"])), str(one["sentence"]))
        for one in seen.raw.get("surprises", ())
    ]
    recent = sorted((one for one in found if (today - one[0]).days <= _RECENT_DAYS), reverse=True)
    return [f"{w.day(day)}: {_(sentence)}" for day, sentence in recent]
