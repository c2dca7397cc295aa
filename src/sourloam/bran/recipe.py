"""From a wanted amount of dry, inoculated bran to what is weighed out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.bran.carriers import INOCULA, SWEETS, Mixture, loose_density, plain_kg, sweet_kg
from sourloam.bran.water import water_to_reach_kg
from sourloam.evidence import Parameters
from sourloam.scraps.batch import INDEX, Batch

Floats = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = (
    "bran_making.moisture",
    "bran_making.sweet",
    "bran_making.rate",
    "bran_making.count",
    "bran_making.spill",
    "bran_making.packed",
    "bran_making.filled",
)
_PER_KG = 1000.0


@dataclass(frozen=True)
class Wish:
    """What is wanted, and of what. Rates are kg to a kg of dry carrier; None takes the usual.

    ``dry_kg`` is the finished bran at moisture ``end_moisture`` (wet basis). ``moisture`` is the
    moisture to mix to, ``cells`` the count of the inoculum, log10 cfu/mL (bran: /g) if known.
    """

    dry_kg: float
    mixture: Mixture
    sweet: str = "molasses"
    inoculum: str = "bought"
    end_moisture: float = 0.1
    moisture: float | None = None
    sweet_rate: float | None = None
    inoculum_rate: float | None = None
    cells: float | None = None

    def __post_init__(self) -> None:
        if not self.dry_kg > 0:
            raise ValueError(f"wanted {self.dry_kg:g} kg: must be above 0")
        if self.sweet not in SWEETS:
            raise ValueError(f"{self.sweet}: no source of sugar; choose from {', '.join(SWEETS)}")
        if self.inoculum not in INOCULA:
            raise ValueError(f"{self.inoculum}: no inoculum; choose from {', '.join(INOCULA)}")
        if self.moisture is not None and not self.end_moisture < self.moisture < 1:
            raise ValueError(
                f"moisture to mix to {self.moisture:g}: give more than the {self.end_moisture:g} "
                "to dry to, and less than 1"
            )


@dataclass(frozen=True)
class Recipe:
    """What is weighed out, kg, and the wetted batch; arrays (members,).

    ``water_kg`` is below 0 where the carrier is wetter than the aim: it must drain or dry first.
    ``packed_m3`` is the volume pressed into containers, ``batch`` what is closed in them.
    """

    carrier_kg: Floats
    carrier_m3: Floats
    water_kg: Floats
    sweet_kg: Floats
    inoculum_kg: Floats
    wet_kg: Floats
    moisture: Floats
    packed_m3: Floats
    log10_cells_per_g: Floats
    batch: Batch


def recipe(wish: Wish, parameters: Parameters, kept_dry: float | Floats = 1.0) -> Recipe:
    """Masses by balance of dry matter and water; ``kept_dry`` is the share of dry matter that
    souring leaves."""
    per_dry = _per_dry_carrier(wish, parameters)
    dry_in = (
        wish.dry_kg * (1 - wish.end_moisture) / kept_dry / (1 - parameters["bran_making.spill"])
    )
    batch = per_dry.batch.times(dry_in / per_dry.batch.dry_kg)
    carrier_dry = dry_in / per_dry.batch.dry_kg
    carrier = carrier_dry * per_dry.carrier_kg
    wet = batch.fresh_kg
    return Recipe(
        carrier_kg=carrier,
        carrier_m3=carrier / loose_density(wish.mixture, parameters),
        water_kg=carrier_dry * per_dry.water_kg,
        sweet_kg=carrier_dry * per_dry.sweet_kg,
        inoculum_kg=carrier_dry * per_dry.inoculum_kg,
        wet_kg=wet,
        moisture=batch["water"] / wet,
        packed_m3=wet / parameters["bran_making.packed"],
        log10_cells_per_g=np.log10(batch["lactic_cfu"] / wet / _PER_KG),
        batch=batch,
    )


@dataclass(frozen=True)
class _PerDry:
    """For one kg of dry matter of carrier."""

    carrier_kg: Floats
    water_kg: Floats
    sweet_kg: Floats
    inoculum_kg: Floats
    batch: Batch


def _per_dry_carrier(wish: Wish, parameters: Parameters) -> _PerDry:
    one = np.ones(parameters.members)
    as_bought = plain_kg(wish.mixture, parameters)
    carrier = one / as_bought.dry_kg
    sweet = one * _rate(wish.sweet_rate, f"bran_making.sweet.{wish.sweet}", parameters)
    starter = one * _rate(wish.inoculum_rate, f"bran_making.rate.{wish.inoculum}", parameters)
    mixed = (
        as_bought.times(carrier)
        + sweet_kg(wish.sweet, parameters).times(sweet)
        + _inoculum_kg(wish, parameters, as_bought).times(starter)
    )
    goal = _rate(wish.moisture, "bran_making.moisture", parameters)
    water = water_to_reach_kg(goal, mixed.fresh_kg, mixed["water"])
    wetted = mixed.amounts.copy()
    wetted[:, INDEX["water"]] += water
    return _PerDry(carrier, water, sweet, starter, Batch(wetted))


def _rate(own: float | None, key: str, parameters: Parameters) -> Floats:
    return parameters[key] if own is None else np.full(parameters.members, own)


def _inoculum_kg(wish: Wish, parameters: Parameters, as_bought: Batch) -> Batch:
    """One kg of inoculum: dry bran like the carrier itself, or water with its cells."""
    count = _rate(wish.cells, f"bran_making.count.{wish.inoculum}", parameters)
    amounts = as_bought.amounts.copy() if wish.inoculum == "batch" else 0 * as_bought.amounts
    if wish.inoculum != "batch":
        amounts[:, INDEX["water"]] = 1.0
    amounts[:, INDEX["entero_cfu"]] = 0.0
    amounts[:, INDEX["lactic_cfu"]] = 10.0**count * _PER_KG
    return Batch(amounts)


def containers(packed_m3: Floats, volume_m3: float, parameters: Parameters) -> Floats:
    """How many containers of a volume take the wetted bran, (members,), whole numbers."""
    return np.asarray(np.ceil(packed_m3 / (volume_m3 * parameters["bran_making.filled"])))
