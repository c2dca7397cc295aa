"""Carrying one layer through time: a two-stage exponential step with its own step length.

Sugar, the pools that decay and the populations are advanced by the exact solution of their
linear (or logistic) equation with rates taken at mid-step, so that long steps stay positive;
every substance moves by whole reactions, so that mass, carbon and nitrogen close to rounding
at any step length. The pH change of the first stage against that of the whole step sets the
next step's length.
"""

from __future__ import annotations

from math import exp

from sourloam.numerics.compiling import compiled
from sourloam.vessel.layout import (
    L_FRESH,
    L_YEAST,
    OUT_SOLUTES,
    R_BURNT,
    R_BUTYRIC,
    R_DIE_ENT,
    R_DIE_LAB,
    R_DRAIN,
    R_ENTERO,
    R_GROW_CLO,
    R_GROW_ENT,
    R_GROW_LAB,
    R_LACTIC,
    R_OXYGEN,
    R_PROTEIN,
    R_RELEASE,
    R_STARCH,
    R_TO_ACETIC,
    S_ACETIC,
    S_AMMONIA,
    S_BUTYRIC,
    S_CLO,
    S_CO2,
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
    P,
)  # fmt: skip
from sourloam.vessel.rates import coefficients, layer_ph

_HETERO, _ACETATE = P["ferment.hetero_share"], P["ferment.acetate_share"]
_PENTOSE = P["ferment.pentose_share"]
_AMMONIA, _SOLUBLE_N = P["ferment.clostridia_ammonia"], P["liquid.soluble.n"]
_WATER, _HEXOSE = P["derived.water_kg"], P["derived.hexose_g"]
_N_L, _N_E = P["flora.lactic.most"], P["flora.entero.most"]
_SHORTEST = 0.05  # method: h
_LONGEST = 24.0  # method: h
_GROW, _SHRINK, _SAFE = 3.0, 0.3, 0.9  # method: bounds and safety of the step control
_SMALL = 1e-12  # method: below this a product is nought
_GROWTH_STEP = 0.5  # method: most growth of lactic bacteria (natural log) in a step


@compiled()
def _logistic(n, most, rate, hours):
    """Population after some hours of growth towards ``most``."""
    if rate <= 0.0 or n <= 0.0:
        return n
    return most / (1.0 + (most / n - 1.0) * exp(-rate * hours)) if n < most else n


@compiled()
def _share(rate, hours):
    """Share of a pool that a first-order rate takes in some hours."""
    return 1.0 - exp(-rate * hours)


@compiled()
def advance(y, rate, layer, par, hours, out):
    """State ``out`` after ``hours`` from ``y`` with the rates held at ``rate``."""
    for i in range(y.size):
        out[i] = y[i]
    _ferment_sugar(y, rate, layer, par, hours, out)
    _use_lactic(y, rate, par, hours, out)
    _use_protein(y, rate, hours, out)
    kg = layer[L_FRESH]
    out[S_LAB] = _logistic(y[S_LAB], 1000.0 * par[_N_L] * kg, rate[R_GROW_LAB], hours) * exp(
        -rate[R_DIE_LAB] * hours
    )
    out[S_ENT] = _logistic(y[S_ENT], 1000.0 * par[_N_E] * kg, rate[R_GROW_ENT], hours) * exp(
        -rate[R_DIE_ENT] * hours
    )
    out[S_CLO] = _logistic(y[S_CLO], 1.0, rate[R_GROW_CLO], hours)
    _drain(rate, par, hours, out)


@compiled()
def _ferment_sugar(y, rate, layer, par, hours, out):
    """Hydrolysis and release feed free sugar; bacteria, yeasts and oxygen take it."""
    hydrolysed = y[S_STARCH] * _share(rate[R_STARCH], hours)
    released = y[S_LOCKED] * _share(rate[R_RELEASE], hours)
    out[S_STARCH] -= hydrolysed
    out[S_WATER] -= hydrolysed * par[_WATER]
    out[S_LOCKED] -= released
    gained = hydrolysed + released
    uptake = rate[R_LACTIC] + rate[R_ENTERO] + rate[R_OXYGEN]
    kept = exp(-uptake * hours)
    filled = gained if uptake * hours < _SMALL else gained * (1.0 - kept) / (uptake * hours)
    out[S_SUGAR] = y[S_SUGAR] * kept + filled
    used = y[S_SUGAR] + gained - out[S_SUGAR]
    if uptake <= 0.0 or used <= 0.0:
        out[S_SUGAR] = y[S_SUGAR] + gained
        return
    _split_lactic(used * rate[R_LACTIC] / uptake, layer, par, out)
    _split_entero(used * rate[R_ENTERO] / uptake, par, out)
    burnt = used * rate[R_OXYGEN] / uptake
    out[S_O2] += 6.0 * burnt
    out[S_CO2] += 6.0 * burnt
    out[S_WATER] += 6.0 * burnt * par[_WATER]


@compiled()
def _split_lactic(sugar, layer, par, out):
    """Products of sugar taken by lactic bacteria and the yeasts among them."""
    yeast = sugar * layer[L_YEAST]
    pentose = (sugar - yeast) * par[_PENTOSE]
    hetero = (sugar - yeast - pentose) * par[_HETERO]
    to_acetate = hetero * par[_ACETATE]
    to_ethanol = hetero - to_acetate
    homo = sugar - yeast - pentose - hetero
    out[S_LACTIC] += 2.0 * homo + 6.0 / 5.0 * pentose + to_ethanol + to_acetate / 3.0
    out[S_ACETIC] += 6.0 / 5.0 * pentose + to_acetate / 3.0
    out[S_MANNITOL] += 2.0 * to_acetate / 3.0
    out[S_ETHANOL] += to_ethanol + 2.0 * yeast
    out[S_CO2] += to_ethanol + to_acetate / 3.0 + 2.0 * yeast
    out[S_WATER] -= to_acetate / 3.0 * par[_WATER]


@compiled()
def _split_entero(sugar, par, out):
    """Mixed-acid products of sugar taken by enterobacteria."""
    out[S_LACTIC] += sugar
    out[S_ACETIC] += 0.5 * sugar
    out[S_ETHANOL] += 0.5 * sugar
    out[S_CO2] += sugar
    out[S_H2] += sugar
    out[S_WATER] -= 0.5 * sugar * par[_WATER]


@compiled()
def _use_lactic(y, rate, par, hours, out):
    """Clostridia, oxygen and hungry lactic bacteria take lactic acid."""
    all_three = rate[R_BUTYRIC] + rate[R_BURNT] + rate[R_TO_ACETIC]
    if all_three <= 0.0:
        return
    gone = min(0.5 * (y[S_LACTIC] + out[S_LACTIC]) * _share(all_three, hours), out[S_LACTIC])
    out[S_LACTIC] -= gone
    butyric = gone * rate[R_BUTYRIC] / all_three
    burnt = gone * rate[R_BURNT] / all_three
    acetic = gone - butyric - burnt
    out[S_BUTYRIC] += 0.5 * butyric
    out[S_H2] += butyric
    _free_ammonia(min(par[_AMMONIA] * butyric, out[S_ORGANIC_N]), out)
    out[S_O2] += 3.0 * burnt
    out[S_WATER] += 3.0 * burnt * par[_WATER]
    out[S_ACETIC] += 0.5 * acetic
    out[S_PROPANEDIOL] += 0.5 * acetic
    out[S_CO2] += butyric + 3.0 * burnt + 0.5 * acetic


@compiled()
def _use_protein(y, rate, hours, out):
    _free_ammonia(min(y[S_ORGANIC_N] * _share(rate[R_PROTEIN], hours), out[S_ORGANIC_N]), out)


@compiled()
def _free_ammonia(mol, out):
    out[S_ORGANIC_N] -= mol
    out[S_AMMONIA] += mol
    out[S_RESIDUE] += mol


@compiled()
def _drain(rate, par, hours, out):
    """Water seeps out and takes its share of every solute with it."""
    seeped = out[S_SEEPAGE] * _share(rate[R_DRAIN], hours)
    if seeped <= 0.0:
        return
    part = seeped / out[S_WATER]
    out[S_SEEPAGE] -= seeped
    out[S_WATER] -= seeped
    out[S_OUT_WATER] += seeped
    out[S_LEACHED] += part
    for i in range(len(SOLUTES)):
        gone = part * out[SOLUTES[i]]
        out[SOLUTES[i]] -= gone
        out[OUT_SOLUTES[i]] += gone
    gone = part * par[_SOLUBLE_N] * out[S_ORGANIC_N]
    out[S_ORGANIC_N] -= gone
    out[S_OUT_ORGANIC_N] += gone


@compiled()
def carry(y, layer, par, warm, oxygen, hours, tolerance, step, ph, work):
    """Carry ``y`` (changed in place) over ``hours`` of constant warmth and oxygen.

    Returns the pH at the end and the step length to begin with next time; ``tolerance`` is the
    pH error allowed in a step; ``work`` is scratch of shape (2, len(STATE)) and rates.
    """
    middle, end, rate = work
    left = hours
    coefficients(y, layer, par, warm, oxygen, ph, rate)
    while left > _SMALL:
        dt = min(step, left)
        if rate[R_GROW_LAB] * dt > _GROWTH_STEP:
            dt = max(_GROWTH_STEP / rate[R_GROW_LAB], _SHORTEST)
        advance(y, rate, layer, par, 0.5 * dt, middle)
        ph_middle = layer_ph(middle, layer, par, ph)
        coefficients(middle, layer, par, warm, oxygen, ph_middle, rate)
        advance(y, rate, layer, par, dt, end)
        ph_end = layer_ph(end, layer, par, 2.0 * ph_middle - ph)
        error = abs(ph_end - 2.0 * ph_middle + ph) / tolerance
        if error > 1.0 and dt > _SHORTEST:
            step = max(dt * max(_SHRINK, _SAFE / error**0.5), _SHORTEST)
            coefficients(y, layer, par, warm, oxygen, ph, rate)
            continue
        for i in range(y.size):
            y[i] = end[i]
        left -= dt
        ph = ph_end
        if dt >= step or error > _SAFE:
            step = dt * min(_GROW, _SAFE / max(error, _SMALL) ** 0.5)
        coefficients(y, layer, par, warm, oxygen, ph, rate)
    return ph, min(max(step, _SHORTEST), _LONGEST)
