"""Forecasts held against the hidden truth of an invented season."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from sourloam.demo.season import HiddenPlace, Season, SeasonPlace
from sourloam.demo.truth import TurnTruth
from sourloam.forecast import Question, forecast_place, learn_place
from sourloam.forecast.outlook import VesselForecast
from sourloam.forecast.reading import from_ledger
from sourloam.forecast.scoring import crps, half_day, naive_full_days
from sourloam.ledger import PlaceState, fold
from sourloam.numerics.progress import Progress
from sourloam.validation.forecasts import Season as Proof

_HORIZON = 90
_NEAR_DAYS = 7
_MIX = "household"


@dataclass(frozen=True)
class _Row:
    ours: float
    held: bool
    so_far: float
    last_rate: float
    own_mean: float


def prove_season(made: Season, members: int, report: Progress) -> Proof:
    """Every filling that came to be full within the log, foreseen at half full from the place's
    ledger as it stood, with what the place had taught by then."""
    asked = [(place, turn) for place in made.places for turn in made.truth[place.id].turns]
    rows = []
    for number, (place, turn) in enumerate(asked):
        report("foreseeing an invented season", number / len(asked))
        row = _row(place, made.truth[place.id], turn, made.today, members)
        if row is not None:
            rows.append(row)
    return Proof(
        len(rows),
        *(
            float(np.mean([getattr(row, name) for row in rows]))
            for name in ("ours", "so_far", "last_rate", "own_mean", "held")
        ),
    )


def _row(
    place: SeasonPlace, hidden: HiddenPlace, turn: TurnTruth, today: dt.date, members: int
) -> _Row | None:
    """None where it was not filled, or no fill mark read half while it was filling."""
    if not np.isfinite(turn.full_day) or turn.full_day > turn.aside_day:
        return None
    came = hidden.place.date(turn.began + int(turn.full_day))
    when = None if came >= today else _half(place, turn, hidden.place.date(turn.began), came)
    if when is None:
        return None
    then = fold([e for e in place.entries if e.at.date() <= when])
    question = Question(when, _HORIZON, members)
    learned = learn_place(then, place.site, question)
    seen = forecast_place(then, place.site, question, learned, {turn.vessel})
    forecast = seen.get(turn.vessel)
    return None if forecast is None else _scored(place, then, turn.vessel, forecast, came)


def _half(place: SeasonPlace, turn: TurnTruth, first: dt.date, came: dt.date) -> dt.date | None:
    """The day on which its log first reads half; None if it is not told apart from full."""
    whole = fold([e for e in place.entries if e.at.date() < came])
    state = next((v for v in whole.vessels if v.id == turn.vessel), None)
    filling = None if state is None else state.turn
    if filling is None or abs((filling.began.day - first).days) > _NEAR_DAYS:
        return None
    shape = place.site.to_vessels()[int(turn.vessel.split("-")[1]) - 1]
    half = half_day(from_ledger(filling, whole, shape, _MIX))
    if half is None:
        return None
    day = filling.began.day + dt.timedelta(days=half)
    return day if day + dt.timedelta(days=1) < came else None


def _scored(
    place: SeasonPlace, then: PlaceState, vessel: str, forecast: VesselForecast, came: dt.date
) -> _Row:
    truth = float((came - forecast.began).days)
    turn = then.vessel(vessel).turn
    assert turn is not None  # it was foreseen
    shape = place.site.to_vessels()[int(vessel.split("-")[1]) - 1]
    log = from_ledger(turn, then, shape, _MIX)
    so_far, last_rate = naive_full_days(log, forecast.now)
    past = [
        (t.set_aside.day - t.began.day).days for v in then.vessels for t in v.turns if t.set_aside
    ]
    own = float(np.mean(past)) if past else so_far
    days = np.minimum(forecast.full_day, forecast.now + _HORIZON)
    low, high = np.quantile(days, [0.1, 0.9], method="nearest")
    return _Row(
        ours=crps(days, truth),
        held=bool(low <= truth <= high),
        so_far=abs(so_far - truth),
        last_rate=abs(last_rate - truth),
        own_mean=abs(max(own, forecast.now + 1) - truth),
    )
