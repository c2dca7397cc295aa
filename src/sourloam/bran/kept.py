"""A lot that lies in a store: how strong it is today, until when, and how much of it to give.

Less is known of it than of a batch that is being planned: only what stands on its bag, where it
is kept, and what tests showed. What nobody said is drawn from what is usual.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam.bran import carriers, keeping, trials
from sourloam.bran.answer import usual_dose
from sourloam.bran.carriers import Mixture
from sourloam.bran.keeping import dose_kg_per_kg, good_days, least_strength, longest_days
from sourloam.bran.ranges import range_of
from sourloam.bran.sorption import balance_moisture, water_activity
from sourloam.bran.tested import condemned, drawn_anew
from sourloam.bran.trials import Trial
from sourloam.evidence import Book, Parameters
from sourloam.numerics import Range

Floats = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = (
    *carriers.EVIDENCE,
    *keeping.EVIDENCE,
    *trials.EVIDENCE,
    "bran_keeping.activity",
    "bran_keeping.usual_activity",
    "bran_keeping.bought_age",
    "bran_keeping.stated_error",
    "bran_keeping.drying_loss",
    "bran_making.most_cells",
    "bran_making.moisture",
)
_YEAR = 365
_GRAMS = 1000.0
WARMER_K = 10.0
_WETTER = 0.02  # method: two points of moisture more
_SURE, _HOPELESS = 0.9, 0.1
_THIRD = 1 / 3


@dataclass(frozen=True)
class Kept:
    """A lot in store. Days count from when it came in or was packed.

    ``stated`` is the strength that its bag says, log10 cfu/g; ``moisture`` what was measured, wet
    basis; ``moist`` bran that was never dried.
    """

    carrier: str
    store_c: float
    bought: bool = False
    moist: bool = False
    moisture: float | None = None
    stated: float | None = None
    tests: tuple[Trial, ...] = ()

    @property
    def known(self) -> bool:
        """Whether anything tells of this lot's own strength."""
        return not self.bought or self.stated is not None or bool(self.tests)


@dataclass(frozen=True)
class Ageing:
    """A lot's possible courses: ``strength`` log10 cfu/g (members, days + 1), a year long."""

    kept: Kept
    strength: Floats
    activity: Floats
    good_days: Floats
    parameters: Parameters


@dataclass(frozen=True)
class LotToday:
    """A lot on one day. ``advised_g_per_kg`` is None where it is as good as surely too weak.

    ``good_days`` are counted from the day it came in; ``good_days_cool`` too, if it goes into a
    refrigerator today. ``moves`` holds what moves the good days most: name, days in its one half
    and in its other, the widest first.
    """

    strength: Range
    dose: Range
    advised_g_per_kg: float | None
    chance_good: float
    good_days: Range
    good_days_cool: Range
    activity: Range
    condemned: bool
    moves: tuple[tuple[str, float, float], ...]

    @property
    def doubtful(self) -> bool:
        """Neither surely strong enough nor as good as surely too weak."""
        return self.advised_g_per_kg is not None and self.chance_good < _SURE


def draw_kept(known: Book, members: int, rng: np.random.Generator) -> Parameters:
    """The values that this module reads, drawn for a number of members."""
    ids = known.ids(*EVIDENCE)
    return known.sample(ids, members, rng)


def ageing(
    kept: Kept, parameters: Parameters, start: Floats | None = None, seed: int = 1
) -> Ageing:
    """Follow a lot through a year in its store, with all that its tests told; ``start`` in place
    of what is thought of its first day, log10 cfu/g (members,)."""
    taken_up = carriers.sorption(Mixture({kept.carrier: 1.0}), parameters)
    moisture = _moisture(kept, taken_up, parameters)
    if start is None:
        start = _start(kept, moisture, parameters, np.random.default_rng(seed))
    warmth = np.full(_YEAR, kept.store_c)
    args = (moisture, taken_up, warmth, parameters, kept.moist)
    strength = keeping.strength_after(start, *args)
    activity = water_activity(moisture, kept.store_c, taken_up, parameters)
    if kept.tests:
        rng = np.random.default_rng([seed, 1])
        risked, chosen = drawn_anew(strength, kept.tests, parameters, rng)
        strength, activity = risked[chosen], activity[chosen]
        values = {key: array[chosen] for key, array in parameters.items()}
        parameters = Parameters(values, parameters.members)
    longest = longest_days(kept.carrier == "rice_bran", parameters)
    days = np.minimum(good_days(strength, parameters), longest)
    return Ageing(kept, strength, activity, days, parameters)


def today(found: Ageing, day: int, own_dose: float | None = None) -> LotToday:
    """What the lot is on a day after it came in; ``own_dose`` kg/kg in place of the usual one."""
    parameters = found.parameters
    strength = found.strength[:, min(max(day, 0), _YEAR)]
    failed = condemned(found.kept.tests, day, parameters)
    longest = longest_days(found.kept.carrier == "rice_bran", parameters)
    old = day > longest
    cool = np.minimum(_cooler(found, strength).good_days + day, longest)
    chance = 0.0 if failed or old else float((strength >= least_strength(parameters)).mean())
    dose = _dose(found, strength, own_dose) if chance >= _HOPELESS else None
    return LotToday(
        strength=range_of(strength, "log10 cfu/g"),
        dose=range_of(_GRAMS * dose_kg_per_kg(strength, parameters), "g/kg"),
        advised_g_per_kg=None if dose is None else round(_GRAMS * dose, 1),
        chance_good=chance,
        good_days=range_of(found.good_days, "days"),
        good_days_cool=range_of(cool, "days"),
        activity=range_of(found.activity, "1"),
        condemned=failed,
        moves=tuple(sorted(_moves(found), key=lambda m: abs(m[1] - m[2]), reverse=True)),
    )


def _dose(found: Ageing, strength: Floats, own_dose: float | None) -> float:
    """What the count asks for, kg/kg, between the usual and the largest dose; the usual one where
    nothing is known of the lot itself."""
    usual = usual_dose(own_dose)
    if not found.kept.known:
        return usual
    most = float(found.parameters["bran_keeping.dose_most"][0])
    need = float(np.median(dose_kg_per_kg(strength, found.parameters)))
    return max(usual, min(need, most))


def _moisture(kept: Kept, taken_up: Floats, parameters: Parameters) -> Floats:
    if kept.moisture is not None:
        return np.full(parameters.members, kept.moisture)
    if kept.moist:
        return parameters["bran_making.moisture"]
    usual = parameters["bran_keeping.usual_activity"]
    return balance_moisture(usual, kept.store_c, taken_up, parameters)


def _start(
    kept: Kept, moisture: Floats, parameters: Parameters, rng: np.random.Generator
) -> Floats:
    """Living cells on the first day in the store, log10 cfu/g as it is."""
    if kept.stated is not None:
        error = parameters["bran_keeping.stated_error"]
        return np.asarray(kept.stated + error * rng.standard_normal(parameters.members))
    grown = parameters["bran_making.most_cells"] + np.log10(1 - moisture)
    dried = grown if kept.moist else grown - parameters["bran_keeping.drying_loss"]
    if not kept.bought:
        return np.asarray(dried)
    weeks = parameters["bran_keeping.bought_age"] / 7
    loss = keeping.weekly_loss(kept.store_c, parameters["bran_keeping.usual_activity"], parameters)
    return np.asarray(np.maximum(dried - weeks * loss, 0.0))


def _cooler(found: Ageing, start: Floats) -> Ageing:
    cool = float(found.parameters["bran_keeping.store.cool"][0])
    return _otherwise(found, start, replace(found.kept, store_c=min(cool, found.kept.store_c)))


def _otherwise(found: Ageing, start: Floats, kept: Kept) -> Ageing:
    """The same members kept otherwise, their tests left aside."""
    return ageing(replace(kept, tests=()), found.parameters, start)


def _moves(found: Ageing) -> list[tuple[str, float, float]]:
    """How far each input moves the middle of the good days."""
    first = found.strength[:, 0]
    kept = found.kept
    warmer = _otherwise(found, first, replace(kept, store_c=kept.store_c + WARMER_K))
    moves = [("store", _median(_cooler(found, first)), _median(warmer))]
    if not kept.moist:
        wet = kept.moisture if kept.moisture is not None else _now_moist(found)
        damper = _otherwise(found, first, replace(kept, moisture=wet + _WETTER))
        moves.append(("moisture", _median(found), _median(damper)))
    low, high = np.quantile(first, [_THIRD, 1 - _THIRD])
    weak, strong = found.good_days[first <= low], found.good_days[first >= high]
    moves.append(("start", float(np.median(strong)), float(np.median(weak))))
    return moves


def _median(found: Ageing) -> float:
    return float(np.median(found.good_days))


def _now_moist(found: Ageing) -> float:
    taken_up = carriers.sorption(Mixture({found.kept.carrier: 1.0}), found.parameters)
    return float(np.median(_moisture(found.kept, taken_up, found.parameters)))
