"""A whole batch: from a wish to recipe, closed days, drying, keeping and dose."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam.bran import carriers, drying, keeping, recipe, souring, trials
from sourloam.bran.drying import Dried, Drying
from sourloam.bran.recipe import Recipe, Wish
from sourloam.bran.sorption import water_activity
from sourloam.bran.souring import Soured
from sourloam.evidence import Book, Parameters
from sourloam.numerics import spread
from sourloam.units import percent

Floats = NDArray[np.float64]
#: Prefixes of the ids that this room reads; expand them with ``book().ids(prefix)``.
EVIDENCE: tuple[str, ...] = tuple(
    dict.fromkeys(
        (
            *carriers.EVIDENCE,
            *recipe.EVIDENCE,
            *souring.EVIDENCE,
            *drying.EVIDENCE,
            *keeping.EVIDENCE,
            *trials.EVIDENCE,
            "bran_making.warm_bag",
            "bran_making.hot_bag",
            "bran_making.moisture_least",
            "bran_making.moisture_most",
        )
    )
)
#: Drying is told up to this close to the balance with the air, kg/kg.
NEAR = 0.003  # method: drying is told up to this close to the balance with the air
_YEAR = 365


@dataclass(frozen=True)
class Case:
    """What is wanted, where it stands closed, how it is dried and kept."""

    wish: Wish
    room_c: float
    drying: Drying
    store_c: float
    closed_days: int | None = None


@dataclass(frozen=True)
class Batch:
    """A batch from weighing to the end of its use; arrays (members,) or (members, days).

    ``reaches_goal``: whether drying comes to the moisture aimed at; ``end_moisture`` is what it
    comes to. ``strength`` log10 cfu/g from the day it is packed on, a year long. ``good_days``
    until a lot is too weak (0: from the start), at most ``longest_days``; ``good_days_cool`` the
    same in a refrigerator.
    """

    case: Case
    recipe: Recipe
    soured: Soured
    dried: Dried | None
    reaches_goal: NDArray[np.bool_]
    end_moisture: Floats
    activity: Floats
    product_kg: Floats
    strength: Floats
    good_days: Floats
    good_days_cool: Floats
    longest_days: float
    parameters: Parameters

    @property
    def usual_good_days(self) -> int:
        """Whole days from packing until the middle one of the members is too weak."""
        return int(spread(self.good_days).median)


def draw(known: Book, members: int, rng: np.random.Generator) -> Parameters:
    """The values that this room reads, drawn for a number of members."""
    ids = known.ids(*EVIDENCE)
    return known.sample(ids, members, rng)


def make_batch(case: Case, parameters: Parameters) -> Batch:
    """Follow one batch through its life; ValueError in one line for what cannot be made.

    The wanted mass is met at the median; a member's own spill and losses move its yield.
    """
    _mixable(case.wish, parameters)
    taken_up = carriers.sorption(case.wish.mixture, parameters)
    first = recipe.recipe(case.wish, parameters)
    sour = souring.soured(first.batch, case.room_c, parameters, case.closed_days)
    dry, end, reaches = _dried(case, first, taken_up, parameters)
    wish = replace(case.wish, end_moisture=float(np.median(end)))
    weighed = recipe.recipe(wish, parameters, kept_dry=sour.kept_dry)
    moist = dry is None
    lost = 0.0 if dry is None else dry.loss_log10
    start = sour.log10_cells_per_g_dry - lost + np.log10(1 - end)
    strength = _kept(case.store_c, start, end, taken_up, parameters, moist)
    cool_c = float(parameters["bran_keeping.store.cool"][0])
    cool = _kept(min(cool_c, case.store_c), start, end, taken_up, parameters, moist)
    longest = keeping.longest_days("rice_bran" in case.wish.mixture.shares, parameters)
    return Batch(
        case=case,
        recipe=weighed,
        soured=sour,
        dried=dry,
        reaches_goal=reaches,
        end_moisture=end,
        activity=water_activity(end, case.store_c, taken_up, parameters),
        product_kg=_product_kg(weighed, sour, end, parameters),
        strength=strength,
        good_days=np.minimum(keeping.good_days(strength, parameters), longest),
        good_days_cool=np.minimum(keeping.good_days(cool, parameters), longest),
        longest_days=longest,
        parameters=parameters,
    )


def _mixable(wish: Wish, parameters: Parameters) -> None:
    """Neither too dry to sour evenly nor so wet that it drips."""
    least, most = (float(parameters[f"bran_making.moisture_{n}"][0]) for n in ("least", "most"))
    if wish.moisture is not None and not least <= wish.moisture <= most:
        how = "too wet" if wish.moisture > most else "too dry"
        raise ValueError(
            f"a mix of {percent(wish.moisture)} water is {how}: give {percent(least)} to "
            f"{percent(most)}"
        )


def _kept(
    store_c: float,
    start: Floats,
    moisture: Floats,
    taken_up: Floats,
    parameters: Parameters,
    moist: bool,
) -> Floats:
    """Strength through a year at one warmth."""
    warmth = np.full(_YEAR, store_c)
    return keeping.strength_after(start, moisture, taken_up, warmth, parameters, moist)


def _dried(
    case: Case, weighed: Recipe, taken_up: Floats, parameters: Parameters
) -> tuple[Dried | None, Floats, NDArray[np.bool_]]:
    """The drying, the moisture it comes to, and whether that is the goal."""
    wet = weighed.moisture
    if case.drying.method == "none":
        return None, wet, np.zeros(wet.shape, dtype=bool)
    goal = drying.goal_moisture(case.store_c, taken_up, parameters)
    balance = drying.balance(case.drying, taken_up, parameters)
    reaches = balance + NEAR <= goal
    end = np.minimum(np.where(reaches, goal, balance + NEAR), wet)
    return drying.dried(case.drying, wet, end, taken_up, parameters), end, reaches


def _product_kg(weighed: Recipe, sour: Soured, end: Floats, parameters: Parameters) -> Floats:
    """What is packed in the end: the masses weighed are the same for all, so the medians."""
    batch = weighed.batch
    dry_in = np.median(batch.dry_kg)
    kept = sour.kept_dry * (1 - parameters["bran_making.spill"])
    return np.asarray(dry_in * kept / (1 - end))
