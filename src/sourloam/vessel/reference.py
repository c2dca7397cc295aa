"""The plain reference path: the same coefficients carried by SciPy's LSODA, one layer at a time.

Slow and trusted; the fast path is held against it by a property test and by the benchmark.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import odeint

from sourloam.numerics.compiling import compiled
from sourloam.vessel.layout import (
    L_FRESH,
    L_YEAST,
    OUT_SOLUTES,
    R_BURNT,
    R_BUTYRIC,
    R_DIE_EARLY,
    R_DIE_ENT,
    R_DIE_LAB,
    R_DRAIN,
    R_EARLY,
    R_ENTERO,
    R_GROW_CLO,
    R_GROW_EARLY,
    R_GROW_ENT,
    R_GROW_LAB,
    R_LACTIC,
    R_OXYGEN,
    R_PROTEIN,
    R_RELEASE,
    R_STARCH,
    R_TO_ACETIC,
    RATES,
    S_ACETIC,
    S_AMMONIA,
    S_BUTYRIC,
    S_CLO,
    S_CO2,
    S_EARLY,
    S_ENT,
    S_ETHANOL,
    S_H2,
    S_LAB,
    S_LACTIC,
    S_LEACHED,
    S_LOCKED,
    S_MANNITOL,
    S_O2,
    S_ORGANIC_N,
    S_OUT_ORGANIC_N,
    S_OUT_WATER,
    S_PROPANEDIOL,
    S_RESIDUE,
    S_SEEPAGE,
    S_STARCH,
    S_SUGAR,
    S_WATER,
    SOLUTES,
    STATE,
    WARMTH,
    P,
)
from sourloam.vessel.rates import coefficients, layer_ph, warmth

Array = NDArray[np.float64]
_HETERO, _ACETATE = P["ferment.hetero_share"], P["ferment.acetate_share"]
_PENTOSE, _NO_LACTIC = P["ferment.pentose_share"], P["flora.entero.acetic_share"]
_AMMONIA, _SOLUBLE_N = P["ferment.clostridia_ammonia"], P["liquid.soluble.n"]
_N_L, _N_E = P["flora.lactic.most"], P["flora.entero.most"]
_WATER = P["derived.water_kg"]
_GUESS = 6.0  # method: first guess of pH


@compiled()
def _slopes(y, rate, layer, par, out):  # type: ignore[no-untyped-def]
    """Time derivative of the state, 1/h, from the coefficients of the rates."""
    out[:] = 0.0
    water = par[_WATER]
    hydrolysis, release = rate[R_STARCH] * y[S_STARCH], rate[R_RELEASE] * y[S_LOCKED]
    early_sugar = rate[R_EARLY] * y[S_SUGAR]
    lactic_sugar = rate[R_LACTIC] * y[S_SUGAR] + early_sugar
    entero_sugar = rate[R_ENTERO] * y[S_SUGAR]
    mixed = entero_sugar * (1.0 - par[_NO_LACTIC])
    volatile = entero_sugar - 0.5 * mixed
    burnt_sugar = rate[R_OXYGEN] * y[S_SUGAR]
    yeast = lactic_sugar * layer[L_YEAST]
    pentose = (lactic_sugar - yeast) * par[_PENTOSE]
    early = early_sugar / lactic_sugar if lactic_sugar > 0.0 else 0.0
    hetero = (lactic_sugar - yeast - pentose) * (early + (1.0 - early) * par[_HETERO])
    acetate = hetero * par[_ACETATE]
    ethanol = hetero - acetate
    butyric = rate[R_BUTYRIC] * y[S_LACTIC]
    burnt = rate[R_BURNT] * y[S_LACTIC]
    to_acetic = rate[R_TO_ACETIC] * y[S_LACTIC]
    freed = rate[R_PROTEIN] * y[S_ORGANIC_N] + min(par[_AMMONIA] * butyric, y[S_ORGANIC_N])
    out[S_STARCH], out[S_LOCKED] = -hydrolysis, -release
    out[S_SUGAR] = hydrolysis + release - lactic_sugar - entero_sugar - burnt_sugar
    out[S_LACTIC] = (
        2.0 * (lactic_sugar - yeast - pentose - hetero)
        + 6.0 / 5.0 * pentose
        + ethanol
        + acetate / 3.0
        + mixed
        - butyric
        - burnt
        - to_acetic
    )
    out[S_ACETIC] = 6.0 / 5.0 * pentose + acetate / 3.0 + volatile + 0.5 * to_acetic
    out[S_PROPANEDIOL] = 0.5 * to_acetic
    out[S_MANNITOL] = 2.0 * acetate / 3.0
    out[S_ETHANOL] = ethanol + 2.0 * yeast + volatile
    out[S_BUTYRIC] = 0.5 * butyric
    out[S_CO2] = (
        ethanol
        + acetate / 3.0
        + 2.0 * yeast
        + 2.0 * volatile
        + butyric
        + 6.0 * burnt_sugar
        + 3.0 * burnt
        + 0.5 * to_acetic
    )
    out[S_H2] = 2.0 * volatile + butyric
    out[S_O2] = 6.0 * burnt_sugar + 3.0 * burnt
    out[S_WATER] = water * (out[S_O2] - hydrolysis - acetate / 3.0 - volatile)
    out[S_ORGANIC_N], out[S_AMMONIA], out[S_RESIDUE] = -freed, freed, freed
    kg = 1000.0 * layer[L_FRESH]
    room = max(0.0, 1.0 - (y[S_LAB] + y[S_EARLY]) / (par[_N_L] * kg))
    out[S_LAB] = (rate[R_GROW_LAB] * room - rate[R_DIE_LAB]) * y[S_LAB]
    out[S_EARLY] = (rate[R_GROW_EARLY] * room - rate[R_DIE_EARLY]) * y[S_EARLY]
    room = max(0.0, 1.0 - y[S_ENT] / (par[_N_E] * kg))
    out[S_ENT] = (rate[R_GROW_ENT] * room - rate[R_DIE_ENT]) * y[S_ENT]
    out[S_CLO] = rate[R_GROW_CLO] * y[S_CLO] * max(0.0, 1.0 - y[S_CLO])
    _seep(y, rate, par, out)


@compiled()
def _seep(y, rate, par, out):  # type: ignore[no-untyped-def]
    seep = rate[R_DRAIN] * y[S_SEEPAGE]
    part = seep / y[S_WATER]
    out[S_SEEPAGE] = -seep
    out[S_WATER] -= seep
    out[S_OUT_WATER], out[S_LEACHED] = seep, part
    for i in range(len(SOLUTES)):
        out[SOLUTES[i]] -= part * y[SOLUTES[i]]
        out[OUT_SOLUTES[i]] = part * y[SOLUTES[i]]
    gone = part * par[_SOLUBLE_N] * y[S_ORGANIC_N]
    out[S_ORGANIC_N] -= gone
    out[S_OUT_ORGANIC_N] = gone


@compiled()
def slopes(y, layer, par, warm, oxygen):  # type: ignore[no-untyped-def]
    """Time derivative of one layer's state, per hour: the right-hand side for any solver."""
    rate, out = np.empty(len(RATES)), np.empty(len(STATE))
    ph = layer_ph(y, layer, par, _GUESS)
    coefficients(y, layer, par, warm, oxygen, ph, rate)
    _slopes(y, rate, layer, par, out)
    return out


def reference_layer(
    start: Array,
    make_up: Array,
    temperature_c: Array,
    oxygen_mol_per_h: Array,
    par: Array,
    relative_tolerance: float,
) -> tuple[Array, Array]:
    """One layer, one member: states (days + 1, STATE) and pH (days + 1) at the ends of days.

    ``start`` (STATE,), ``make_up`` (LAYER,), ``par`` one row of the kernel's parameters;
    temperature and oxygen hold for a day each.
    """
    state = np.empty((temperature_c.size + 1, start.size))
    state[0] = start
    warm = np.empty(len(WARMTH))
    scale = np.maximum(np.abs(start), make_up[L_FRESH])
    for day, (t, oxygen) in enumerate(zip(temperature_c, oxygen_mol_per_h, strict=True)):
        warmth(t, par, warm)
        state[day + 1] = odeint(
            lambda y, _, w=warm, o=oxygen: slopes(y, make_up, par, w, o),
            state[day],
            (0.0, 24.0),
            rtol=relative_tolerance,
            atol=relative_tolerance * scale * 1e-6,
            mxstep=100_000,  # method: steps a day before giving up
        )[-1]
    return state, np.array([layer_ph(y, make_up, par, _GUESS) for y in state])
