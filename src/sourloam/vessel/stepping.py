"""Carrying one layer through time: a two-stage exponential step with its own step length.

Sugar, the pools that decay and the populations are advanced by the exact solution of their
linear (or logistic) equation with rates taken at mid-step, so that long steps stay positive;
every substance moves by whole reactions, so that mass, carbon and nitrogen close to rounding
at any step length. What a growing group takes up goes by its mean over the step. The pH change of
the first stage against that of the whole step sets the next step's length; a layer whose pH hardly
moves takes one plain step.
"""

from __future__ import annotations

from math import exp, sqrt

from sourloam.numerics.compiling import compiled, inlined
from sourloam.vessel.layout import (
    L_FRESH,
    L_YEAST,
    OUT_SOLUTES,
    R_BESIDE_EARLY,
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
    P,
)  # fmt: skip
from sourloam.vessel.rates import coefficients, layer_ph

_HETERO, _ACETATE = P["ferment.hetero_share"], P["ferment.acetate_share"]
_PENTOSE, _NO_LACTIC = P["ferment.pentose_share"], P["flora.entero.acetic_share"]
_AMMONIA, _SOLUBLE_N = P["ferment.clostridia_ammonia"], P["liquid.soluble.n"]
_WATER, _HEXOSE = P["derived.water_kg"], P["derived.hexose_g"]
_N_L, _N_E = P["flora.lactic.most"], P["flora.entero.most"]
_SHORTEST = 0.05  # method: h
_LONGEST = 96.0  # method: h
_QUIET = 2.5  # method: a step so many times longer than is asked for marks a quiet layer
_STILL = 0.2  # method: of the tolerance; most that its pH may move in one plain step
_GROW, _SHRINK, _SAFE = 3.0, 0.3, 0.9  # method: bounds and safety of the step control
_SMALL = 1e-12  # method: below this a product is nought
_GROWTH_STEP = 0.8  # method: most growth of lactic bacteria (natural log) in a step
_DYING = 0.5  # method: so many times as long may a step be for the early group's death
_DEATH_STEP = 1.0 / 12.0  # method: most of that death in one of the populations' own steps
_FEW = 0.01  # method: below this share the early group's death needs no short steps


@inlined()
def _logistic(n, most, beside, growth, death, hours):
    """Population after some hours of growth and death, where there is room for ``most`` and
    others take up ``beside`` of it: the exact solution of dn/dt = n (net - growth n/most)."""
    if growth == 0.0 and death == 0.0:
        return n
    net = growth * max(0.0, 1.0 - beside / most) - death
    factor = exp(net * hours)
    mean = (factor - 1.0) / net if abs(net * hours) > _SMALL else hours
    return n * factor / (1.0 + growth * n / most * mean)


@inlined()
def _share(rate, hours):
    """Share of a pool that a first-order rate takes in some hours."""
    return 1.0 - exp(-rate * hours)


@compiled()
def advance(y, held, rate, layer, par, hours, out):
    """State ``out`` after ``hours`` from ``y`` with the rates as they are in the state ``held``:
    the start itself, or the middle of the step.

    ``rate`` is changed: what a growing group takes up goes by its mean over the step.
    """
    for i in range(y.size):
        out[i] = y[i]
    _crowd_in(y, rate, layer, par, hours, out)
    lactic = _mean_share(y[S_LAB], held[S_LAB], out[S_LAB])
    rate[R_LACTIC] *= lactic
    rate[R_TO_ACETIC] *= lactic
    rate[R_EARLY] *= _mean_share(y[S_EARLY], held[S_EARLY], out[S_EARLY])
    rate[R_ENTERO] *= _mean_share(y[S_ENT], held[S_ENT], out[S_ENT])
    _ferment_sugar(y, rate, layer, par, hours, out)
    _use_lactic(y, rate, par, hours, out)
    _use_protein(y, rate, hours, out)
    _drain(rate, par, hours, out)


@inlined()
def _mean_share(first, held, last):
    """Mean of a population over a step (Simpson's rule), over what it is where rates are held."""
    if held <= 0.0:
        return 1.0
    middle = held if held != first else sqrt(first * last)
    return (first + 4.0 * middle + last) / (6.0 * held)


@inlined()
def _crowd_in(y, rate, layer, par, hours, out):
    """Every population after ``hours``. The early group's death makes room that others fill as it
    comes, so that these two go by steps of their own."""
    most = 1000.0 * par[_N_L] * layer[L_FRESH]
    lab, early, beside_early = y[S_LAB], y[S_EARLY], rate[R_BESIDE_EARLY]
    parts = 1
    if early > _FEW * lab:
        parts += int(rate[R_DIE_EARLY] * hours / _DEATH_STEP)
    short = hours / parts
    for _ in range(parts):
        left = _logistic(early, most, beside_early, rate[R_GROW_EARLY], rate[R_DIE_EARLY], short)
        # What the early group leaves free is filled at once where growth is fast: then its end
        # counts, otherwise its mean.
        fill = rate[R_GROW_LAB] * lab / most * short
        beside = left + 0.5 * (early - left) / (1.0 + fill)
        lab = _logistic(lab, most, beside, rate[R_GROW_LAB], rate[R_DIE_LAB], short)
        early = left
        if parts > 1:
            beside_early = lab
    out[S_LAB], out[S_EARLY] = lab, early
    most = 1000.0 * par[_N_E] * layer[L_FRESH]
    out[S_ENT] = _logistic(y[S_ENT], most, 0.0, rate[R_GROW_ENT], rate[R_DIE_ENT], hours)
    out[S_CLO] = _logistic(y[S_CLO], 1.0, 0.0, rate[R_GROW_CLO], 0.0, hours)


@inlined()
def _ferment_sugar(y, rate, layer, par, hours, out):
    """Hydrolysis and release feed free sugar; bacteria, yeasts and oxygen take it."""
    hydrolysed = y[S_STARCH] * _share(rate[R_STARCH], hours)
    released = y[S_LOCKED] * _share(rate[R_RELEASE], hours)
    out[S_STARCH] -= hydrolysed
    out[S_WATER] -= hydrolysed * par[_WATER]
    out[S_LOCKED] -= released
    gained = hydrolysed + released
    lactic = rate[R_LACTIC] + rate[R_EARLY]
    uptake = lactic + rate[R_ENTERO] + rate[R_OXYGEN]
    kept = exp(-uptake * hours)
    filled = gained if uptake * hours < _SMALL else gained * (1.0 - kept) / (uptake * hours)
    out[S_SUGAR] = y[S_SUGAR] * kept + filled
    used = y[S_SUGAR] + gained - out[S_SUGAR]
    if uptake <= 0.0 or used <= 0.0:
        out[S_SUGAR] = y[S_SUGAR] + gained
        return
    if lactic > 0.0:
        _split_lactic(used * lactic / uptake, rate[R_EARLY] / lactic, layer, par, out)
    _split_entero(used * rate[R_ENTERO] / uptake, par, out)
    burnt = used * rate[R_OXYGEN] / uptake
    out[S_O2] += 6.0 * burnt
    out[S_CO2] += 6.0 * burnt
    out[S_WATER] += 6.0 * burnt * par[_WATER]


@inlined()
def _split_lactic(sugar, early, layer, par, out):
    """Products of sugar taken by lactic bacteria, a share ``early`` of it by those that come
    first and know the heterolactic route only, and by the yeasts among them."""
    yeast = sugar * layer[L_YEAST]
    pentose = (sugar - yeast) * par[_PENTOSE]
    hetero = (sugar - yeast - pentose) * (early + (1.0 - early) * par[_HETERO])
    to_acetate = hetero * par[_ACETATE]
    to_ethanol = hetero - to_acetate
    homo = sugar - yeast - pentose - hetero
    out[S_LACTIC] += 2.0 * homo + 6.0 / 5.0 * pentose + to_ethanol + to_acetate / 3.0
    out[S_ACETIC] += 6.0 / 5.0 * pentose + to_acetate / 3.0
    out[S_MANNITOL] += 2.0 * to_acetate / 3.0
    out[S_ETHANOL] += to_ethanol + 2.0 * yeast
    out[S_CO2] += to_ethanol + to_acetate / 3.0 + 2.0 * yeast
    out[S_WATER] -= to_acetate / 3.0 * par[_WATER]


@inlined()
def _split_entero(sugar, par, out):
    """Products of sugar taken by enterobacteria: part by way of lactic acid, part without."""
    mixed = sugar * (1.0 - par[_NO_LACTIC])
    out[S_LACTIC] += mixed
    volatile = 0.5 * mixed + (sugar - mixed)
    out[S_ACETIC] += volatile
    out[S_ETHANOL] += volatile
    out[S_CO2] += 2.0 * volatile
    out[S_H2] += 2.0 * volatile
    out[S_WATER] -= volatile * par[_WATER]


@inlined()
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


@inlined()
def _use_protein(y, rate, hours, out):
    _free_ammonia(min(y[S_ORGANIC_N] * _share(rate[R_PROTEIN], hours), out[S_ORGANIC_N]), out)


@inlined()
def _free_ammonia(mol, out):
    out[S_ORGANIC_N] -= mol
    out[S_AMMONIA] += mol
    out[S_RESIDUE] += mol


@inlined()
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
def _fastest(y, rate, layer, par):
    """Fastest change of a population that steps must follow, 1/h: growth where there is room, or
    the early group's death while there are many of it."""
    room = max(0.0, 1.0 - (y[S_LAB] + y[S_EARLY]) / (1000.0 * par[_N_L] * layer[L_FRESH]))
    fastest = room * max(rate[R_GROW_LAB], rate[R_GROW_EARLY])
    if y[S_EARLY] > _FEW * y[S_LAB]:
        fastest = max(fastest, _DYING * rate[R_DIE_EARLY])
    return fastest


@compiled()
def _in_two_stages(y, layer, par, warm, oxygen, dt, ph, work):
    """Step with the rates of its middle: pH at the middle and the end; ``work`` keeps the end."""
    middle, end, rate = work
    advance(y, y, rate, layer, par, 0.5 * dt, middle)
    ph_middle = layer_ph(middle, layer, par, ph)
    coefficients(middle, layer, par, warm, oxygen, ph_middle, rate)
    advance(y, middle, rate, layer, par, dt, end)
    return ph_middle, layer_ph(end, layer, par, 2.0 * ph_middle - ph)


@compiled()
def carry(y, layer, par, warm, oxygen, hours, tolerance, step, ph, work):
    """Carry ``y`` (changed in place) over ``hours`` of constant warmth and oxygen.

    Returns the pH at the end and the step length to begin with next time; ``tolerance`` is the
    pH error allowed in a step; ``work`` is scratch of shape (2, len(STATE)) and rates.
    """
    end, rate = work[1], work[2]
    left = hours
    while left > _SMALL:
        coefficients(y, layer, par, warm, oxygen, ph, rate)
        dt = min(step, left)
        fastest = _fastest(y, rate, layer, par)
        if fastest * dt > _GROWTH_STEP:
            dt = max(_GROWTH_STEP / fastest, _SHORTEST)
        elif step >= _QUIET * dt:
            advance(y, y, rate, layer, par, dt, end)
            ph_end = layer_ph(end, layer, par, ph)
            if abs(ph_end - ph) < _STILL * tolerance:
                y[:] = end
                left -= dt
                ph = ph_end
                continue
            coefficients(y, layer, par, warm, oxygen, ph, rate)
        ph_middle, ph_end = _in_two_stages(y, layer, par, warm, oxygen, dt, ph, work)
        error = abs(ph_end - 2.0 * ph_middle + ph) / tolerance
        if error > 1.0 and dt > _SHORTEST:
            step = max(dt * max(_SHRINK, _SAFE / error**0.5), _SHORTEST)
            continue
        y[:] = end
        left -= dt
        ph = ph_end
        following = dt * min(_GROW, _SAFE / max(error, _SMALL) ** 0.5)
        step = following if dt >= step or error > _SAFE else max(step, following)
    return ph, min(max(step, _SHORTEST), _LONGEST)
