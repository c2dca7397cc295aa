"""Tests of strength that a person can do, how to read them, and what they change (Bayes).

A lot's strength is a sample of members, each a possible lot. A result gives each member the
weight with which it would have brought that result; figures are then read with the weights.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from sourloam.evidence import Parameters
from sourloam.units import show, show_count, show_range

Floats = NDArray[np.float64]
Verdict = Literal["pass", "doubt", "fail"]
KINDS = ("sour_drop", "plate", "slurry", "jar")
EVIDENCE: tuple[str, ...] = ("bran_tests", "bran_making.ph", "ferment.q10")
_GROWTH = 2.0  # a culture doubles
_PER_KG, _PER_M3 = 1000.0, 1e6


@dataclass(frozen=True)
class Trial:
    """One result of a test out of KINDS. ``day``: days since the lot was packed.

    ``sour_drop``: ``value`` is the hours until the jar is at pH 4.6 or a firm curd, infinite if
    it was not within ``until_hours``; ``after_hours`` is when it was last seen not yet sour.
    ``plate``: log10 cfu/g. ``slurry``: pH. ``jar``: pH after seven days, with ``dose`` kg/kg.
    """

    kind: str
    value: float
    day: float = 0.0
    temperature_c: float = 30.0  # method: the warmth for which the hours are stated
    after_hours: float = 0.0
    until_hours: float = 48.0  # method: when people stop looking
    dose: float = 0.02  # method: the usual dose

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"{self.kind}: no test; choose from {', '.join(KINDS)}")
        if np.isnan(self.value) or (self.kind != "sour_drop" and not np.isfinite(self.value)):
            raise ValueError(f"{self.kind}: the result must be a number")
        if not 0 <= self.day < float("inf"):
            raise ValueError(f"{self.kind}: day {self.day:g} after packing; give 0 or more")
        if self.kind in ("slurry", "jar") and not 2 <= self.value <= 10:
            raise ValueError(f"pH {self.value:g}: give 2 to 10")
        if self.kind == "sour_drop" and not 0 <= self.after_hours <= self.value:
            raise ValueError("sour_drop: hours must not be below 0 nor before the last look")


def verdict(trial: Trial, parameters: Parameters) -> Verdict:
    """Pass, doubt or fail by the marks of the evidence."""
    if trial.kind == "plate":
        low, high = (float(parameters[f"bran_tests.plate.{n}"][0]) for n in ("fail", "pass"))
        return "pass" if trial.value >= high else "doubt" if trial.value >= low else "fail"
    marks = {
        "sour_drop": ("bran_tests.drop.pass", "bran_tests.drop.fail"),
        "slurry": ("bran_making.ph.pass", "bran_making.ph.doubt"),
        "jar": ("bran_tests.jar.pass", "bran_tests.jar.fail"),
    }[trial.kind]
    good, bad = (float(parameters[key][0]) for key in marks)
    return "pass" if trial.value <= good else "doubt" if trial.value <= bad else "fail"


def outranks(trial: Trial, day: float, parameters: Parameters) -> bool:
    """Whether a result on living cells holds against the forecast on a day.

    A failed one always does; a passed one while it is recent. A slurry tells of acid, not of
    cells, and never does.
    """
    if trial.kind == "slurry" or trial.day > day:
        return False
    found = verdict(trial, parameters)
    recent = day - trial.day <= float(parameters["bran_tests.valid"][0])
    return found == "fail" or (found == "pass" and recent)


def sour_drop_hours(log10_cells_per_g: Floats, warmth_c: float, parameters: Parameters) -> Floats:
    """Hours until the jar of the sour-drop test is sour, (members,).

    A lag, then as many doublings as lead from the cells brought to those of a sour jar; both
    slower where it is cooler, as the ferment's other rates are.
    """
    drop = {n: parameters[f"bran_tests.drop.{n}"] for n in _DROP}
    _bearable(warmth_c, drop)
    start = log10_cells_per_g + np.log10(drop["bran"] / drop["milk"])
    doublings = np.maximum(drop["full"] - start, 0.0) / np.log10(_GROWTH)
    slower = parameters["ferment.q10"] ** ((drop["at"] - warmth_c) / 10)
    return np.asarray((drop["lag"] + doublings * drop["doubling"]) * slower)


def likelihood(trial: Trial, strength: Floats, parameters: Parameters) -> Floats:
    """Chance of the result for each member; ``strength`` (members, days + 1) log10 cfu/g."""
    then = strength[:, int(min(max(trial.day, 0), strength.shape[1] - 1))]
    if trial.kind == "plate":
        error = parameters["bran_tests.plate.error"]
        chance = np.exp(-(((trial.value - then) / error) ** 2) / 2) / (error * np.sqrt(2 * np.pi))
    elif trial.kind == "sour_drop":
        chance = _drop_chance(trial, then, parameters)
    elif trial.kind == "jar":
        chance = _grade_chance(trial, then + np.log10(trial.dose), "jar", parameters)
    else:
        chance = _grade_chance(trial, strength[:, 0], "slurry", parameters)
    wrong = parameters["bran_tests.error"]
    # Where a result tells nothing, every verdict (or every count) is as likely as the others.
    others = len(get_args(Verdict))
    spread_over = parameters["bran_tests.plate.span"] if trial.kind == "plate" else others
    return np.asarray((1 - wrong) * chance + wrong / spread_over)


def with_accidents(strength: Floats, parameters: Parameters, rng: np.random.Generator) -> Floats:
    """The forecast with some members dead by accident: what is believed before any test.

    Without them no failed test could tell more than that somebody misread it.
    """
    chance, left = (parameters[f"bran_tests.{n}"] for n in ("accident", "accident_strength"))
    dead = rng.random(strength.shape[0]) < chance
    return np.where(dead[:, None], np.minimum(strength, left[:, None]), strength)


def weights(trials: Sequence[Trial], strength: Floats, parameters: Parameters) -> Floats:
    """Weights of the members after all results, adding up to 1."""
    total = np.ones(strength.shape[0])
    for trial in trials:
        total = total * likelihood(trial, strength, parameters)
    return np.asarray(total / total.sum())


def _drop_chance(trial: Trial, cells: Floats, parameters: Parameters) -> Floats:
    """Chance that the jar turned between the last look that was not sour and the first that was."""
    hours = sour_drop_hours(cells, trial.temperature_c, parameters)
    scatter = parameters["bran_tests.drop.scatter"] * hours
    error = np.hypot(parameters["bran_tests.drop.reading"], scatter)
    if not np.isfinite(trial.value):
        return np.asarray(ndtr((hours - trial.until_hours) / error))
    late, early = (ndtr((at - hours) / error) for at in (trial.value, trial.after_hours))
    return np.asarray(late - (early if trial.after_hours > 0 else 0.0))


def _grade_chance(trial: Trial, cells: Floats, key: str, parameters: Parameters) -> Floats:
    """Chance of pass, doubt or fail on a scale of strength (ordered logistic)."""
    middle, width = (parameters[f"bran_tests.{key}.{n}"] for n in ("middle", "width"))
    passing = 1 / (1 + np.exp(-(cells - middle) / width))
    not_failing = 1 / (1 + np.exp(-(cells - middle + parameters["bran_tests.doubt"]) / width))
    return np.asarray(
        {"pass": passing, "doubt": not_failing - passing, "fail": 1 - not_failing}[
            verdict(trial, parameters)
        ]
    )


def _bearable(warmth_c: float, drop: dict[str, Floats]) -> None:
    coldest, hottest = float(drop["coldest"][0]), float(drop["hottest"][0])
    if not coldest <= warmth_c <= hottest:
        raise ValueError(
            f"jar at {warmth_c:g} °C: the hours can be read between {coldest:g} and "
            f"{hottest:g} °C; keep it warmer or cooler and try again"
        )


_DROP = ("bran", "milk", "full", "doubling", "lag", "at", "coldest", "hottest")


def how_to(kind: str, parameters: Parameters, system: str = "metric") -> str:
    """How a test is done and read, in words for the printed page and the reader's units."""
    telling = {"sour_drop": _drop_told, "slurry": _slurry_told, "jar": _jar_told}
    return telling.get(kind, _plate_told)(parameters, system)


def _drop_told(parameters: Parameters, system: str) -> str:
    names = (*_DROP, "ph", "pass", "fail", "below_blank")
    drop = {n: float(parameters[f"bran_tests.drop.{n}"][0]) for n in names}
    return (
        f"Sour-drop test: stir {_grams(drop['bran'], system)} of bran into "
        f"{_millilitres(drop['milk'], system)} of milk (or water with 5 % sugar and 1 % flour) in "
        f"a clean jar, and keep it at {_warmth(drop['at'], system)} beside a jar without bran. "
        f"Look every few hours. Good: pH {drop['ph']:g} or a firm curd within {drop['pass']:g} "
        f"hours, and at least {drop['below_blank']:g} below the jar without bran. Doubtful: within "
        f"{drop['fail']:g}. Failed: later, or no better than the other jar. Never drink it."
    )


def _slurry_told(parameters: Parameters, system: str) -> str:
    good, doubt = (float(parameters[f"bran_making.ph.{n}"][0]) for n in ("pass", "doubt"))
    bran, water = (float(parameters[f"bran_tests.slurry.{n}"][0]) for n in ("bran", "water"))
    return (
        f"Slurry pH: stir {_grams(bran, system)} of bran into {_millilitres(water, system)} of "
        f"clean water, wait 30 minutes, measure. Good: {good:g} or below; doubtful: up to "
        f"{doubt:g}; failed: above. It shows that the batch soured, not that its cells still live."
    )


def _jar_told(parameters: Parameters, system: str) -> str:
    names = ("scraps", "at", "days", "pass", "fail")
    jar = {n: float(parameters[f"bran_tests.jar.{n}"][0]) for n in names}
    return (
        f"Sealed jar: fill a jar with {_grams(jar['scraps'], system)} of chopped mixed scraps and "
        f"the dose, put on a lid with a vent, keep it at {_warmth(jar['at'], system)} for "
        f"{jar['days']:g} days beside a jar without bran. Good: pH {jar['pass']:g} or below and a "
        f"sour smell; doubtful: up to {jar['fail']:g}; failed: above, or a foul smell."
    )


def _plate_told(parameters: Parameters, system: str) -> str:
    names = ("coldest", "hottest", "pass", "fail")
    plate = {n: float(parameters[f"bran_tests.plate.{n}"][0]) for n in names}
    warm = show_range(plate["coldest"], plate["hottest"], "temperature", system)
    return (
        "Plate count, for those with a laboratory: agar for lactic bacteria, airless, "
        f"{warm}, 48 to 72 hours. Good: {show_count(plate['pass'])} living cells a gram or more; "
        f"failed: fewer than {show_count(plate['fail'])}."
    )


def _warmth(celsius: float, system: str) -> str:
    return show(celsius, "temperature", system)


def _grams(grams: float, system: str) -> str:
    """A small weight; with the grams behind it where the reader's own unit is coarse for it."""
    own = show(grams / _PER_KG, "small_mass", system)
    return own if system == "metric" else f"{own} ({grams:g} g)"


def _millilitres(millilitres: float, system: str) -> str:
    own = show(millilitres / _PER_M3, "small_volume", system)
    return own if system == "metric" else f"{own} ({millilitres:g} mL)"
