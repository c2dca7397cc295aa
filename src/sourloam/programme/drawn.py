"""What the reckonings draw from: one sample of the evidence and of plain chance, made once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sourloam.evidence import Parameters, book
from sourloam.programme.facts import Three

Floats = NDArray[np.float64]
EVIDENCE = ("programme", "practice.full_mass", "forecast.amount")
MEMBERS = 200  # method: draws behind a range
_SEED = 1
Z90 = float(special.ndtri(0.9))


@dataclass(frozen=True)
class Drawn:
    """``p`` the evidence, ``z`` standard normal draws, both (members,)."""

    p: Parameters
    z: Floats


@cache
def drawn() -> Drawn:
    """The usual sample."""
    rng = np.random.default_rng(_SEED)
    p = book().sample(book().ids(*EVIDENCE), MEMBERS, rng)
    strata = (rng.permutation(MEMBERS) + 0.5) / MEMBERS
    return Drawn(p, np.asarray(special.ndtri(strata)))


def three(values: Floats) -> Three:
    """10, 50 and 90 % points of ``values`` ``(members,)``, in their unit."""
    ordered = np.sort(values)
    at = np.array([0.1, 0.5, 0.9]) * (len(ordered) - 1)
    low, middle, high = np.interp(at, np.arange(len(ordered)), ordered).tolist()
    return low, middle, high
