"""What one update of a forecast costs, by members and by vessels, on one core.

    .venv/bin/python benchmarks/forecast_speed.py [--json FILE]

The log: 30 daily layers, ten drainings, seven fill marks, three strips; 75 days ahead. The median
of seven runs, processor time and wall time; the table of single layers is made before.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import os
import time
from pathlib import Path

os.environ.setdefault("NUMBA_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from sourloam.demo.habits import PLACES, read_site
from sourloam.forecast import (
    Layer,
    Logged,
    Question,
    Reading,
    Strip,
    forecast_vessel,
    kitchen,
)

FIRST = dt.date(2025, 9, 1)
RUNS = 7


def a_log() -> Logged:
    """Thirty days of an ordinary kitchen."""
    return Logged(
        FIRST,
        layers=tuple(Layer(d, 0.3, 0.2, "counted") for d in range(30)),
        drains=tuple(Reading(d, 60.0) for d in range(3, 30, 3)),
        marks=tuple(Reading(d, d / 45) for d in range(4, 30, 4)),
        strips=tuple(Strip(d, 4.2) for d in (10, 20, 29)),
    )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", type=Path)
    asked = parser.parse_args()
    site, _ = read_site(PLACES[0])
    began = time.perf_counter()
    place, shape = kitchen(site, FIRST, 500), site.to_vessels()[0]
    made = time.perf_counter() - began
    print(f"table of single layers, once a place: {made:.2f} s")
    today, rows = FIRST + dt.timedelta(days=30), []
    for members, vessels in ((125, 1), (250, 1), (500, 1), (1000, 1), (500, 2), (500, 8)):
        wall, cpu = [], []
        for seed in range(RUNS):
            rng = np.random.default_rng(seed)
            a, b = time.perf_counter(), time.process_time()
            for _ in range(vessels):
                question = Question(today, 75, members)
                forecast_vessel(a_log(), shape, place, place.before, question, rng)
            wall.append(time.perf_counter() - a)
            cpu.append(time.process_time() - b)
        rows.append((members, vessels, 1000 * float(np.median(wall)), 1000 * float(np.median(cpu))))
        print(f"{members:>5} members {vessels:>2} vessels: {rows[-1][2]:>7.0f} ms wall, "
              f"{rows[-1][3]:>7.0f} ms processor")  # fmt: skip
    if asked.json:
        asked.json.write_text(json.dumps({"kitchen_s": made, "rows": rows}, indent=1))


if __name__ == "__main__":
    main()
