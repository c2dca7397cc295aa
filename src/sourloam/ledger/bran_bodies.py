"""What entries about inoculated bran say: lots that came in, batches made here, what became of
them; checked models as in ``bodies``."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import model_validator

from sourloam.bran.carriers import CARRIERS, INOCULA, SWEETS
from sourloam.bran.drying import METHODS
from sourloam.bran.trials import KINDS as TESTS
from sourloam.ledger import fields as f
from sourloam.ledger.bodies import Body
from sourloam.site.quantities import one_of


class BranReceived(Body):
    """Inoculated bran came in."""

    lot: f.Id
    """Id of the lot."""
    mass_kg: f.MassKg
    """How much."""
    strength: f.Log10CfuPerG | None = None
    """Live lactic bacteria, power of ten per gram, if known."""
    source: f.Line | None = None
    """Who made it or gave it."""
    age_days: f.AgeDays | None = None
    """Days since it was packed, as its maker says; a stated strength is that of packing then."""
    moisture: f.Share | None = None
    """Water in it, as a share of its weight, as its maker measured it."""
    carrier: Annotated[str, one_of(*CARRIERS)] | None = None
    """What it is mostly made of."""


class BranMade(BranReceived):
    """A lot of inoculated bran was made here and is ready for use."""


class BranOrdered(Body):
    """Inoculated bran was ordered."""

    mass_kg: f.MassKg
    """How much."""
    note: f.Note | None = None
    """Anything else."""


class OfLot(Body):
    """Base of what happens to a lot."""

    lot: f.Id
    """Id of the lot."""
    note: f.Note | None = None
    """Anything else."""


class BranMixed(OfLot):
    """A batch of inoculated bran was mixed here and closed to sour."""

    mass_kg: f.MassKg
    """Dry bran that it is meant to give."""
    carrier: Annotated[str, one_of(*CARRIERS)] | None = None
    """What it is mostly made of."""
    inoculum: Annotated[str, one_of(*INOCULA)] | None = None
    """What it was started with."""
    of_lot: f.Id | None = None
    """Earlier lot that it was started with."""


class BranDried(OfLot):
    """A soured batch was opened and has dried."""

    moisture: f.Share | None = None
    """Water in it, as a share of its weight, if measured."""


class BranPacked(OfLot):
    """A batch was weighed and packed: from now on it is in store."""

    mass_kg: f.MassKg
    """How much was packed."""
    store_c: f.TemperatureC | None = None
    """How warm it is where it is kept, °C; the room's temperature if left out."""


class BranTested(OfLot):
    """The strength of a lot was tested."""

    test: Annotated[str, one_of(*TESTS)]
    """Which test."""
    result: f.TestResult | None = None
    """Hours until sour, pH, or power of ten per gram; left out: the jar did not sour in time."""
    temperature_c: f.TemperatureC | None = None
    """How warm the jar stood, °C."""

    @model_validator(mode="after")
    def _readable(self) -> Self:
        if self.result is None and self.test != "sour_drop":
            raise ValueError(f"result: missing; write what the {self.test} test showed")
        if self.result is None:
            return self
        least, most = _READABLE[self.test]
        if not least <= self.result <= most:
            raise ValueError(f"result: found {self.result:g}; give {least:g} to {most:g}")
        return self


_READABLE = {"sour_drop": (0.5, 240.0), "slurry": (2.0, 10.0), "jar": (2.0, 10.0),
             "plate": (0.0, 11.0)}  # fmt: skip


class BranHandedOut(OfLot):
    """Some of a lot was given to somebody."""

    mass_kg: f.MassKg
    """How much."""
    to: f.Line
    """To whom: a person or a place."""


class BranRecalled(OfLot):
    """A lot is called back: nobody is to use more of it."""


class BranDiscarded(OfLot):
    """Some of a lot was thrown out."""

    mass_kg: f.MassKg
    """How much."""


class BranWaySet(Body):
    """How bran is made and kept at the place, and what its parts cost there."""

    drying: Annotated[str, one_of(*METHODS)] | None = None
    """How it is dried."""
    humidity: f.Share | None = None
    """Relative humidity of the drying air."""
    inoculum: Annotated[str, one_of(*INOCULA)] | None = None
    """What a batch is started with."""
    sweet: Annotated[str, one_of(*SWEETS)] | None = None
    """Where its sugar comes from."""
    store_c: f.TemperatureC | None = None
    """How warm it is where bran is kept, °C."""
    container_l: f.VolumeL | None = None
    """Volume of a container in which a batch stands closed."""
    carrier_price: f.Price | None = None
    """Of a kg of carrier, in the place's money."""
    sweet_price: f.Price | None = None
    """Of a kg of what is sweet."""
    inoculum_price: f.Price | None = None
    """Of a kg or litre of inoculum."""
    energy_price: f.Price | None = None
    """Of a kWh."""
    bag_price: f.Price | None = None
    """Of the bags for a kg of finished bran."""
