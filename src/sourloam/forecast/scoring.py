"""Proving forecasts: what was foreseen at half full against what came.

Today is the day of the first fill mark that reads half or more: a day that the log itself names,
so that ranks are uniform if and only if forecasts hold what they promise.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import scipy  # its rooms load when first used
from numpy.typing import NDArray

from sourloam.forecast.invented import AFTER, DAYS, Truths, log_of, longest_filling
from sourloam.forecast.kitchen import Kitchen
from sourloam.forecast.logged import Logged
from sourloam.forecast.outlook import VesselForecast
from sourloam.forecast.vessel import Question, forecast_vessel
from sourloam.vessel import Vessel

Floats = NDArray[np.float64]
_AHEAD = 7
_BINS = 10
#: What is scored, by name.
QUANTITIES = ("full_day", "finish_day", "liquid_week_ml", "level_in_a_week", "ph_newest_layer")


@dataclass(frozen=True)
class Score:
    """One quantity over many trials: share of truths within the 80 % range, chance of ranks as
    uneven (chi-square, ten bins), the bins, mean continuous ranked probability score."""

    quantity: str
    trials: int
    held: float
    even: float
    bins: tuple[int, ...]
    crps: float


def scores(trials: Sequence[Trial]) -> tuple[Score, ...]:
    """Calibration and sharpness by quantity."""
    found = []
    for quantity in QUANTITIES:
        ranks = np.array([trial.ranks[quantity] for trial in trials])
        counts = np.histogram(ranks, _BINS, (0, 1))[0]
        held = ((ranks > 0.1) & (ranks < 0.9)).mean()
        crps_of = np.mean([trial.scores[quantity] for trial in trials])
        even = scipy.stats.chisquare(counts).pvalue
        bins = tuple(int(count) for count in counts)
        found.append(Score(quantity, len(ranks), float(held), float(even), bins, float(crps_of)))
    return tuple(found)


def half_day(log: Logged) -> int | None:
    """Day of the first fill mark that reads half or more while it fills; None if none does."""
    days = [mark.day for mark in log.marks if mark.value >= 0.5]
    return days[0] if days else None


def crps(members: Floats, truth: float) -> float:
    """Continuous ranked probability score of members against what came; in their unit."""
    ordered = np.sort(members)
    count = len(ordered)
    weights = 2 * np.arange(1, count + 1) - count - 1
    return float(np.abs(ordered - truth).mean() - (weights * ordered).sum() / count**2)


def rank_share(members: Floats, truth: float, rng: np.random.Generator) -> float:
    """Share of the members below what came; ties are broken by chance."""
    below, equal = (members < truth).sum(), (members == truth).sum()
    return float((below + rng.random() * (equal + 1)) / (len(members) + 1))


@dataclass(frozen=True)
class Trial:
    """One truth foreseen: ranks and scores by quantity, the scores of naive forecasts, the chance
    of failing that was stated and whether it failed."""

    ranks: dict[str, float]
    scores: dict[str, float]
    so_far: float
    last_rate: float
    truth: float
    now: int
    stated: float
    failed: bool


def trial(
    kitchen: Kitchen,
    shape: Vessel,
    all_of: Truths,
    which: int,
    members: int,
    rng: np.random.Generator,
) -> Trial | None:
    """Foresee one truth on the day on which its log says half full; None if it never does."""
    log = log_of(kitchen, all_of, which, rng)
    now = half_day(log)
    if now is None or now + 1 >= min(all_of.full_day[which], longest_filling()):
        return None
    today = kitchen.first + dt.timedelta(days=now)
    question = Question(today, DAYS + AFTER - now - 1, members)
    seen = forecast_vessel(log, shape, kitchen, kitchen.before, question, rng)
    came, foreseen = _came(all_of, which, now), _foreseen(seen, now)
    ranks = {q: rank_share(foreseen[q], came[q], rng) for q in QUANTITIES}
    scores = {q: crps(foreseen[q], came[q]) for q in QUANTITIES}
    naive = naive_full_days(log, now)
    stated, failed = float(seen.fails.mean()), bool(all_of.failed[which])
    return Trial(ranks, scores, *naive, came["full_day"], now, stated, failed)


def _came(all_of: Truths, which: int, now: int) -> dict[str, float]:
    limit = float(DAYS + AFTER)
    return {
        "full_day": float(min(all_of.full_day[which], DAYS)),
        "finish_day": float(min(all_of.finish_day[which], limit)),
        "liquid_week_ml": float(all_of.liquid_ml[which, now + 1 : now + 1 + _AHEAD].sum()),
        "level_in_a_week": float(all_of.level[which, now + _AHEAD]),
        "ph_newest_layer": float(all_of.ph_newest[which, now]),
    }


def _foreseen(seen: VesselForecast, now: int) -> dict[str, Floats]:
    limit = float(DAYS + AFTER)
    return {
        "full_day": np.minimum(seen.full_day, DAYS),
        "finish_day": np.minimum(seen.finish_day, limit),
        "liquid_week_ml": seen.liquid_ml[:, now + 1 : now + 1 + _AHEAD].sum(axis=1),
        "level_in_a_week": seen.level[:, now + _AHEAD],
        "ph_newest_layer": seen.ph_newest[:, now],
    }


def naive_full_days(log: Logged, now: int) -> tuple[float, float]:
    """Day of being full by the fill marks' rate so far, and by that of the last two marks."""
    marks = [mark for mark in log.marks if mark.day <= now]
    so_far = now / min(max(marks[-1].value, 0.1), 1)
    rate = marks[-1].value / now
    if len(marks) > 1:
        rate = max((marks[-1].value - marks[-2].value) / (marks[-1].day - marks[-2].day), rate / 5)
    return so_far, now + max(1 - marks[-1].value, 0.0) / rate
