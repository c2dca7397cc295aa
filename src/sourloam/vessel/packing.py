"""How layers pack under the masher, the plate and each other, and how air reaches them."""

from __future__ import annotations

from math import exp, pi

from sourloam.numerics.compiling import compiled
from sourloam.vessel.layout import (
    L_INERT,
    L_LOOSE,
    S_ACETIC,
    S_AMMONIA,
    S_BUTYRIC,
    S_ETHANOL,
    S_LACTIC,
    S_LOCKED,
    S_MANNITOL,
    S_ORGANIC_N,
    S_PROPANEDIOL,
    S_RESIDUE,
    S_STARCH,
    S_SUGAR,
    S_WATER,
    P,
)  # fmt: skip

_MOST, _CEILING = P["vessel.density_most"], P["vessel.density_ceiling"]
_STIFF, _PRESS = P["vessel.packing"], P["vessel.press"]
_CREEP, _CREEP_DAYS = P["vessel.creep"], P["vessel.creep_days"]
_GRAVITY, _AIR_DEPTH = P["vessel.gravity"], P["vessel.air_depth"]
#: State columns that weigh, in the order of the masses handed to ``layer_kg``.
WEIGHED = (
    S_SUGAR, S_LOCKED, S_STARCH, S_LACTIC, S_ACETIC, S_ETHANOL, S_BUTYRIC, S_MANNITOL,
    S_PROPANEDIOL, S_AMMONIA, S_ORGANIC_N, S_RESIDUE,
)  # fmt: skip
_ETHANOL, _BUTYRIC, _AMMONIA = (WEIGHED.index(i) for i in (S_ETHANOL, S_BUTYRIC, S_AMMONIA))


@compiled()
def layer_kg(y, layer, mol_kg):
    """Mass of a layer, kg; ``mol_kg`` kg/mol of the columns in WEIGHED. Minerals that drained
    with the liquid are left in: they are below a thousandth."""
    total = y[S_WATER] + layer[L_INERT]
    for i in range(len(WEIGHED)):
        total += y[WEIGHED[i]] * mol_kg[i]
    return total


@compiled()
def poor_marks(state, count, total_kg, mol_kg):
    """Butyric acid as a share of dry matter, and ammonium as a share of N, in so many layers
    together: the marks of a poor ferment. ``total_kg`` is what the layers weigh by
    ``layer_kg``; by custom dry matter keeps the acids, alcohol and ammonia go with the water."""
    water, ethanol, butyric, ammonia, organic = 0.0, 0.0, 0.0, 0.0, 0.0
    for i in range(count):
        water += state[i, S_WATER]
        ethanol += state[i, S_ETHANOL]
        butyric += state[i, S_BUTYRIC]
        ammonia += state[i, S_AMMONIA]
        organic += state[i, S_ORGANIC_N]
    dry = total_kg - water - ethanol * mol_kg[_ETHANOL] - ammonia * mol_kg[_AMMONIA]
    nitrogen = ammonia + organic
    acid = butyric * mol_kg[_BUTYRIC] / dry if dry > 0.0 else 0.0
    return acid, ammonia / nitrogen if nitrogen > 0.0 else 0.0


@compiled()
def density(loose, pressure, age_days, par):
    """Bulk density (kg/m3) under a pressure (Pa) after so many days.

    loose + P/(a + P/(most - loose)), softened with time, never above scraps without air.
    """
    room = max(par[_MOST] - loose, 1.0)
    packed = loose + pressure / (par[_STIFF] + pressure / room)
    softened = packed * (1.0 + par[_CREEP] * (1.0 - exp(-age_days / par[_CREEP_DAYS])))
    return min(softened, par[_CEILING])


@compiled()
def stack(mass, layers, added_day, day, count, plate_pa, section_m2, par, volume):
    """Fill ``volume`` (m3 of each layer, bottom first) and return their sum."""
    above = 0.0
    total = 0.0
    for i in range(count - 1, -1, -1):
        load = plate_pa + par[_GRAVITY] * (above + 0.5 * mass[i]) / section_m2
        pressure = max(par[_PRESS], load)
        volume[i] = mass[i] / density(layers[i, L_LOOSE], pressure, day - added_day[i], par)
        above += mass[i]
        total += volume[i]
    return total


@compiled()
def share_air(volume, count, section_m2, par, share):
    """Fill ``share``: part of the oxygen that each layer takes, fading with depth below the top."""
    top = 0.0
    for i in range(count - 1, -1, -1):
        bottom = top + volume[i] / section_m2
        share[i] = exp(-top / par[_AIR_DEPTH])
        if i > 0:
            share[i] -= exp(-bottom / par[_AIR_DEPTH])
        top = bottom


@compiled()
def level_at(volume, base, top, height, sump):
    """Height (m) above the drain grid that a volume (m3) fills in a tapered round vessel."""
    slope = (top - base) / height
    start = base + slope * sump
    if abs(slope) < 1e-9:  # method: a straight wall
        return volume / (pi * start * start / 4.0)
    cubed = start**3 + 12.0 * slope * volume / pi
    return (cubed ** (1.0 / 3.0) - start) / slope


@compiled()
def plate_pressure(plate_kg, section_m2, par):
    """Pressure (Pa) of the plate over the section."""
    return plate_kg * par[_GRAVITY] / section_m2
