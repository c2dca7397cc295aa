"""One place as one reader meets it: who may do what, in which units, on which day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from zoneinfo import ZoneInfo

from sourloam.ledger import KINDS
from sourloam.ledger.due import due
from sourloam.ledger.due_vessel import stage_on
from sourloam.ledger.state import PlaceState, VesselState
from sourloam.ledger.work import Due, Question
from sourloam.logbook.models import Place
from sourloam.web.foresight import Foresight


@dataclass(frozen=True)
class House:
    """A place, the reader's role in it, the reader's units and the date there."""

    id: str
    name: str
    zone: ZoneInfo
    role: str
    units: str
    today: dt.date
    place: Place

    def may(self, kind: str) -> bool:
        """Whether the reader may write entries of a kind."""
        return self.role in KINDS[kind].roles

    @property
    def kinds(self) -> tuple[str, ...]:
        """Kinds of entry that the reader may write."""
        return tuple(name for name in KINDS if self.may(name))

    @property
    def may_keep(self) -> bool:
        """Whether the reader may put up vessels and lay out beds."""
        return self.may("vessel_added")


@dataclass(frozen=True)
class Inside:
    """What is in a place today: its state, what is foreseen, what is due."""

    house: House
    state: PlaceState
    foreseen: Mapping[str, Foresight] = field(default_factory=dict)

    def question(self, days: int) -> Question:
        """What the rules of what is due look at."""
        return Question(self.state, self.state.site(), self.foreseen, self.house.today, days)

    def dues(self, days: int = 14) -> list[Due]:
        """Work of the coming days."""
        return due(self.state, self.foreseen, None, self.house.today, days)

    def stage(self, vessel: VesselState, question: Question) -> str:
        """What a vessel is today, in the words of the pages: dirty is a stage of its own."""
        if vessel.turn is None and vessel.dirty:
            return "dirty"
        return stage_on(vessel, self.foreseen.get(vessel.id), question)
