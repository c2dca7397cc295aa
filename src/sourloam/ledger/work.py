"""One piece of work that is due, and what it takes to decide what is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal

from sourloam.evidence import book
from sourloam.ledger.foreseen import Foreseen
from sourloam.ledger.opening import Opening, opening
from sourloam.ledger.sentences import Sentence
from sourloam.ledger.state import PlaceState
from sourloam.site import Site, spans_within

What = Literal["recall", "feed", "drain", "check", "set_aside", "wash", "bury", "plant", "bran"]
WORK: tuple[What, ...] = (
    "recall", "check", "drain", "feed", "set_aside", "bury", "wash", "plant", "bran",
)  # fmt: skip
Urgency = Literal["overdue", "today", "soon"]
URGENCIES: tuple[Urgency, ...] = ("overdue", "today", "soon")
_AHEAD = 400  # method: days for which the ground is known, so that a winter is seen to its end


@dataclass(frozen=True)
class Due:
    """Work for one day.

    "Done" writes an entry of ``kind`` with ``body``, after the person has filled the fields of
    the body named in ``asks``. ``thing`` is what it is about (("vessel", id)), None for the
    place; ``name`` is what people call that.
    """

    what: What
    on: dt.date
    urgency: Urgency
    why: Sentence
    kind: str
    body: Mapping[str, Any] = field(default_factory=dict)
    asks: tuple[str, ...] = ()
    thing: tuple[str, str] | None = None
    name: str = ""
    expected_ml: float | None = None

    @property
    def key(self) -> str:
        """Tells this piece of work from others on the same list."""
        return ":".join((self.what, self.kind, *(self.thing or ())))

    def as_json(self) -> dict[str, Any]:
        """Plain JSON."""
        return {
            "key": self.key,
            "what": self.what,
            "on": self.on.isoformat(),
            "urgency": self.urgency,
            "why": self.why.as_json(),
            "kind": self.kind,
            "body": dict(self.body),
            "asks": list(self.asks),
            "thing": None if self.thing is None else list(self.thing),
            "name": self.name,
            "expected_ml": self.expected_ml,
        }


def rule(name: str) -> float:
    """Middle value of a row of the evidence."""
    return book()[name].value


@dataclass(frozen=True)
class Question:
    """What is due when: everything that the rules look at."""

    place: PlaceState
    site: Site | None
    forecasts: Mapping[str, Foreseen]
    today: dt.date
    days: int

    @cached_property
    def ground(self) -> Opening | None:
        """The ground, from a while ago until after the next winter; None without a site."""
        if self.site is None:
            return None
        back = int(rule("ground.wait.longest"))
        return opening(self.site, self.today - dt.timedelta(days=back), back + _AHEAD)

    @property
    def last(self) -> dt.date:
        """The last day of the list."""
        return self.today + dt.timedelta(days=self.days)

    def urgency(self, on: dt.date) -> Urgency:
        """How a day stands to today."""
        return "overdue" if on < self.today else "today" if on == self.today else "soon"

    def on_open_day(self, day: dt.date) -> dt.date:
        """The day itself, or the first one after it on which the site makes scraps."""
        if self.site is None:
            return day
        closed = [
            dates
            for span in self.site.closed
            if not span.share
            for dates in spans_within(span, day, day + dt.timedelta(days=_AHEAD))
        ]
        week = self.site.week.factors if self.site.week else _usual_week(self.site)
        for ahead in range(_AHEAD):
            later = day + dt.timedelta(days=ahead)
            if week[later.weekday()] and not any(a <= later <= b for a, b in closed):
                return later
        return day


def _usual_week(site: Site) -> tuple[float, ...]:
    weekend = rule("site.week.school.weekend") if site.place.kind == "school" else 1.0
    return (1.0,) * 5 + (weekend,) * 2
