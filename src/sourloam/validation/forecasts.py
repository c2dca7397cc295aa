"""Whether forecasts hold what they promise, on invented truths; and the tables that say so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy import stats

from sourloam.forecast.invented import truths
from sourloam.forecast.kitchen import Kitchen
from sourloam.forecast.scoring import Score, scores, trial
from sourloam.numerics.progress import Progress
from sourloam.vessel import Vessel

_GOAL = (0.76, 0.84)  # method: what the 80 % range may hold
_CHANCES = (0.0, 0.02, 0.1, 0.3, 1.01)  # method: ends of the rows of stated chances
_NAMES = {
    "full_day": ("day of being full", "{:.1f} d"),
    "finish_day": ("day of being sour and steady", "{:.1f} d"),
    "liquid_week_ml": ("liquid of the coming week", "{:.0f} mL"),
    "level_in_a_week": ("level in a week", "{:.3f}"),
    "ph_newest_layer": ("pH of the newest layer", "{:.2f}"),
}


@dataclass(frozen=True)
class Invented:
    """Scores by quantity over invented truths; mean error in days of the day of being full, ours
    and two naive ones; how many were not scored, because their marks never read half in time;
    the chance of failing stated for each, and whether it failed."""

    scores: tuple[Score, ...]
    ours: float
    so_far: float
    last_rate: float
    not_scored: int
    members: int
    seed: int
    chances: tuple[tuple[float, bool], ...] = ()


@dataclass(frozen=True)
class Season:
    """The same error over fillings of an invented season, with the mean of the place's own earlier
    fillings as a third naive forecast; share of truths within the 80 % range."""

    fillings: int
    ours: float
    so_far: float
    last_rate: float
    own_mean: float
    held: float


@dataclass(frozen=True)
class Cost:
    """Milliseconds of processor time of one update, by members and vessels."""

    members: int
    vessels: int
    ms: float


def prove_invented(
    kitchen: Kitchen, shape: Vessel, count: int, members: int, seed: int, report: Progress
) -> Invented:
    """So many vessels of one place, run by the full model, each foreseen at half full."""
    rng = np.random.default_rng(seed)
    report("running invented vessels", 0.0)
    drawn = truths(kitchen, shape, count, rng)
    found = []
    for which in range(count):
        report("foreseeing invented vessels", which / count)
        found.append(trial(kitchen, shape, drawn, which, members, rng))
    told = [one for one in found if one is not None]
    came = np.array([one.truth for one in told])
    return Invented(
        scores(told),
        ours=float(np.mean([one.scores["full_day"] for one in told])),
        so_far=float(np.abs(np.array([one.so_far for one in told]) - came).mean()),
        last_rate=float(np.abs(np.array([one.last_rate for one in told]) - came).mean()),
        not_scored=count - len(told),
        members=members,
        seed=seed,
        chances=tuple((one.stated, one.failed) for one in told),
    )


def forecast_table(one: Invented, two: Season, costs: Sequence[Cost]) -> str:
    """Calibration, sharpness and cost as Markdown."""
    return "\n".join(
        [*_calibration(one), "", *_failing(one), "", *_sharpness(one, two), "", *_cost(costs)]
    )


def _calibration(found: Invented) -> list[str]:
    count = found.scores[0].trials
    return [
        f"{count + found.not_scored} invented vessels, {found.members} members, seed {found.seed}; "
        f"{found.not_scored} never read half in time and are not scored. By chance alone the share "
        f"of {count} within an honest 80 % range moves by {100 * _noise(count):.1f} points "
        "(standard error). The column *chance* is that of a share as far from 80 %.",
        "",
        "| Quantity | Vessels | Within the 80 % range | Chance | Goal 76-84 % | Ranks even, p "
        "| Mean error (CRPS) |",
        "|---|---|---|---|---|---|---|",
        *(_score(score) for score in found.scores),
    ]


def _failing(found: Invented) -> list[str]:
    """How often those failed of whom so much was stated."""
    stated = np.array([chance for chance, _failed in found.chances])
    failed = np.array([failed for _chance, failed in found.chances], dtype=bool)
    if not failed.size:
        return []
    usual = failed.mean()
    ours, naive = ((stated - failed) ** 2).mean(), usual * (1 - usual)
    lines = [
        f"Vessels that never sour, or spoil: {failed.sum()} of {failed.size} failed, "
        f"{stated.sum():.1f} were foreseen by the chances stated at half full. Brier score "
        f"(0 best) {ours:.4f}; stating the share that failed for each would give {naive:.4f}.",
        "",
        "| Chance stated at half full | Vessels | Failed | Foreseen |",
        "|---|---|---|---|",
    ]
    for low, high in pairwise(_CHANCES):
        row = (stated >= low) & (stated < high)
        name = f"{100 * low:.0f}-{100 * min(high, 1):.0f} %"
        lines.append(f"| {name} | {row.sum()} | {failed[row].sum()} | {stated[row].sum():.1f} |")
    return lines


def _noise(count: int) -> float:
    return float(np.sqrt(0.8 * 0.2 / count))


def _score(score: Score) -> str:
    name, form = _NAMES[score.quantity]
    inside = round(score.held * score.trials)
    chance = stats.binomtest(inside, score.trials, 0.8).pvalue
    met = "met" if _GOAL[0] <= score.held <= _GOAL[1] else "**missed**"
    return (
        f"| {name} | {score.trials} | {score.held:.1%} | {chance:.2f} | {met} "
        f"| {score.even:.2f} | {form.format(score.crps)} |"
    )


def _sharpness(one: Invented, two: Season) -> list[str]:
    rows = (
        ("Sourloam", one.ours, two.ours),
        ("fill marks' rate so far", one.so_far, two.so_far),
        ("rate of the last two marks", one.last_rate, two.last_rate),
        ("mean of the place's own earlier fillings", None, two.own_mean),
    )
    below = (
        1 - one.ours / min(one.so_far, one.last_rate),
        1 - two.ours / min(two.so_far, two.last_rate, two.own_mean),
    )
    return [
        "Mean error of the day of being full, foreseen at half full (goal: 30 % below the best "
        "naive forecast):",
        "",
        f"| Forecast | Invented vessels | Invented season ({two.fillings} fillings) |",
        "|---|---|---|",
        *(f"| {name} | {_days(a)} | {_days(b)} |" for name, a, b in rows),
        f"| **below the best naive forecast** | **{below[0]:.0%}** | **{below[1]:.0%}** |",
        "",
        f"In the season the 80 % range held {two.held:.0%} of the days of being full (days are "
        "whole, and both ends count).",
    ]


def _days(value: float | None) -> str:
    return "-" if value is None else f"{value:.1f} d"


def _cost(costs: Sequence[Cost]) -> list[str]:
    return [
        "Processor time of one update on the machine that wrote this (goal: 200 ms for one vessel "
        "with 500 members, linear in vessels):",
        "",
        "| Members | Vessels | Milliseconds |",
        "|---|---|---|",
        *(f"| {cost.members} | {cost.vessels} | {cost.ms:.0f} |" for cost in costs),
    ]
