"""``sourloam validate --forecast`` and ``--rescue``: what learns from logs, held against truths
that nobody showed it."""

from __future__ import annotations

import datetime as dt
import time
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from sourloam.cli.progress import progress
from sourloam.cli.tables import held, markers, renew

if TYPE_CHECKING:
    from sourloam.forecast import Kitchen, Logged
    from sourloam.validation.forecasts import Cost
    from sourloam.vessel import Vessel

_FIRST = dt.date(2025, 9, 1)
_TODAY = dt.date(2026, 9, 14)
_DAYS = 500
_CASES = 400
_RUNS = 5
COSTS = ((125, 1), (500, 1), (1000, 1), (500, 2), (500, 8))


def forecasts(write: Path | None, truths: int, members: int, seed: int) -> int:
    """Calibration, sharpness and cost of forecasts."""
    from sourloam import demo
    from sourloam.demo.habits import PLACES, read_site
    from sourloam.demo.proving import prove_season
    from sourloam.forecast import kitchen
    from sourloam.validation.forecasts import forecast_table, prove_invented

    if write is not None:
        markers(write, ["forecasts"])
    site, _ = read_site(PLACES[0])
    place, shape = kitchen(site, _FIRST, _DAYS), site.to_vessels()[0]
    with progress() as report:
        one = prove_invented(place, shape, truths, members, seed, report)
        two = prove_season(demo.season(_TODAY, seed), members, report)
        costs = [cost(place, shape, *asked) for asked in COSTS]
    table = forecast_table(one, two, costs)
    if write is not None:
        renew(write, {"forecasts": table})
    else:
        typer.echo(table)
    return 0


def rescues(check: Path | None, write: Path | None, seed: int) -> int:
    """Brier score and false all-clears of the rescue."""
    from sourloam.validation.rescues import rescue_table

    for path in (check, write):
        if path is not None:
            markers(path, ["rescues"])
    with progress() as report:
        tables = {"rescues": rescue_table(_CASES, seed, report)}
    if write is not None:
        renew(write, tables)
    if check is not None:
        return held(check, tables, "--rescue ")
    if write is None:
        typer.echo(tables["rescues"])
    return 0


def cost(place: Kitchen, shape: Vessel, members: int, vessels: int) -> Cost:
    """What one update costs: the middle of some runs, the table of single layers made before."""
    import numpy as np

    from sourloam.forecast import Question, forecast_vessel
    from sourloam.validation.forecasts import Cost

    question, took = Question(_FIRST + dt.timedelta(days=30), 75, members), []
    for seed in range(_RUNS):
        rng, began = np.random.default_rng(seed), time.process_time()
        for _ in range(vessels):
            forecast_vessel(_ordinary_log(), shape, place, place.before, question, rng)
        took.append(1000 * (time.process_time() - began))
    return Cost(members, vessels, float(np.median(took)))


def _ordinary_log() -> Logged:
    """Thirty days of an ordinary kitchen."""
    from sourloam.forecast import Layer, Logged, Reading, Strip

    return Logged(
        _FIRST,
        layers=tuple(Layer(d, 0.3, 0.2, "counted") for d in range(30)),
        drains=tuple(Reading(d, 60.0) for d in range(3, 30, 3)),
        marks=tuple(Reading(d, d / 45) for d in range(4, 30, 4)),
        strips=tuple(Strip(d, 4.2) for d in (10, 20, 29)),
    )
