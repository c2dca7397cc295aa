"""From what people say of a layer, a bowlful or some litres, to kilograms with a range."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps
from sourloam.evidence import Parameters, book
from sourloam.ledger.bodies import Amount, Fed, MeasureSet
from sourloam.ledger.state import PlaceState, Turn
from sourloam.numerics.spread import Spread, spread
from sourloam.site import Site

Floats = NDArray[np.float64]
Mix = str | Mapping[str, float]
#: Prefixes of the evidence that ``masses_kg`` reads.
EVIDENCE: tuple[str, ...] = (
    "ledger.amount",
    "forecast.amount",
    "scraps.preset",
    *(f"scraps.{name}.density" for name in scraps.CLASSES),
)
_MEMBERS = 400  # method: draws behind a range that is shown
_SEED = 1


class AmountError(ValueError):
    """The amount can't be told: its measure was never calibrated."""


def evidence_ids() -> tuple[str, ...]:
    """Every id that ``masses_kg`` reads."""
    return book().ids(*EVIDENCE)


def loose_density_kg_m3(mix: Mix, parameters: Parameters) -> Floats:
    """Bulk density of a mix as thrown in, (members,): mass over the sum of loose volumes."""
    each = np.stack([parameters[f"scraps.{name}.density"] for name in scraps.CLASSES], axis=-1)
    return np.asarray(1 / (scraps.class_shares(mix, parameters) / each).sum(axis=-1))


def masses_kg(
    amount: Amount,
    mix: Mix,
    measure: MeasureSet | None,
    parameters: Parameters,
    rng: np.random.Generator | None,
) -> Floats:
    """Possible masses of one layer, kg, (members,).

    ``measure`` is the calibration of ``amount.measure``. The density of the mix varies with the
    parameters, and so is shared by layers that are drawn with the same; the error of one reading
    or heaping is drawn from ``rng`` anew (None: no error). AmountError without a calibration.
    """
    if amount.mass_kg is not None:
        return _read(amount.mass_kg, "scale", 1.0, parameters, rng)
    if amount.volume_l is not None:
        litres = _read(amount.volume_l, "volume", 1.0, parameters, rng)
        return litres / 1000 * loose_density_kg_m3(mix, parameters)
    if measure is None:
        raise AmountError(f"measure {amount.measure}: never calibrated; set its mass or volume")
    assert amount.count is not None  # the model takes measure and count together
    counted = _read(amount.count, "count", amount.count, parameters, rng)
    if measure.mass_kg is not None:
        return counted * measure.mass_kg
    assert measure.volume_l is not None  # the model takes either
    return counted * measure.volume_l / 1000 * loose_density_kg_m3(mix, parameters)


class SharedErrors:
    """Errors that readings have in common, as factors (members,), drawn once for each.

    All layers weighed at a place stand on one scale, all bowlfuls of a measure on its one
    calibration, all litres of a person on that person's eye: these don't even out over layers.
    """

    def __init__(self, parameters: Parameters, rng: np.random.Generator) -> None:
        self._parameters, self._rng = parameters, rng
        self._drawn: dict[tuple[str, str | None], Floats] = {}

    def times(self, amount: Amount, by: str | None) -> Floats:
        """The factor, ``(members,)`` and about 1, on an amount that ``by`` wrote down: drawn once
        for each way of measuring and each person, as both err alike every time."""
        kind, whose = _shared_by(amount, by)
        if (kind, whose) not in self._drawn:
            spread_log = self._parameters[f"forecast.amount.{kind}"]
            error = self._rng.standard_normal(self._parameters.members)
            self._drawn[kind, whose] = np.exp(spread_log * error)
        return self._drawn[kind, whose]


def _shared_by(amount: Amount, by: str | None) -> tuple[str, str | None]:
    """The kind of reading, and the thing or person that its error belongs to."""
    if amount.mass_kg is not None:
        return "weighed", None
    return ("by_eye", by) if amount.volume_l is not None else ("counted", amount.measure)


def _read(
    value: float, way: str, times: float, parameters: Parameters, rng: np.random.Generator | None
) -> Floats:
    """A reading with its own error, which evens out over ``times`` independent ones."""
    if rng is None:
        return np.full(parameters.members, value)
    spread_log = parameters[f"ledger.amount.{way}"] / np.sqrt(max(times, 1.0))
    return np.asarray(value * np.exp(spread_log * rng.standard_normal(parameters.members)))


def mass_of(amount: Amount, mix: Mix, measure: MeasureSet | None) -> Spread:
    """Median and 10-90 % range of one layer's mass, kg, by the book; AmountError as above."""
    name = mix if isinstance(mix, str) else json.dumps(dict(mix), sort_keys=True)
    size = None if measure is None else (measure.mass_kg, measure.volume_l)
    return _mass_of(amount, name, size)


def usual_mix(site: Site | None) -> Mix:
    """The mix of a layer that names none; a household's where the place was never described."""
    return scraps.USUAL_PRESET["household"] if site is None else site.usual_mix


def layer_kg(fed: Fed, place: PlaceState, usual: Mix) -> float | None:
    """Middle mass of one layer, kg; ``usual`` where it names no mix, None where its measure was
    never calibrated."""
    measure = None if fed.amount.measure is None else place.measure(fed.amount.measure)
    try:
        return float(mass_of(fed.amount, fed.kinds or usual, measure).median)
    except AmountError:
        return None


def contents_kg(turn: Turn, place: PlaceState, usual: Mix) -> float:
    """What is in a vessel, kg, by middle values: scraps and bran less what drained."""
    into = math.fsum(
        (layer_kg(layer.body, place, usual) or 0.0) + (layer.body.bran_g or 0.0) / 1000
        for layer in turn.layers
    )
    return max(into - turn.liquid_ml * 1e-6 * book()["liquid.density"].value, 0.0)


@lru_cache(maxsize=4096)
def _mass_of(amount: Amount, name: str, size: tuple[float | None, float | None] | None) -> Spread:
    mix: Mix = json.loads(name) if name.startswith("{") else name
    measure = None
    if size is not None:
        measure = MeasureSet(measure="m", name="m", mass_kg=size[0], volume_l=size[1])
    rng = np.random.default_rng(_SEED)
    return spread(masses_kg(amount, mix, measure, _drawn(), rng))


@lru_cache(maxsize=1)
def _drawn() -> Parameters:
    return book().sample(evidence_ids(), _MEMBERS, np.random.default_rng(_SEED))
