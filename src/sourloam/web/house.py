"""One place as one reader meets it: who may do what, in which units, on which day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from zoneinfo import ZoneInfo

from sourloam.ledger import KINDS
from sourloam.ledger.state import PlaceState, VesselState
from sourloam.ledger.work import Due
from sourloam.logbook.models import Place
from sourloam.logbook.permissions import may
from sourloam.web.bran.warned import Warnings
from sourloam.web.known import Known, reckon
from sourloam.web.vessel.foresight import Foresight


@dataclass(frozen=True)
class House:
    """A place, the reader's role in it, the reader's units and the date there; ``warnings``
    tells what the reader's places warn of."""

    id: str
    name: str
    zone: ZoneInfo
    role: str
    units: str
    today: dt.date
    place: Place
    warnings: Callable[[], Warnings] = dict

    def may(self, kind: str) -> bool:
        """Whether the reader may write entries of a kind."""
        return self.role in KINDS[kind].roles

    @property
    def kinds(self) -> tuple[str, ...]:
        """Kinds of entry that the reader may write."""
        return tuple(name for name in KINDS if self.may(name))

    @property
    def may_change(self) -> bool:
        """Whether the reader may give the place another name or clock."""
        return may(self.role, "change place")

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

    @cached_property
    def known(self) -> Known:
        """What was reckoned of the place for today."""
        return reckon(self.house.id, self.state, self.foreseen, self.house.today)

    @property
    def dues(self) -> tuple[Due, ...]:
        """Work of the coming two weeks, the most pressing first."""
        return self.known.dues

    def stage(self, vessel: VesselState) -> str:
        """What a vessel is today, in the words of the pages: dirty is a stage of its own."""
        return self.known.vessels[vessel.id].stage
