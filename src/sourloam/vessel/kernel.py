"""Whole vessels through time, compiled: members in parallel, each layer by layer, day by day."""

from __future__ import annotations

import numpy as np
from numba import prange

from sourloam.numerics.compiling import compiled, over_cores
from sourloam.vessel.layout import (
    L_FRESH,
    LAYER,
    OUT_SOLUTES,
    RATES,
    S_O2,
    S_OUT_ORGANIC_N,
    S_OUT_WATER,
    STATE,
    WARMTH,
    P,
)  # fmt: skip
from sourloam.vessel.packing import (
    layer_kg,
    level_at,
    plate_pressure,
    poor_marks,
    share_air,
    stack,
)
from sourloam.vessel.rates import HOURS, layer_ph, warmth
from sourloam.vessel.stepping import carry

_EXCHANGE, _LEAK = P["vessel.air_exchange"], P["vessel.lid_leak"]
_OXYGEN, _MOLAR = P["vessel.oxygen_share"], P["vessel.molar_volume"]
_MIN_REST, _CHANGE = P["ferment.minimum_rest"], P["ferment.steady_change"]
_SPAN = P["ferment.steady_days"]
#: What is kept of each layer at the end of each day, in this order.
KEPT = ("ph", "butyric_share", "ammonium_share", "oxygen_mmol_per_kg")
_FIRST_STEP = 0.5  # method: h
_NEUTRAL = 6.0  # method: first guess of pH
_CRITICAL = LAYER.index("critical_ph")
NSTATE, NLAYER, NRATES, NWARM = len(STATE), len(LAYER), len(RATES), len(WARMTH)

_DRAINS = 4  # row of a day's liquid

#: Measures of a vessel handed to the kernel, in this order.
BODY = (
    "usable_m3", "gas_m3", "section_m2", "plate_kg", "base_m", "top_m", "height_m", "sump_m",
    "leak_m3_per_day", "openings_per_layer", "openings_per_rest_day", "rest_days",
)  # fmt: skip
(
    _USABLE, _GAS, _SECTION, _PLATE, _BASE, _TOP, _HEIGHT, _SUMP, _OWN_LEAK, _OPEN, _OPEN_REST,
    _REST,
) = range(len(BODY))  # fmt: skip


@compiled()
def _liquid_kg(y, solute_kg, protein_kg):
    """Liquid that a layer has let out so far, kg."""
    total = y[S_OUT_WATER] + y[S_OUT_ORGANIC_N] * protein_kg
    for i in range(len(OUT_SOLUTES)):
        total += y[OUT_SOLUTES[i]] * solute_kg[i]
    return total


@compiled()
def _air_mol(volume, openings, body, par):
    """Oxygen let in during one day, mol."""
    head = max(body[_USABLE] - volume, 0.0) + body[_GAS]
    leak = body[_OWN_LEAK] if body[_OWN_LEAK] >= 0.0 else par[_LEAK]
    fresh = openings * par[_EXCHANGE] * head + leak
    return fresh * par[_OXYGEN] / par[_MOLAR]


@compiled()
def _rest_end(ph_newest, critical, last_fed, par):
    """First day by whose end the newest layer is sour and steady; inf if never."""
    days = ph_newest.size
    span = int(par[_SPAN])
    first = last_fed + int(np.ceil(par[_MIN_REST])) - 1
    for d in range(max(first, last_fed + span), days):
        steady = abs(ph_newest[d] - ph_newest[d - span]) < par[_CHANGE]
        if ph_newest[d] <= critical and steady:
            return d + 1.0
    return np.inf


@compiled()
def _sour_a_day(count, state, taken, par, warm, air, tolerance, trace, work):
    """Carry all layers over a day; ``air`` (layers,) mol of oxygen an hour, ``trace`` (step length
    and pH, layers)."""
    step, now = trace
    for i in range(count):
        now[i], step[i] = carry(
            state[i], taken[i], par, warm, air[i], HOURS, tolerance, step[i], now[i], work
        )


@compiled()
def _weigh(count, state, taken, mass_kg, mass):
    """Fill ``mass`` of each layer; all that is held and all liquid so far, kg."""
    solute_kg, protein_kg, weigh = mass_kg
    total, liquid = 0.0, 0.0
    for i in range(count):
        mass[i] = layer_kg(state[i], taken[i], weigh)
        total += mass[i]
        liquid += _liquid_kg(state[i], solute_kg, protein_kg)
    return total, liquid


@compiled()
def _sum_up(full, last_fed, count, state, taken, laid, ph_newest, par, numbers):
    """Fill ``numbers``: full day, last fed day, fed kg, layers, finish day, oxygen that the newest
    layer took after the day it was laid, mmol/kg."""
    numbers[0], numbers[1], numbers[3] = full, last_fed, count
    if count == 0:
        return
    for i in range(count):
        numbers[2] += taken[i, L_FRESH]
    newest = taken[count - 1]
    numbers[4] = _rest_end(ph_newest, newest[_CRITICAL], last_fed, par)
    numbers[5] = 1000.0 * (state[count - 1, S_O2] - laid) / newest[L_FRESH]


@compiled()
def _keep(count, state, taken, mass, weigh, now, day, kept):
    """Fill the day of ``kept`` (layers, KEPT, days): the marks of each layer by itself."""
    for i in range(count):
        kept[i, 0, day] = now[i]
        marks = poor_marks(state[i : i + 1], 1, mass[i], weigh)
        kept[i, 1, day], kept[i, 2, day] = marks
        kept[i, 3, day] = 1000.0 * state[i, S_O2] / taken[i, L_FRESH]


@compiled()
def _rested(day, full, last_fed, ph_newest, critical, body):
    """Whether a full vessel has rested as long as is asked for, and its newest layer is sour."""
    return full < np.inf and day - last_fed >= body[_REST] and ph_newest <= critical


@compiled()
def _stay(days_out, day):
    """Days after the last that was followed are like it; nothing more drains."""
    for row in range(days_out.shape[0]):
        days_out[row, day + 1 :] = 0.0 if row == _DRAINS else days_out[row, day]


@compiled()
def _one_vessel(
    offer_day, start, make_up, temperature, par, body, mass_kg, tolerance, state, kept, days_out,
    numbers,
):  # fmt: skip
    """One member. ``state`` (layers, NSTATE) and ``kept`` (layers, KEPT, days) are filled;
    ``days_out`` (7, days): newest pH, volume, level, kg, liquid kg, ``poor_marks``; ``numbers`` by
    ``_sum_up``."""
    layers, days = offer_day.size, temperature.size
    work = (np.empty(NSTATE), np.empty(NSTATE), np.empty(NRATES))
    warm = np.empty(NWARM)
    mass, volume, share = np.zeros(layers), np.zeros(layers), np.zeros(layers)
    step, now = np.full(layers, _FIRST_STEP), np.full(layers, _NEUTRAL)
    taken = np.zeros((layers, NLAYER))
    added = np.zeros(layers)
    plate = plate_pressure(body[_PLATE], body[_SECTION], par)
    weigh = mass_kg[2]
    count, offer, full, last_fed = 0, 0, np.inf, -1
    drained, laid = 0.0, 0.0
    for day in range(days):
        openings = 0.0
        while offer < layers and offer_day[offer] <= day:
            if full == np.inf and make_up[offer, L_FRESH] > 0.0:
                state[count] = start[offer]
                taken[count] = make_up[offer]
                added[count] = day
                mass[count] = layer_kg(state[count], taken[count], weigh)
                filled = stack(
                    mass, taken, added, day, count + 1, plate, body[_SECTION], par, volume
                )
                if filled > body[_USABLE]:
                    full = float(day)
                else:
                    now[count] = layer_ph(state[count], taken[count], par, _NEUTRAL)
                    count += 1
                    last_fed = day
                    openings += body[_OPEN]
            offer += 1
        if count == 0:
            continue
        if openings == 0.0:
            openings = body[_OPEN_REST]
        filled = stack(mass, taken, added, day, count, plate, body[_SECTION], par, volume)
        share_air(volume, count, body[_SECTION], par, share)
        oxygen = _air_mol(filled, openings, body, par) / HOURS
        warmth(temperature[day], par, warm)
        _sour_a_day(
            count, state, taken, par, warm, oxygen * share, tolerance, (step, now), work
        )  # fmt: skip
        total_kg, liquid = _weigh(count, state, taken, mass_kg, mass)
        if kept.shape[0] > 0:
            _keep(count, state, taken, mass, weigh, now, day, kept)
        if last_fed == day:
            laid = state[count - 1, S_O2]
        days_out[0, day] = now[count - 1]
        days_out[1, day] = filled
        days_out[2, day] = level_at(filled, body[_BASE], body[_TOP], body[_HEIGHT], body[_SUMP])
        days_out[3, day] = total_kg
        days_out[_DRAINS, day] = liquid - drained
        drained = liquid
        days_out[5, day], days_out[6, day] = poor_marks(state, count, total_kg, weigh)
        if _rested(day, full, last_fed, now[count - 1], taken[count - 1, _CRITICAL], body):
            _stay(days_out, day)
            break
    _sum_up(full, last_fed, count, state, taken, laid, days_out[0], par, numbers)


@over_cores
def run_vessels(
    offer_day, start, make_up, temperature, par, body, solute_kg, protein_kg, weigh, tolerance,
    keep_layers,
):  # fmt: skip
    """All members: returns states (members, layers, NSTATE), what is kept by layer (members,
    layers, KEPT, days; empty unless ``keep_layers``), daily rows (members, 7, days) and numbers
    (members, 6)."""
    members, layers = start.shape[0], start.shape[1]
    days = temperature.shape[1]
    state = np.zeros((members, layers, NSTATE))
    kept = np.full((members, layers if keep_layers else 0, len(KEPT), days), np.nan)
    daily = np.full((members, 7, days), np.nan)
    numbers = np.zeros((members, 6))
    for m in prange(members):
        _one_vessel(
            offer_day, start[m], make_up[m], temperature[m], par[m], body[m],
            (solute_kg, protein_kg, weigh), tolerance, state[m], kept[m], daily[m], numbers[m],
        )  # fmt: skip
    return state, kept, daily, numbers


@over_cores
def run_layers(start, make_up, temperature, oxygen, par, tolerance, per_day):
    """One closed layer a member, ``per_day`` records a day: states (members, records, NSTATE) and
    pH (members, records), the start included. ``oxygen`` mol/h (members, days)."""
    members, days = temperature.shape
    records = days * per_day + 1
    state = np.zeros((members, records, NSTATE))
    ph = np.zeros((members, records))
    for m in prange(members):
        work = (np.empty(NSTATE), np.empty(NSTATE), np.empty(NRATES))
        warm = np.empty(NWARM)
        y = start[m].copy()
        now = layer_ph(y, make_up[m], par[m], _NEUTRAL)
        step = _FIRST_STEP
        state[m, 0], ph[m, 0] = y, now
        for day in range(days):
            warmth(temperature[m, day], par[m], warm)
            for part in range(per_day):
                now, step = carry(
                    y, make_up[m], par[m], warm, oxygen[m, day], HOURS / per_day, tolerance, step,
                    now, work,
                )  # fmt: skip
                record = day * per_day + part + 1
                state[m, record], ph[m, record] = y, now
    return state, ph


@compiled()
def layer_marks(state, make_up, mol_kg):
    """``poor_marks`` of single layers, (members, 2); state (members, NSTATE)."""
    marks = np.zeros((state.shape[0], 2))
    for m in range(state.shape[0]):
        total = layer_kg(state[m], make_up[m], mol_kg)
        marks[m] = poor_marks(state[m : m + 1], 1, total, mol_kg)
    return marks
