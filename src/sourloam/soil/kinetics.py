"""The compiled march of one place through its days.

State per m of trench (columns of ``STATE``); every step moves amounts from column to column, so
that carbon, nitrogen and salt are kept to rounding. Per step of length dt:

1. wishes: what each pool would lose with oxygen in plenty. Acids by
   ``v X c / (K + c)`` (X microbes, c acid carbon per kg soil) taken implicitly so that no pool
   turns negative; matter by ``1 - exp(-k dt)``; ammonium to nitrate at most n(T) f(pH) M.
2. oxygen: demand of the wishes against what the ways of air supply; where demand is larger all
   wishes are cut to the same share.
3. what decomposable matter could not do with air it does in part without: acetic acid and CO2.
4. nitrifiers multiply by what they oxidise, up to so many times their first number.
5. microbes and young humus hold nitrogen at a fixed C:N: they take it up from ammonium, then
   nitrate, as far as there is any, and give it back.
"""

from __future__ import annotations

from math import exp, log
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sourloam.numerics.compiling import compiled, inlined

Array = NDArray[np.float64]

#: mol of acid; kg of carbon in pools; kg of nitrogen; mol of charge of lasting salt; nitrifiers
#: over their first number.
STATE = (
    "lactic", "acetic", "butyric", "dpm", "rpm", "grown", "bio", "hum", "co2",
    "dpm_n", "rpm_n", "formed_n", "ammonium", "nitrate", "leached_n", "salt", "leached_salt",
    "nitrifiers",
)  # fmt: skip
(LAC, ACE, BUT, DPM, RPM, GRO, BIO, HUM, CO2,
 DPM_N, RPM_N, FOR_N, NH4, NO3, OUT_N, SALT, OUT_SALT, NIT) = range(len(STATE))  # fmt: skip
#: Further values by day: zone pH, oxygen share (day's mean), days short of oxygen.
EXTRA = ("ph", "oxygen", "airless")
LN10 = log(10)
_CALM = 4  # method: so many times fewer steps on a calm day
_CALM_BELOW = 0.1  # method: acids, over half-full, below which nothing is quick
_TURNS = 60  # method: most turns of the search for pH; three or four are usual
_NEAR = 1e-10  # method: pH is found to better than this
_LOW_PH, _HIGH_PH = 3.0, 10.0


class Rates(NamedTuple):
    """Values of one run, each ``(members,)``; rates per day at 20 °C unless named otherwise."""

    soil_kg: Array
    microbes_kg: Array
    uptake: Array
    half_full: Array
    yield_: Array
    airless: Array
    acetate_carbon: Array
    dpm: Array
    rpm: Array
    grown: Array
    bio: Array
    hum: Array
    respired: Array
    to_bio: Array
    c_to_n: Array
    basal: Array
    nitrify: Array
    nitrify_none: Array
    nitrify_half: Array
    nitrify_at_half: Array
    nitrify_full: Array
    nitrifiers_most: Array
    leach: Array
    soil_ph: Array
    buffer: Array
    bases: Array
    pka_lactic: Array
    pka_acetic: Array
    pka_butyric: Array
    pka_ammonium: Array
    bicarbonate: Array
    co2_rest: Array
    co2_rise: Array
    carbon_kg_per_mol: Array
    nitrogen_kg_per_mol: Array


class Weather(NamedTuple):
    """Forcing by day, each ``(members, days)``.

    Turnover modifier of temperature; the same over that of the laboratory; nitrification at full
    pH by the first number of nitrifiers, kg N per kg soil and day; their growth with ammonium in
    plenty, 1/d; oxygen supply, mol a day; drainage, m.
    """

    warm: Array
    warm_lab: Array
    nitrify: Array
    grow: Array
    supply: Array
    drained: Array


@compiled()
def nitrification_by_ph(ph: float, none: float, half: float, at_half: float, full: float) -> float:
    """Share of the full rate: 0 up to ``none``, ``at_half`` at ``half``, 1 from ``full``."""
    if ph <= none:
        return 0.0
    if ph < half:
        return at_half * (ph - none) / (half - none)
    if ph < full:
        return at_half + (1 - at_half) * (ph - half) / (full - half)
    return 1.0


@compiled()
def _held(amount: float, hydrogen: float, constant: float) -> tuple[float, float]:
    """Dissociated part of an acid and its slope over pH."""
    share = constant / (constant + hydrogen)
    return amount * share, LN10 * amount * share * (1 - share)


@compiled()
def zone_ph(state: Array, start_n: Array, r: Rates, m: int, oxygen: float, guess: float) -> float:
    """pH at which the zone's charges balance, by Newton's steps from ``guess`` within a bracket.

    buffer M (pH - pH0) + [HCO3(pH, CO2) - HCO3(pH0, CO2 at rest)]
    = bases - sum A alpha(pH) + [NH4 f(pH) - NH4_0] - [NO3 - NO3_0]
    with CO2 the higher the less oxygen is left (``oxygen``, share of that above ground), and
    where bases are all cations (ammonium too) that came with the ferment's dissociated acids.
    """
    low, high = _LOW_PH, _HIGH_PH
    made = (state[NO3] + state[OUT_N] - start_n[1]) / r.nitrogen_kg_per_mol[m]
    before = start_n[0] / r.nitrogen_kg_per_mol[m]
    co2 = r.co2_rest[m] + r.co2_rise[m] * (1 - oxygen)
    rest = r.bicarbonate[m] * r.co2_rest[m] * exp(LN10 * r.soil_ph[m])
    ammonium = state[NH4] / r.nitrogen_kg_per_mol[m]
    stays = r.bases[m] - before - made + ammonium + rest
    buffer = r.buffer[m] * r.soil_kg[m]
    lactic, acetic = exp(-LN10 * r.pka_lactic[m]), exp(-LN10 * r.pka_acetic[m])
    butyric, nitrogen = exp(-LN10 * r.pka_butyric[m]), exp(-LN10 * r.pka_ammonium[m])
    ph = guess
    for _ in range(_TURNS):
        hydrogen = exp(-LN10 * ph)
        a, da = _held(state[LAC], hydrogen, lactic)
        b, db = _held(state[ACE], hydrogen, acetic)
        c, dc = _held(state[BUT], hydrogen, butyric)
        n, dn = _held(ammonium, hydrogen, nitrogen)
        carbonate = r.bicarbonate[m] * co2 / hydrogen
        balance = stays - n - a - b - c - carbonate - buffer * (ph - r.soil_ph[m])
        if balance > 0:
            low = ph
        else:
            high = ph
        ahead: float = ph + balance / (da + db + dc + dn + LN10 * carbonate + buffer)
        if not low < ahead < high:
            ahead = (low + high) / 2
        if abs(ahead - ph) < _NEAR:
            return ahead
        ph = ahead
    return ph


@inlined()
def _wishes(
    state: Array, r: Rates, m: int, warm_lab: float, nitrify: float, dt: float, room: Array
) -> float:
    """Losses over dt with oxygen in plenty, by column; returns oxygen per day they need, mol.

    ``room[0]`` takes the losses, ``room[1]`` holds the share of each pool that breaks down over dt.
    """
    wish, fades = room[0], room[1]
    kc = r.carbon_kg_per_mol[m]
    acid_c = kc * (3 * state[LAC] + 2 * state[ACE] + 4 * state[BUT])
    microbes = r.microbes_kg[m] + state[GRO] + state[BIO]
    crowd = r.soil_kg[m] * r.half_full[m] + acid_c
    pull = r.uptake[m] * warm_lab * microbes / crowd * dt
    gone = pull / (1 + pull)
    wish[LAC], wish[ACE], wish[BUT] = gone * state[LAC], gone * state[ACE], gone * state[BUT]
    for i in (DPM, RPM, GRO, BIO, HUM):
        wish[i] = state[i] * fades[i]
    most = nitrify * state[NIT] * dt
    wish[NH4] = most * state[NH4] / (most + state[NH4]) if most > 0 else 0.0
    acids = (1 - r.yield_[m]) * (3 * wish[LAC] + 2 * wish[ACE] + 5 * wish[BUT])
    matter = r.respired[m] / kc * (wish[DPM] + wish[RPM] + wish[GRO] + wish[BIO] + wish[HUM])
    native = r.basal[m] * warm_lab * r.microbes_kg[m] / kc
    demand: float = (acids + matter + 2 * wish[NH4] / r.nitrogen_kg_per_mol[m]) / dt + native
    return demand


@inlined()
def _carbon(state: Array, r: Rates, m: int, share: float, wish: Array) -> None:
    """Carry out the carbon losses; matter short of air ferments in part."""
    kc = r.carbon_kg_per_mol[m]
    sour = share * kc * (3 * wish[LAC] + 2 * wish[ACE] + 4 * wish[BUT])
    airless = (1 - share) * r.airless[m] * wish[DPM]
    lost = share * (wish[DPM] + wish[RPM] + wish[GRO] + wish[BIO] + wish[HUM])
    kept = (1 - r.respired[m]) * lost
    if state[DPM] > 0:
        freed = (share * wish[DPM] + airless) / state[DPM] * state[DPM_N]
        state[DPM_N] -= freed
        state[NH4] += freed
    if state[RPM] > 0:
        freed = share * wish[RPM] / state[RPM] * state[RPM_N]
        state[RPM_N] -= freed
        state[NH4] += freed
    for i in (LAC, ACE, BUT, DPM, RPM, GRO, BIO, HUM):
        state[i] -= share * wish[i]
    state[DPM] -= airless
    acetate = r.acetate_carbon[m] * airless
    state[ACE] += acetate / (2 * kc)
    state[GRO] += r.yield_[m] * sour
    state[BIO] += r.to_bio[m] * kept
    state[HUM] += (1 - r.to_bio[m]) * kept
    state[CO2] += (1 - r.yield_[m]) * sour + (lost - kept) + airless - acetate


@inlined()
def _multiply(
    state: Array, r: Rates, m: int, grow: float, nitrified: float, nitrify: float, dt: float
) -> None:
    """Nitrifiers grow with the share of what they could oxidise that they do, up to a most."""
    most = nitrify * state[NIT] * dt
    if most > 0:
        grown = state[NIT] * exp(grow * dt * nitrified / most)
        state[NIT] = min(grown, r.nitrifiers_most[m])


@inlined()
def _nitrogen(state: Array, r: Rates, m: int, nitrified: float) -> None:
    """Nitrify, then let microbes and young humus take up or give back."""
    state[NH4] -= nitrified
    state[NO3] += nitrified
    need = (state[GRO] + state[BIO] + state[HUM]) / r.c_to_n[m] - state[FOR_N]
    if need <= 0:
        state[NH4] -= need
        state[FOR_N] += need
        return
    first = min(need, state[NH4])
    second = min(need - first, state[NO3])
    state[NH4] -= first
    state[NO3] -= second
    state[FOR_N] += first + second


@inlined()
def _day(
    state: Array, r: Rates, m: int, w: Weather, d: int, nitrify: float, steps: int, room: Array
) -> tuple[float, float]:
    """One day in ``steps`` steps; mean oxygen share and days short of oxygen.

    ``room`` (2, STATE) is there to be written in.
    """
    wish, fades, dt = room[0], room[1], 1.0 / steps
    supply, warm = w.supply[m, d], w.warm[m, d]
    fades[DPM], fades[RPM] = 1 - exp(-r.dpm[m] * warm * dt), 1 - exp(-r.rpm[m] * warm * dt)
    fades[GRO], fades[BIO] = 1 - exp(-r.grown[m] * warm * dt), 1 - exp(-r.bio[m] * warm * dt)
    fades[HUM] = 1 - exp(-r.hum[m] * warm * dt)
    oxygen, airless = 0.0, 0.0
    for _ in range(steps):
        demand = _wishes(state, r, m, w.warm_lab[m, d], nitrify, dt, room)
        share = min(1.0, supply / demand) if demand > 0 else 1.0
        _carbon(state, r, m, share, wish)
        nitrified = min(share * wish[NH4], state[NH4])
        _multiply(state, r, m, w.grow[m, d], nitrified, nitrify, dt)
        _nitrogen(state, r, m, nitrified)
        oxygen += max(0.0, 1 - demand / supply) * dt
        if share < 1:
            airless += dt
    return oxygen, airless


@inlined()
def _steps(state: Array, r: Rates, m: int, airless: float, steps: int) -> int:
    """Steps of the coming day: few where air was plenty and the acids are as good as gone."""
    acid_c = r.carbon_kg_per_mol[m] * (3 * state[LAC] + 2 * state[ACE] + 4 * state[BUT])
    calm = airless == 0 and acid_c < _CALM_BELOW * r.half_full[m] * r.soil_kg[m]
    return max(steps // _CALM, 1) if calm else steps


@compiled(nogil=True)
def march(state: Array, r: Rates, w: Weather, steps: int, out: Array, extra: Array) -> None:
    """Carry every member through its days in so many steps a day, fewer on calm ones.

    ``state`` (members, STATE) is changed in place; ``out`` (members, days, STATE) and ``extra``
    (members, days, EXTRA) are filled.
    """
    members, days = w.warm.shape
    room = np.zeros((2, len(STATE)))
    start_n = np.zeros(2)
    for m in range(members):
        start_n[0], start_n[1] = state[m, NH4], state[m, NO3]
        ph = zone_ph(state[m], start_n, r, m, 1.0, r.soil_ph[m])
        for d in range(days):
            by_ph = nitrification_by_ph(
                ph, r.nitrify_none[m], r.nitrify_half[m], r.nitrify_at_half[m], r.nitrify_full[m]
            )
            most = w.nitrify[m, d] * by_ph * r.soil_kg[m]
            before = extra[m, d - 1, 2] if d else 0.0
            some = _steps(state[m], r, m, before, steps)
            extra[m, d, 1], extra[m, d, 2] = _day(state[m], r, m, w, d, most, some, room)
            washed = 1 - exp(-r.leach[m] * w.drained[m, d])
            for stays, leaves in ((NO3, OUT_N), (SALT, OUT_SALT)):
                state[m, leaves] += washed * state[m, stays]
                state[m, stays] -= washed * state[m, stays]
            out[m, d] = state[m]
            ph = zone_ph(state[m], start_n, r, m, extra[m, d, 1], ph)
            extra[m, d, 0] = ph
