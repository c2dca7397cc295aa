"""The equations of one layer: what its state, its make-up and its warmth make of each rate.

Written once. The fast path (``stepping``) and the plain reference path (``reference``) both
call ``coefficients``; they differ only in how they carry the state through time.
"""

from __future__ import annotations

from math import exp

from sourloam.numerics.compiling import compiled, inlined
from sourloam.vessel.acidity import LN10, solve_ph
from sourloam.vessel.cardinal import ph_factor, temperature_factor
from sourloam.vessel.layout import (
    L_BUFFER,
    L_BUFFER_REST,
    L_CRITICAL,
    L_FRESH,
    L_K,
    L_K_END,
    L_RELEASE,
    L_WATER_FACTOR,
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
    S_EARLY,
    S_ENT,
    S_LAB,
    S_LACTIC,
    S_RESIDUE,
    S_SUGAR,
    S_WATER,
    W_CLOSTRIDIA,
    W_DEATH,
    W_EARLY,
    W_ENTERO,
    W_GENERAL,
    W_LACTIC,
    P,
)  # fmt: skip

HOURS = 24.0
_HEXOSES = 2.0 * 1000.0  # mmol of acid from a mol of hexose
_MU, _ALPHA, _BETA = (
    P["flora.lactic.growth"],
    P["flora.lactic.acid_per_growth"],
    P["flora.lactic.acid_maintenance"],
)
_T_L, _PH_L = P["flora.lactic.t_min"], P["flora.lactic.ph_min"]
_HL_GROW, _HA_GROW = P["flora.lactic.lactic_limit_growth"], P["flora.lactic.acetic_limit_growth"]
_HL_ACID, _HA_ACID = P["flora.lactic.lactic_limit_acid"], P["flora.lactic.acetic_limit_acid"]
_STOP, _SPAN = P["flora.lactic.ph_stop_acid"], P["flora.lactic.ph_span_acid"]
_N_L, _D_L = P["flora.lactic.most"], P["flora.lactic.death"]
_MU_F, _T_F, _PH_F = P["flora.early.growth"], P["flora.early.t_min"], P["flora.early.ph_min"]
_D_F = P["flora.early.death"]
_RISE, _RISE_FROM = P["ferment.buffer_rise"], P["ferment.buffer_rise_from"]
_CELL, _HALF = P["flora.cell_mass"], P["flora.sugar_half"]
_MU_E, _T_E, _PH_E = P["flora.entero.growth"], P["flora.entero.t_min"], P["flora.entero.ph_min"]
_HL_E, _HA_E = P["flora.entero.lactic_limit"], P["flora.entero.acetic_limit"]
_ALPHA_E, _BETA_E = P["flora.entero.acid_per_growth"], P["flora.entero.acid_maintenance"]
_N_E, _D_E, _D_PH = (
    P["flora.entero.most"],
    P["flora.entero.death"],
    P["flora.entero.death_ph_slope"],
)
_MU_C, _T_C, _HL_C = (
    P["flora.clostridia.growth"],
    P["flora.clostridia.t_min"],
    P["flora.clostridia.lactic_limit"],
)
_HL_C_SLOPE = P["flora.clostridia.lactic_limit_slope"]
_LIMIT_PH = P["flora.clostridia.lactic_limit_ph"]
_DEATH_Q10 = P["flora.death.q10"]
_EXTINCT = 1e-3  # method: cfu in a layer around which a group fades out for good
_LIMIT_LEAST = 1e-3  # method: mmol/L, keeps the limit above nought
_TURN, _SPAN_C = P["flora.clostridia.turnover"], P["flora.clostridia.ph_span"]
_K_R, _R_STOP, _R_SPAN = (
    P["ferment.starch_rate"],
    P["ferment.starch_ph_stop"],
    P["ferment.starch_ph_span"],
)
_K_P, _P_STOP, _P_SPAN = (
    P["ferment.protein_rate"],
    P["ferment.protein_ph_stop"],
    P["ferment.protein_ph_span"],
)
_Q10, _BASE, _FROZEN = P["ferment.q10"], P["ferment.q10_base"], P["ferment.frozen_below"]
_RESIDUE_ACID = P["ferment.residue_acid"]
_TO_ACETIC, _ACETIC_PH = P["ferment.lactic_to_acetic"], P["ferment.lactic_to_acetic_ph"]
_DEATH_PH = P["flora.entero.death_ph"]
_HEXOSE, _SEEP = P["derived.hexose_g"], P["liquid.seepage"]


@inlined()
def _ramp(x):
    return min(max(x, 0.0), 1.0)


@inlined()
def _alive(count):
    """Share of a group that still lives and dies as one: 1, fading smoothly to 0 where less than
    a cell is left, so that what is gone stays gone and no rate jumps."""
    return count / (count + _EXTINCT)


@compiled()
def warmth(t, par, out):
    """Fill ``out`` (len WARMTH) with what temperature ``t`` (degC) makes of the rates.

    Growth follows the cardinal model, death and the rest a Q10 each; all of it stops in frost.
    """
    thaw = _ramp(t - par[_FROZEN])
    general = par[_Q10] ** ((t - par[_BASE]) / 10.0)
    out[W_LACTIC] = thaw * temperature_factor(t, par[_T_L], par[_T_L + 1], par[_T_L + 2])
    out[W_EARLY] = thaw * temperature_factor(t, par[_T_F], par[_T_F + 1], par[_T_F + 2])
    out[W_ENTERO] = thaw * temperature_factor(t, par[_T_E], par[_T_E + 1], par[_T_E + 2])
    out[W_CLOSTRIDIA] = thaw * temperature_factor(t, par[_T_C], par[_T_C + 1], par[_T_C + 2])
    out[W_GENERAL] = thaw * general
    out[W_DEATH] = thaw * par[_DEATH_Q10] ** ((t - par[_BASE]) / 10.0)


@inlined()
def layer_ph(y, layer, par, guess):
    """pH of a layer from its state.

    What an amino acid leaves when it loses its nitrogen is for the most part a fatty acid about
    as strong as acetic acid, and is counted with it.
    """
    acetic = y[S_ACETIC] + par[_RESIDUE_ACID] * y[S_RESIDUE]
    return solve_ph(
        guess, y[S_LACTIC], acetic, y[S_BUTYRIC], y[S_AMMONIA], layer[L_K:L_K_END], 0.0,
        layer[L_BUFFER], layer[L_BUFFER_REST], y[S_WATER], par[_RISE], par[_RISE_FROM],
    )  # fmt: skip


@compiled()
def coefficients(y, layer, par, warm, oxygen, ph, out):
    """Fill ``out`` (len RATES) from state, layer, parameters, warmth and pH.

    ``oxygen`` mol/h let in.
    """
    kg, water = layer[L_FRESH], y[S_WATER]
    h = exp(-LN10 * ph)
    lactic_mm = 1000.0 * y[S_LACTIC] / water * h / (h + layer[L_K])
    acetic_mm = 1000.0 * y[S_ACETIC] / water * h / (h + layer[L_K + 1])
    # Sugar uptake is S x rate: the Monod term S/(half + S) is kept as 1/(half + S).
    monod = 1.0 / (par[_HALF] * kg / par[_HEXOSE] + y[S_SUGAR])
    fed = y[S_SUGAR] * monod
    _lactic_bacteria(y, layer, par, warm, ph, lactic_mm, acetic_mm, monod, fed, kg, out)
    _enterobacteria(y, par, warm, ph, lactic_mm, acetic_mm, monod, fed, kg, out)
    _clostridia(layer, par, warm, ph, lactic_mm, y[S_CLO], out)
    out[R_OXYGEN] = oxygen / 6.0 * monod
    # Oxygen that sugar leaves over burns lactic acid, and lingers where that is scarce too.
    scarce = par[_HALF] * kg / par[_HEXOSE]
    out[R_BURNT] = oxygen / 3.0 * (1.0 - fed) / (scarce + y[S_LACTIC])
    general = warm[W_GENERAL] / HOURS
    out[R_STARCH] = general * par[_K_R] * _ramp((ph - par[_R_STOP]) / par[_R_SPAN])
    full = _ramp(y[S_LAB] / (1000.0 * par[_N_L] * kg))
    out[R_TO_ACETIC] = general * par[_TO_ACETIC] * full * _ramp(par[_ACETIC_PH] - ph)
    out[R_RELEASE] = layer[L_RELEASE] * warm[W_GENERAL]
    out[R_PROTEIN] = general * par[_K_P] * _ramp((ph - par[_P_STOP]) / par[_P_SPAN])
    out[R_DRAIN] = general * par[_SEEP]


@inlined()
def _lactic_bacteria(y, layer, par, warm, ph, lactic_mm, acetic_mm, monod, fed, kg, out):
    """Both groups of lactic bacteria: they share room, acid per cell and limits by acid."""
    free = max(0.0, 1.0 - lactic_mm / par[_HL_GROW]) * max(0.0, 1.0 - acetic_mm / par[_HA_GROW])
    free *= layer[L_WATER_FACTOR]
    idle = max(0.0, 1.0 - lactic_mm / par[_HL_ACID]) * max(0.0, 1.0 - acetic_mm / par[_HA_ACID])
    idle *= par[_BETA]
    crowding = max(0.0, 1.0 - (y[S_LAB] + y[S_EARLY]) / (1000.0 * par[_N_L] * kg))
    out[R_BESIDE_EARLY] = y[S_LAB]
    made = par[_CELL] / _HEXOSES * monod
    sour = ph_factor(ph, par[_PH_L], par[_PH_L + 1], par[_PH_L + 2])
    growth = par[_MU] * warm[W_LACTIC] * sour * free
    rest = idle * warm[W_LACTIC] * _ramp((ph - par[_STOP]) / par[_SPAN])
    out[R_LACTIC] = (par[_ALPHA] * growth * crowding + rest) * y[S_LAB] * made
    out[R_GROW_LAB] = growth * fed
    stopped = _ramp(lactic_mm / par[_HL_GROW] + acetic_mm / par[_HA_GROW] - 1.0)
    out[R_DIE_LAB] = par[_D_L] * stopped * warm[W_DEATH]
    alive = _alive(y[S_EARLY])
    sour = ph_factor(ph, par[_PH_F], par[_PH_F + 1], par[_PH_F + 2])
    growth = alive * par[_MU_F] * warm[W_EARLY] * sour * free
    rest = alive * idle * warm[W_EARLY] * _ramp((ph - par[_PH_F]) / par[_SPAN])
    out[R_EARLY] = (par[_ALPHA] * growth * crowding + rest) * y[S_EARLY] * made
    out[R_GROW_EARLY] = growth * fed
    dying = _ramp(1.0 - (ph - par[_PH_F]) / par[_SPAN])
    out[R_DIE_EARLY] = alive * par[_D_F] * dying * warm[W_DEATH]


@inlined()
def _enterobacteria(y, par, warm, ph, lactic_mm, acetic_mm, monod, fed, kg, out):
    alive = _alive(y[S_ENT])
    free = alive * max(0.0, 1.0 - lactic_mm / par[_HL_E]) * max(0.0, 1.0 - acetic_mm / par[_HA_E])
    ease = warm[W_ENTERO] * ph_factor(ph, par[_PH_E], par[_PH_E + 1], par[_PH_E + 2]) * free
    crowding = max(0.0, 1.0 - y[S_ENT] / (1000.0 * par[_N_E] * kg))
    acid = (par[_ALPHA_E] * par[_MU_E] * crowding + par[_BETA_E]) * ease
    out[R_ENTERO] = acid * y[S_ENT] * par[_CELL] / _HEXOSES * monod
    out[R_GROW_ENT] = par[_MU_E] * ease * fed
    poisoned = _ramp(lactic_mm / par[_HL_E] + acetic_mm / par[_HA_E] - 1.0)
    acid = exp(LN10 * par[_D_PH] * (par[_DEATH_PH] - ph)) if poisoned > 0.0 else 0.0
    out[R_DIE_ENT] = alive * par[_D_E] * acid * warm[W_DEATH] * poisoned


@inlined()
def _clostridia(layer, par, warm, ph, lactic_mm, share, out):
    limit = max(par[_HL_C] - par[_HL_C_SLOPE] * max(ph - par[_LIMIT_PH], 0.0), _LIMIT_LEAST)
    ease = (
        _ramp((ph - layer[L_CRITICAL]) / par[_SPAN_C])
        * max(0.0, 1.0 - lactic_mm / limit) * warm[W_CLOSTRIDIA]
    )  # fmt: skip
    out[R_GROW_CLO] = par[_MU_C] * ease
    out[R_BUTYRIC] = par[_TURN] / HOURS * ease * share
