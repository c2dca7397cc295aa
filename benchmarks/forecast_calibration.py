"""Do forecasts hold what they promise? Ranks, ranges and scores on truths that nobody showed them.

    .venv/bin/python benchmarks/forecast_calibration.py [--truths 500] [--members 500] [--json FILE]

Two proofs. *Invented truths*: vessels of one place with every input drawn from the evidence, run
by the full vessel model, with a log whose errors are those that forecasts reckon with; foreseen
on the day whose fill mark first reads half. *The invented season*: the places of Alder Row, each
vessel foreseen at its half from the place's ledger as it stood, with what the place had taught.
Naive forecasts of the day of being full: the fill marks' rate so far, that of the last two
marks, and the mean length of the place's own earlier fillings.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
from dataclasses import asdict
from pathlib import Path

import numpy as np

from sourloam import demo
from sourloam.demo.habits import PLACES, read_site
from sourloam.forecast import Question, forecast_place, kitchen, learn_place
from sourloam.forecast.invented import truths
from sourloam.forecast.reading import from_ledger
from sourloam.forecast.scoring import crps, half_day, naive_full_days, scores, trial
from sourloam.ledger import fold

FIRST = dt.date(2025, 9, 1)
TODAY = dt.date(2026, 9, 14)
HORIZON = 90


def invented(count: int, members: int, seed: int) -> dict[str, object]:
    """Calibration on invented truths of the first place."""
    site, _ = read_site(PLACES[0])
    place, shape = kitchen(site, FIRST, 500), site.to_vessels()[0]
    rng = np.random.default_rng(seed)
    drawn = truths(place, shape, count, rng)
    found = [trial(place, shape, drawn, i, members, rng) for i in range(count)]
    told = [one for one in found if one is not None]
    came = np.array([one.truth for one in told])
    ours = float(np.mean([one.scores["full_day"] for one in told]))
    naive = {
        name: float(np.abs(np.array([getattr(one, name) for one in told]) - came).mean())
        for name in ("so_far", "last_rate")
    }
    return {
        "scores": [asdict(score) for score in scores(told)],
        "full_day_crps": ours,
        "naive": naive,
        "below_best_naive": 1 - ours / min(naive.values()),
        "not_scored": count - len(told),
    }


def season(seed: int) -> dict[str, object]:
    """Scores at half full over all turns of the invented season that came to be full."""
    rows = []
    made = demo.season(TODAY, seed)
    for place in made.places:
        hidden = made.truth[place.id]
        for turn in hidden.turns:
            row = _one(place, hidden, turn)
            if row is not None:
                rows.append(row)
    table = {name: float(np.mean([row[name] for row in rows])) for name in rows[0]}
    best = min(table[name] for name in ("so_far", "last_rate", "own_mean"))
    return {"turns": len(rows), **table, "below_best_naive": 1 - table["crps"] / best}


def _one(place, hidden, turn):  # type: ignore[no-untyped-def]
    """One turn: None where it was not filled, or no fill mark read half while it was filling."""
    if not np.isfinite(turn.full_day) or turn.full_day > turn.aside_day:
        return None
    came = hidden.place.date(turn.began + int(turn.full_day))
    if came >= TODAY:
        return None
    first = hidden.place.date(turn.began)
    whole = fold([e for e in place.entries if e.at.date() < came])
    state = next((v for v in whole.vessels if v.id == turn.vessel and v.turn), None)
    if state is None or abs((state.turn.began.day - first).days) > 7:
        return None
    shape = place.site.to_vessels()[int(turn.vessel.split("-")[1]) - 1]
    half = half_day(from_ledger(state.turn, whole, shape, "household"))
    if half is None:
        return None
    today = state.turn.began.day + dt.timedelta(days=half)
    if today + dt.timedelta(days=1) >= came:
        return None
    then = fold([e for e in place.entries if e.at.date() <= today])
    question = Question(today, HORIZON, 500)
    seen = forecast_place(then, place.site, question, learn_place(then, place.site, question))
    if turn.vessel not in seen:
        return None
    forecast = seen[turn.vessel]
    truth = float((came - forecast.began).days)
    log = from_ledger(then.vessel(turn.vessel).turn, then, shape, "household")
    so_far, last_rate = naive_full_days(log, forecast.now)
    past = [
        (t.set_aside.day - t.began.day).days for v in then.vessels for t in v.turns if t.set_aside
    ]
    own = float(np.mean(past)) if past else so_far
    days = np.minimum(forecast.full_day, forecast.now + HORIZON)
    low, high = np.quantile(days, [0.1, 0.9], method="nearest")
    return {
        "crps": crps(days, truth),
        "held": float(low <= truth <= high),
        "so_far": abs(so_far - truth),
        "last_rate": abs(last_rate - truth),
        "own_mean": abs(max(own, forecast.now + 1) - truth),
    }


def main() -> None:
    """Print both proofs."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--truths", type=int, default=500)
    parser.add_argument("--members", type=int, default=500)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--json", type=Path)
    asked = parser.parse_args()
    one = invented(asked.truths, asked.members, asked.seed)
    print(f"{'quantity':<18}{'trials':>7}{'in 80 %':>9}{'ranks p':>9}{'CRPS':>9}")
    for score in one["scores"]:
        print(
            f"{score['quantity']:<18}{score['trials']:>7}{score['held']:>9.3f}"
            f"{score['even']:>9.3f}{score['crps']:>9.3f}  {score['bins']}"
        )
    print(f"full day: {one['full_day_crps']:.2f} d; naive {one['naive']};", end=" ")
    print(f"{one['below_best_naive']:.0%} below the best naive; {one['not_scored']} not scored")
    two = season(1)
    print("invented season:", {k: round(v, 3) for k, v in two.items()})
    if asked.json:
        asked.json.write_text(json.dumps({"invented": one, "season": two}, indent=1))


if __name__ == "__main__":
    main()
