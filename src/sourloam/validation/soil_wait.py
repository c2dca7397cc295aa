"""How far the wait after burying moves with the weakest numbers behind it, as a table."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from sourloam.evidence import book
from sourloam.soil import EVIDENCE, Soil
from sourloam.soil.waiting import ACID_RATE, waits_by_assumption

CASES = ((5.0, 10.0), (5.0, 20.0), (10.0, 10.0), (10.0, 20.0))  # method: kg/m and degC shown
DAYS = 240  # method: horizon of the table
_LIMITS = {
    "limit of free ammonia": "soil.limit.ammonia",
    "size of lumps": "soil.lump.radius",
}


def assumptions() -> Mapping[str, Mapping[str, float]]:
    """Names of the rows and the values that each sets otherwise."""
    rows = book()
    plain = {
        "as computed": {},
        "acids go at the slow bound": {key: rows[key].low for key in ACID_RATE},
        "acids go at the fast bound": {key: rows[key].high for key in ACID_RATE},
    }
    ends = {
        f"{name}, {end} end ({value:g} {rows[key].unit})": {key: value}
        for name, key in _LIMITS.items()
        for end, value in (("low", rows[key].low), ("high", rows[key].high))
    }
    safety = rows["soil.limit.safety.seed"].value
    tender = rows["soil.limit.safety.tender"].value
    air = rows["soil.limit.oxygen.tender"].value
    rules = {
        "no safety on the limit of acids": {"soil.limit.safety.seed": 1.0},
        "twice the safety on the limit of acids": {"soil.limit.safety.seed": 2 * safety},
        "sowing rule for acids as for tender plants": {"soil.limit.safety.seed": tender},
        "sowing rule for air as for tender plants": {"soil.limit.oxygen.seed": air},
        "no harm from ammonia": {"soil.limit.ammonia": np.inf},
    }
    return {**plain, **ends, **rules}


def soil_wait_table(texture: str = "loam") -> str:
    """Days from burial until seed may go in, row by row of assumptions, in Markdown."""
    ids = book().ids(*EVIDENCE)
    central = book().central(ids)
    ground = Soil(texture, book()["beds.usual_ph"].value)
    found = waits_by_assumption(assumptions(), CASES, ground, DAYS, central)
    head = ["assumed", *(f"{kg:g} kg/m, {celsius:g} °C" for kg, celsius in CASES)]
    lines = ["| " + " | ".join(head) + " |", "|---|" + "---|" * len(CASES)]
    lines += [
        f"| {row.name} | " + " | ".join(_days(day) for day in row.sow_days) + " |" for row in found
    ]
    return "\n".join(lines)


def _days(day: float) -> str:
    return f"over {DAYS}" if np.isinf(day) else f"{day:.0f}"
