"""One invented season of scraps, and an invented place, for all tests of the room."""

import numpy as np

from sourloam.impact.kept import Kept, Shares
from sourloam.impact.place import Surroundings


def season(p, **changes):
    """A tonne of scraps of the usual make-up, all of it buried, its liquid poured on plants."""

    def all_(value):
        return np.full(p.members, float(value))

    shares = Shares(*(all_(x) for x in (0.02, 0.03, 0.04, 0.05, 0.08, 0.06, 0.92)))
    values = {
        "scraps_kg": 1000, "dry_kg": 250, "carbon_kg": 115, "nitrogen_kg": 7,
        "phosphorus_kg": 1.1, "potassium_kg": 3.5, "bran_kg": 20, "bran_carbon_kg": 8,
        "bran_nitrogen_kg": 0.5, "binned": 0, "liquid_used": 1, "washed": 80, "driven_km": 0,
    }  # fmt: skip
    changed = {name: all_(x) for name, x in (values | changes).items() if name != "shares"}
    return Kept(**changed, shares=changes.get("shares", shares))


def temperate(p, wet=True, tropical=False):
    return Surroundings(
        np.full(p.members, tropical),
        np.full(p.members, wet),
        np.full(p.members, 0.8),
        np.full(p.members, 20.0),
    )
