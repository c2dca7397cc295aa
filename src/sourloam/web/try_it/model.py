"""What becomes of one vessel of the page to play with: the vessel model itself, many times over.

Every vessel is run with the same draws of all that is uncertain, so that two of them may be
compared case by case.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps, vessel
from sourloam.evidence import Parameters, book
from sourloam.scraps import Batch
from sourloam.site.conversion import to_vessel
from sourloam.site.equipment import VesselKind
from sourloam.vessel import Chance, Feeding, Settings, Vessel
from sourloam.web.try_it.settings import DAYS, Side, Trial

Floats = NDArray[np.float64]
#: Cases of each vessel.
MEMBERS = 40
_SEED = 1
_EVERY_DAYS, _FILLING_DAYS, _REST_DAYS = 3, 28, 28
_CARRIER = "wheat_bran"
_JAR = Vessel("jar", 0.11, 0.11, 0.17, 0.0, 0.01, 0.0)
_ENDS = (0.1, 0.5, 0.9)
_HELD_BACK = "flora.clostridia.lactic_limit_ph"  # spoilage is held back below this pH
_HALF = 0.5


@dataclass(frozen=True)
class Outcome:
    """One vessel through its days. Rows of three are the 10, 50 and 90 % points of the cases;
    layers are those that most cases have, in the middle, most of the cases deciding what looks
    spoiled."""

    layer_kg: float
    layer_days: tuple[int, ...]  # the index of the day on which each layer went in
    layer_ph: Floats  # (layers, days), NaN before
    layer_poor: NDArray[np.bool_]
    mouldy: NDArray[np.bool_]  # (days,): the newest layer has taken more air than mould needs
    level: Floats  # (days,)
    liquid_ml: Floats  # (3, days), all so far
    newest_ph: Floats  # (3, days)
    sour_days: Floats  # (members,): days from the last layer until below the line; inf if never
    steady_days: Floats  # (members,): until sour and steady; inf if never
    liquid_total_ml: Floats  # (members,)
    failing: Chance  # late or putrid
    late: Chance  # not sour and steady when the rest is over
    putrid: Chance
    spoilt_top: Chance

    @property
    def days(self) -> int:
        """Days followed."""
        return int(self.level.size)

    def layers_on(self, index: int) -> int:
        """Layers that lie in it at the end of a day."""
        return sum(day <= index for day in self.layer_days)

    def ph_of_layer(self, layer: int, index: int) -> float:
        """What is drawn and told of a layer's pH; the newest one's is that of the chart."""
        if layer == self.layers_on(index) - 1:
            return float(self.newest_ph[1, index])
        return float(self.layer_ph[layer, index])

    @property
    def fails(self) -> bool:
        """Whether most cases fail."""
        return self.failing.share > _HALF

    @property
    def spoils(self) -> bool:
        """Whether most cases fail, more of them by turning putrid than by being late."""
        return self.fails and self.putrid.share > self.late.share


def line_ph() -> float:
    """The pH below which spoilage is held back."""
    return float(book()[_HELD_BACK].value)


def body_of(side: Side) -> Vessel:
    """The shape of the vessel, with its lid."""
    shape = _JAR if side.body == "jar" else _pail()
    leak = side.leak / 1000 or None
    return Vessel(
        shape.name,
        shape.top_diameter_m,
        shape.base_diameter_m,
        shape.height_m,
        shape.sump_height_m,
        shape.headroom_m,
        shape.plate_mass_kg,
        leak,
    )


def reckon(side: Side) -> Outcome:
    """Run one vessel."""
    parameters = _parameters()
    days = DAYS[side.body]
    fed = np.arange(0, _FILLING_DAYS if side.body == "pail" else 1, _EVERY_DAYS, dtype=np.float64)
    fed = fed[: side.layers]
    layer = _layer(side, parameters)
    batch = Batch(np.repeat(layer.amounts[:, None, :], fed.size, axis=1))
    settings = Settings(
        openings_per_layer=1 + side.opened if side.body == "pail" else side.opened,
        openings_per_rest_day=side.opened,
        plate_kg=side.plate if side.body == "pail" else 0.0,
        keep_layers=True,
        drains=side.body == "pail",
    )
    warm = np.full(days, side.warmth)
    course = vessel.run(
        body_of(side),
        Feeding(fed, batch, side.pieces),
        warm,
        parameters,
        settings,
    )
    return _outcome(side, course, fed, parameters)


def both(trial: Trial, outcome_of: Callable[[Side], Outcome]) -> tuple[Outcome, Outcome]:
    """What becomes of A and B, filled on the same days: the one that would take more layers stops
    with the other, unless the size of a layer is what differs."""
    sides = trial.a, trial.b
    found = [outcome_of(side) for side in sides]
    if "layer" not in trial.changes():
        fewest = min(len(one.layer_days) for one in found)
        found = [
            one if len(one.layer_days) == fewest else outcome_of(replace(side, layers=fewest))
            for one, side in zip(found, sides, strict=True)
        ]
    return found[0], found[1]


def _outcome(side: Side, course: vessel.Course, fed: Floats, parameters: Parameters) -> Outcome:
    failing = vessel.chance_of_failing(course, _REST_DAYS)
    count = max(1, round(float(np.median(course.layers_taken))))
    liquid = 1e6 * np.cumsum(np.nan_to_num(course.liquid_m3), axis=1)
    poor = course.poor_layers[:, :count].mean(axis=0) > _HALF
    return Outcome(
        layer_kg=side.layer,
        layer_days=tuple(int(day) for day in fed[:count]),
        layer_ph=_middle(course.ph_layers[:, :count]),
        layer_poor=poor,
        mouldy=_mouldy(course, parameters),
        level=_middle(course.level_share),
        liquid_ml=_three(liquid),
        newest_ph=_three(course.ph_newest),
        sour_days=_sour_days(course),
        steady_days=course.finish_day - course.last_fed_day,
        liquid_total_ml=liquid[:, -1],
        failing=failing.failed,
        late=failing.not_sour,
        putrid=failing.putrid,
        spoilt_top=failing.spoilt_top,
    )


def _mouldy(course: vessel.Course, parameters: Parameters) -> NDArray[np.bool_]:
    """Days on which most cases have a newest layer that took more air than mould needs, the day it
    was laid not counted."""
    oxygen = course.oxygen_layers_mmol_per_kg
    members, layers, days = oxygen.shape
    inside = np.isfinite(oxygen)
    newest = np.clip(inside.sum(axis=1) - 1, 0, layers - 1)
    first = np.where(inside.any(axis=2), inside.argmax(axis=2), 0)
    rows, at = np.arange(members)[:, None], np.arange(days)[None, :]
    laid = oxygen[rows, newest, first[rows, newest]]
    taken = oxygen[rows, newest, at] - laid
    return np.asarray((taken > parameters["vessel.air_spoils"][:, None]).mean(axis=0) > _HALF)


def _sour_days(course: vessel.Course) -> Floats:
    """Days from the last layer until the newest is below the line, (members,)."""
    days = np.arange(course.ph_newest.shape[1])
    since = course.last_fed_day[:, None] <= days
    sour = since & (course.ph_newest <= line_ph())
    first = np.where(sour.any(axis=1), sour.argmax(axis=1), np.inf)
    return np.asarray(first + 1 - course.last_fed_day)


def _three(values: Floats) -> Floats:
    return np.asarray(np.nanquantile(values, _ENDS, axis=0))


def _middle(values: Floats) -> Floats:
    """Median over the cases that have a value; NaN where fewer than half do."""
    there = np.isfinite(values)
    known = np.where(there.mean(axis=0) >= _HALF, values, np.inf)
    found = np.where(np.isfinite(known), known, np.nan)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # a day on which nothing lies there yet
        return np.asarray(np.nanmedian(found, axis=0))


def _layer(side: Side, parameters: Parameters) -> Batch:
    """One layer, (members, columns): the mix with more bread and meat, bran and sugar."""
    shares = scraps.preset(side.mix, parameters)
    more = np.zeros(len(scraps.CLASSES))
    more[scraps.CLASSES.index("bread")] = side.bread / 100
    more[scraps.CLASSES.index("meat_fish")] = side.meat / 100
    shares = shares * (1 - more.sum()) + more
    mixed = scraps.mix(side.layer * shares, scraps.class_table(parameters))
    if side.bran:
        bran_kg = side.layer * side.bran / 1000
        mixed = mixed + scraps.bran_batch(bran_kg, _CARRIER, None, parameters)
    amounts = mixed.amounts.copy()
    amounts[:, scraps.INDEX["sugars"]] += side.layer * side.sugar / 1000
    return Batch(amounts)


@cache
def _pail() -> Vessel:
    return to_vessel(VesselKind.model_validate({"name": "19 L", "volume": "19 L"}))


@cache
def _parameters() -> Parameters:
    prefixes = (*scraps.EVIDENCE, *vessel.EVIDENCE)
    return book().sample(book().ids(*prefixes), MEMBERS, np.random.default_rng(_SEED))
