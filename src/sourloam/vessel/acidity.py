"""pH of a layer from the balance of charges.

Unknown: pH. Given: mol of weak acids and ammonium, mol of strong cations, and the buffer of the
scraps, at rest at its own starting pH. The buffer takes ``buffer`` mol per pH, and more the
further pH falls below ``rise_from``, where carboxyl groups take up protons: its charge is
``buffer x stretched(pH)``. With HA <-> H+ + A- and the Davies
equation the conditional constant is pK' = pK + log10 g for an acid and pK - log10 g for
ammonium, where log10 g = -A (sqrt(I)/(1+sqrt(I)) - 0.3 I).
"""

from __future__ import annotations

from math import exp, log

import numpy as np
from numpy.typing import NDArray

from sourloam.numerics.compiling import inlined

LN10 = log(10)
_CLOSE = 1e-5  # method: pH change that ends the iteration; the error left is its square
_TRIES = 60  # method: iterations before giving up
_LEAP = 1.0  # method: longest Newton step, pH


def davies_log10(
    ionic_strength: NDArray[np.float64], slope: NDArray[np.float64], linear: NDArray[np.float64]
) -> NDArray[np.float64]:
    """log10 of the activity coefficient of a univalent ion (Davies' equation), of the shape of
    ``ionic_strength``, mol/kg water; ``slope`` and ``linear`` are its two constants."""
    root = np.sqrt(ionic_strength)
    return np.asarray(-slope * (root / (1 + root) - linear * ionic_strength))


def stretched(
    ph: NDArray[np.float64], rise: NDArray[np.float64], rise_from: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Charge of a buffer of 1 mol/pH: pH, less what the rise of buffering adds below a pH. All
    three and the result ``(members,)`` or alike; ``rise`` is per pH, ``rise_from`` a pH."""
    return np.asarray(ph - rise * np.maximum(rise_from - ph, 0.0) ** 2 / 2)


@inlined()
def _residual(
    h, ph, lactic, acetic, butyric, ammonia, k, strong, buffer, buffer_rest, water, rise, rise_from
):  # fmt: skip
    """Excess of negative over positive charge, mol, and its slope with pH."""
    below = max(rise_from - ph, 0.0)
    total = buffer * (ph - 0.5 * rise * below * below) - buffer_rest - strong
    slope = buffer * (1.0 + rise * below)
    share = k[0] / (k[0] + h)
    total += lactic * share
    slope += LN10 * lactic * share * (1 - share)
    share = k[1] / (k[1] + h)
    total += acetic * share
    slope += LN10 * acetic * share * (1 - share)
    share = k[2] / (k[2] + h)
    total += butyric * share
    slope += LN10 * butyric * share * (1 - share)
    share = h / (h + k[3])
    total -= ammonia * share
    slope += LN10 * ammonia * share * (1 - share)
    hydroxide = k[4] / h
    total += water * (hydroxide - h)
    slope += LN10 * water * (hydroxide + h)
    return total, slope


@inlined()
def solve_ph(
    guess, lactic, acetic, butyric, ammonia, k, strong, buffer, buffer_rest, water, rise=0.0,
    rise_from=0.0,
):  # fmt: skip
    """pH at which charges balance, by Newton steps from a guess; the residual rises with pH.

    Amounts in mol; ``k`` the conditional constants of lactic, acetic, butyric acid, ammonium
    and water (mol/kg); ``strong`` mol of strong cation not in the buffer; ``buffer`` mol/pH;
    ``buffer_rest`` its charge at its starting pH, mol (buffer x pH where nothing rises);
    ``water`` kg; ``rise`` per pH, the gain of buffering below the pH ``rise_from``.
    """
    ph = guess
    for _ in range(_TRIES):
        total, slope = _residual(
            exp(-LN10 * ph), ph, lactic, acetic, butyric, ammonia, k, strong, buffer, buffer_rest,
            water, rise, rise_from,
        )  # fmt: skip
        step = min(max(total / slope, -_LEAP), _LEAP)
        ph -= step
        if abs(step) < _CLOSE:
            break
    return ph
