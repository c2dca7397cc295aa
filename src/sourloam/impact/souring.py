"""What the vessel model makes of a typical filling: shares of carbon and nutrients."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps, vessel
from sourloam.evidence import Parameters
from sourloam.impact.kept import Shares
from sourloam.scraps import Batch
from sourloam.vessel.feeding import Pieces

Array = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = (*vessel.EVIDENCE, *scraps.EVIDENCE)
_LAYERS = 20  # method: a layer a day; more change the shares by less than the evidence's range
_REST_DAYS = 21  # method: past the bulk of the draining
_PACKED = 600  # method: kg of scraps offered for each m3 of room; what does not go in is left


@dataclass(frozen=True)
class Filling:
    """A vessel and what goes in: the mix of one kg of scraps, bran by mass of scraps."""

    vessel: vessel.Vessel
    mix: Batch
    bran_share: Array
    carrier: str
    strength: float | None
    pieces: Pieces
    temperature_c: Array


def shares(filling: Filling, p: Parameters) -> Shares:
    """Run the vessel once for each member, layer by layer, and see where everything went."""
    layer_kg = _PACKED * filling.vessel.usable_m3 / _LAYERS
    bran = scraps.bran_batch(filling.bran_share, filling.carrier, filling.strength, p)
    layer = (filling.mix + bran).times(layer_kg)
    amounts = np.repeat(layer.amounts[:, None, :], _LAYERS, axis=1)
    days = _LAYERS + _REST_DAYS
    warmth = np.repeat(filling.temperature_c[:, None], days, axis=1)
    course = vessel.run(
        filling.vessel,
        vessel.Feeding(np.arange(_LAYERS, dtype=np.float64), Batch(amounts), filling.pieces),
        warmth,
        p,
    )
    book = course.ledger
    into = book.into
    return Shares(
        carbon_gas=book.gas["carbon"] / into["carbon"],
        carbon_liquid=book.drained["carbon"] / into["carbon"],
        nitrogen_liquid=book.drained["nitrogen"] / into["nitrogen"],
        phosphorus_liquid=book.drained["P"] / into["P"],
        potassium_liquid=book.drained["K"] / into["K"],
        liquid=course.drained.liquid_kg / into["mass"],
        ferment=course.ferment.fresh_kg / into["mass"],
    )
