"""What one update of a forecast costs, by members and by vessels, on one core.

    .venv/bin/python benchmarks/forecast_speed.py

The log: 30 daily layers, ten drainings, seven fill marks, three strips; 75 days ahead. The median
of five runs, processor time; the table of single layers is made before. The same figures stand in
docs/validation.md, where ``sourloam validate --forecast`` writes them.
"""

from __future__ import annotations

import datetime as dt
import os
import time

os.environ.setdefault("NUMBA_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from sourloam.cli.validate_learning import COSTS, cost
from sourloam.demo.habits import PLACES, read_site
from sourloam.forecast import kitchen


def main() -> None:
    """Print the table."""
    site, _ = read_site(PLACES[0])
    began = time.perf_counter()
    place, shape = kitchen(site, dt.date(2025, 9, 1), 500), site.to_vessels()[0]
    print(f"table of single layers, once a place: {time.perf_counter() - began:.2f} s")
    for members, vessels in COSTS:
        found = cost(place, shape, members, vessels)
        print(f"{members:>5} members {vessels:>2} vessels: {found.ms:>7.0f} ms processor")


if __name__ == "__main__":
    main()
