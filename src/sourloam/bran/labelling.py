"""The text of a lot's label."""

from __future__ import annotations

import datetime as dt

import numpy as np

from sourloam.bran.making import Batch
from sourloam.bran.steps import Setting
from sourloam.numerics import spread
from sourloam.units import percent, show

_BLANK = "________"


def lot_name(start: dt.date) -> str:
    """A lot is called by the day it was mixed."""
    return f"BRAN-{start:%Y%m%d}"


def warning(setting: Setting) -> tuple[str, ...]:
    """What goes on the bags of a lot of which none may be given."""
    return (
        f"DO NOT USE: lot {lot_name(setting.start)} failed its test",
        "It may be dug in or composted. NOT FOOD OR FEED. Avoid breathing the dust.",
    )


def label(
    made: Batch,
    setting: Setting,
    packed: dt.date,
    advised_g_per_kg: float | None,
    allergens: tuple[str, ...],
) -> tuple[str, ...]:
    """Lines to print on a bag; what only the maker can know is left blank to fill in."""
    wish = made.case.wish
    store = show(made.case.store_c, "temperature", setting.system)
    dose = _BLANK
    if advised_g_per_kg is not None:
        dose = show(advised_g_per_kg / 1000, "dose", setting.system)
    moist = made.dried is None
    keep = "airless, cool, dark" if moist else "dry, closed, cool, dark"
    moisture = percent(float(np.median(made.end_moisture)))
    lines = [
        "INOCULATED BRAN for souring kitchen scraps",
        f"Lot {lot_name(setting.start)}",
        f"Made of {wish.mixture.words}",
        f"Mixed {setting.start.isoformat()}, {'opened' if moist else 'dried and packed'} "
        f"{packed.isoformat()}",
        f"Moisture about {moisture}; measured {_BLANK}",
        f"pH of slurry {_BLANK} on {_BLANK}",
        f"Test of strength {_BLANK} on {_BLANK}",
        _best_before(made, packed, store),
        f"Dose at first {dose} of scraps; more as it ages, or by its test",
        f"Keep {keep}. Discard if damp, warm, caked, musty, green or black.",
        "NOT FOOD OR FEED. Avoid breathing the dust.",
    ]
    if allergens:
        lines.append(f"CONTAINS {', '.join(allergens).upper()}")
    return tuple(lines)


def _best_before(made: Batch, packed: dt.date, store: str) -> str:
    """The day by the middle of the members, between which days it may fall, and how warm."""
    found = spread(made.good_days)
    first, middle, last = (
        packed + dt.timedelta(days=int(days)) for days in (found.low, found.median, found.high)
    )
    return (
        f"Best before {middle.isoformat()} (somewhere from {first.isoformat()} to "
        f"{last.isoformat()}), kept at {store}"
    )
