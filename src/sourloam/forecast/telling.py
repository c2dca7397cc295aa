"""What the log of one place foresees and has taught, gathered for whoever tells it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sourloam.forecast.habits import Habits
from sourloam.forecast.outlook import VesselForecast
from sourloam.forecast.place import (
    forecast_place,
    habits_in,
    kitchen_of,
    learn_place,
    own_kitchen,
)
from sourloam.forecast.vessel import Question
from sourloam.ledger import PlaceState
from sourloam.numerics.progress import Progress
from sourloam.site import Site

_AHEAD = 28  # method: days whose mean is the place's rate
_NORMAL_80 = 1.2816  # method: 90 % point of the standard normal


@dataclass(frozen=True)
class Told:
    """One vessel: its name, whether it fills or rests, and its forecast."""

    id: str
    name: str
    forecast: VesselForecast


@dataclass(frozen=True)
class PlaceForecast:
    """A place on a day. ``rate_kg`` scraps a day in the coming four weeks (low, middle, high) as
    its finished vessels teach, ``said_kg`` as the site says; ``habits`` week and year by the log;
    ``turns`` finished vessels that it was learned from."""

    name: str
    today: dt.date
    vessels: tuple[Told, ...]
    rate_kg: tuple[float, float, float]
    said_kg: float
    habits: Habits
    turns: int

    def as_dict(self) -> dict[str, Any]:
        """Plain data."""
        low, middle, high = self.rate_kg
        return {
            "place": self.name,
            "today": self.today.isoformat(),
            "vessels": [
                {"id": one.id, "name": one.name, **one.forecast.summary()} for one in self.vessels
            ],
            "learned": {
                "scraps_kg_a_day": {"low": low, "median": middle, "high": high},
                "scraps_kg_a_day_by_site": self.said_kg,
                "by_weekday": [round(float(factor), 3) for factor in self.habits.week],
                "by_month": [round(float(factor), 3) for factor in by_month(self.habits)],
                "finished_vessels": self.turns,
            },
        }


def by_month(habits: Habits) -> NDArray[np.float64]:
    """Factor of the middle of each month from January, (12,)."""
    months = np.arange("2025-01", "2026-01", dtype="datetime64[M]")
    middle = months.astype("datetime64[D]") + 14  # method: the middle of a month
    return Habits(np.ones_like(habits.week), habits.year).on(middle)


def tell_place(
    state: PlaceState, site: Site, question: Question, only: str | None, report: Progress
) -> PlaceForecast:
    """Everything of a place as of ``question.today``; of one vessel if ``only`` names its id."""
    report("learning from finished vessels", 0.0)
    learned = learn_place(state, site, question, report)
    wanted = None if only is None else {only}
    seen = forecast_place(state, site, question, learned, wanted, report)
    before, own = kitchen_of(site, state, question), own_kitchen(site, state, question)
    coming = slice((question.today - own.first).days, None)
    said = float(before.expected_kg[coming][:_AHEAD].mean())
    usual = float(own.expected_kg[coming][:_AHEAD].mean())
    rate, far = learned.belief.rate_mean, _NORMAL_80 * learned.belief.rate_sd
    names = {vessel.id: vessel.name for vessel in state.vessels}
    return PlaceForecast(
        name=site.name,
        today=question.today,
        vessels=tuple(Told(key, names[key], one) for key, one in seen.items()),
        rate_kg=(
            round(usual * float(np.exp(rate - far)), 3),
            round(usual * float(np.exp(rate)), 3),
            round(usual * float(np.exp(rate + far)), 3),
        ),
        said_kg=round(said, 3),
        habits=habits_in(state, before, question.today),
        turns=len(learned.turns),
    )
