"""What the people of a place write down: rough, rounded, late, sometimes wrong or not at all."""

from __future__ import annotations

import datetime as dt
import tomllib
from dataclasses import dataclass, field, replace
from typing import Any
from uuid import UUID

import numpy as np

from sourloam.demo.habits import Habit
from sourloam.demo.truth import PlaceTruth
from sourloam.ledger import Entry, parse_body

_PH_ERROR = 0.3
_PH_STEP = 0.2
_EVENING_H, _EVENING_SPREAD_H = 18.5, 1.0
_SLIP = 0.02  # of the layers are first written down with a slip
_TWICE = 0.01  # are tapped twice


@dataclass
class Diary:
    """Gathers the entries of one place up to ``until`` (a day of the story, itself left out)."""

    place: PlaceTruth
    habit: Habit
    until: int
    rng: np.random.Generator
    entries: list[Entry] = field(default_factory=list)

    def write(
        self,
        day: float,
        kind: str,
        body: dict[str, Any],
        by: str = "keeper",
        supersedes: Entry | None = None,
        later_minutes: int = 1,
    ) -> Entry | None:
        """One entry on a day (its part of a day is the time); None once nobody writes any more."""
        if day >= self.until:
            return None
        midnight = dt.datetime.combine(self.place.first, dt.time(), dt.UTC)
        at = midnight + dt.timedelta(minutes=round(day * 24 * 60))
        entry = Entry(
            id=UUID(bytes=self.rng.bytes(16), version=4),
            place=f"alder-row-{self.habit.file}",
            kind=kind,
            at=at,
            written_at=at + dt.timedelta(minutes=later_minutes),
            body=parse_body(kind, body),
            supersedes=None if supersedes is None else supersedes.id,
            by=by,
        )
        self.entries.append(entry)
        return entry

    def evening(self, day: float) -> float:
        """Some time in the evening of a day of the story."""
        hour = _EVENING_H + _EVENING_SPREAD_H * float(np.clip(self.rng.standard_normal(), -2, 2))
        return float(np.floor(day)) + hour / 24

    def chance(self, share: float) -> bool:
        """True in a share of all cases."""
        return bool(self.rng.random() < share)

    def strip(self, ph: float) -> float:
        """A pH as a strip of paper shows it."""
        read = ph + _PH_ERROR * self.rng.standard_normal()
        return round(float(np.clip(round(read / _PH_STEP) * _PH_STEP, 3, 8)), 1)

    def amount(self, kg: float, density_kg_m3: float) -> dict[str, Any]:
        """A layer as the people of this place tell it."""
        error = float(np.exp(self._amount_error() * self.rng.standard_normal()))
        if self.habit.amounts == "scale":
            return {"mass_kg": max(round(kg * error, 1), 0.1)}
        if self.habit.amounts == "litres":
            litres = 1000 * kg / density_kg_m3 * error
            return {"volume_l": max(round(2 * litres) / 2, 0.5)}
        count = max(round(2 * kg / self.place.bowl_kg * error) / 2, 0.5)
        return {"measure": "bowl", "count": count}

    def _amount_error(self) -> float:
        return {"scale": 0.03, "litres": 0.15, "bowls": 0.15}[self.habit.amounts]

    def layer(self, day: float, body: dict[str, Any]) -> None:
        """A layer, with the slips that come with writing many of them."""
        if self.chance(_SLIP):
            self._slipped(day, body)
            return
        entry = self.write(day, "fed", body)
        if entry is not None and self.chance(_TWICE):
            again = self.write(day, "fed", body, later_minutes=2)
            if again is not None:
                self.write(day, "struck", {}, supersedes=again, later_minutes=4)

    def _slipped(self, day: float, body: dict[str, Any]) -> None:
        """Ten times too much, put right at once."""
        wrong = {k: min(10 * v, 99.0) if k != "measure" else v for k, v in body["amount"].items()}
        first = self.write(day, "fed", body | {"amount": wrong})
        if first is not None:
            self.write(day, "fed", body, supersedes=first, later_minutes=3)

    def quarrel(self, day_of_story: float) -> None:
        """Two people put the same layer right, each in their own way, without signal."""
        fed = [e for e in self.entries if e.kind == "fed" and e.supersedes is None]
        known = {e.supersedes for e in self.entries}
        before = [e for e in fed if self._day(e) <= day_of_story and e.id not in known]
        if not before:
            return
        one = before[-1]
        told = one.body.model_dump(mode="json", exclude_none=True)
        for by, factor, later in (("keeper", 1.5, 90), ("coordinator", 2.0, 200)):
            amount = {k: v if k == "measure" else v * factor for k, v in told["amount"].items()}
            body = told | {"amount": amount}
            self.write(self._day(one), "fed", body, by, supersedes=one, later_minutes=later)

    def _day(self, entry: Entry) -> float:
        midnight = dt.datetime.combine(self.place.first, dt.time(), dt.UTC)
        return (entry.at - midnight) / dt.timedelta(days=1)


def begin(diary: Diary, text: str, names: list[tuple[str, str, int]]) -> None:
    """The first day: the place, its measure, vessels (id, name, kind) and beds."""
    document = tomllib.loads(text)
    site = diary.place.site
    diary.write(0.3, "place_described", {"site": _plain(document)}, by="coordinator")
    if diary.habit.amounts == "bowls":
        told = diary.place.bowl_kg * float(np.exp(0.08 * diary.rng.standard_normal()))
        body = {"measure": "bowl", "name": "Blue bowl", "mass_kg": round(told, 2)}
        diary.write(0.31, "measure_set", body)
    where = {"indoors": "kitchen", "shed": "shed", "cellar": "cellar", "outdoors": "yard"}
    for i, (vessel, name, kind) in enumerate(names):
        body = {
            "vessel": vessel,
            "name": name,
            "spec": _plain(document["vessel"][kind]),
            "where": where[site.room.kind],
        }
        diary.write(0.32 + i * 1e-3, "vessel_added", body)
    for i, bed in enumerate(document.get("bed", [])):
        body = {"bed": bed_id(bed["name"]), "name": bed["name"], "spec": _plain(bed)}
        diary.write(0.36 + i * 1e-3, "bed_added", body)


def bed_id(name: str) -> str:
    """A short id from a bed's name."""
    return "".join(c if c.isalnum() else "-" for c in name.lower() if c != "'")


def _plain(value: Any) -> Any:
    """TOML as JSON: dates as text."""
    if isinstance(value, dict):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_plain(part) for part in value]
    return value.isoformat() if isinstance(value, dt.date) else value


def stamped(entry: Entry, minutes: int = 1) -> Entry:
    """The entry as a server that got it some minutes later keeps it."""
    return replace(entry, received_at=entry.written_at + dt.timedelta(minutes=minutes))
