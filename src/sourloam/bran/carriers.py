"""What inoculated bran is made of: carriers as bought, sources of sugar, kinds of inoculum."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps
from sourloam.evidence import Parameters
from sourloam.scraps.batch import COLUMNS, INDEX, Batch
from sourloam.scraps.classes import composition

Floats = NDArray[np.float64]
#: Carriers that can be chosen, and how they are called.
CARRIERS: dict[str, str] = {
    "wheat_bran": "wheat bran",
    "rice_bran": "rice bran",
    "rice_husk": "rice husk",
    "spent_grain": "dried brewery grain",
    "sawdust": "softwood sawdust",
    "coffee_chaff": "coffee chaff",
}
#: The same where somebody says how wet it comes: then it need not be dry.
AS_IT_COMES: dict[str, str] = {"spent_grain": "brewery grain"}
#: Sources of sugar.
SWEETS: dict[str, str] = {
    "molasses": "molasses",
    "sugar": "sugar",
    "whey": "whey",
    "none": "no sugar",
}
#: Kinds of inoculum.
INOCULA: dict[str, str] = {
    "bought": "bought liquid inoculum",
    "serum": "own sour serum",
    "batch": "bran of an earlier batch",
}
#: Allergens that a label must name, by carrier, sweet or inoculum.
ALLERGENS: dict[str, str] = {
    "wheat_bran": "wheat (gluten)",
    "spent_grain": "barley (gluten)",
    "whey": "milk",
    "serum": "milk",
}
EVIDENCE: tuple[str, ...] = (
    "bran_carriers",
    *(f"scraps.{name}" for name in scraps.CARRIERS),
)
_OWN = ("water", "sugars", "starch", "protein", "fat", "ash", "k", "p", "buffer", "density")
_PLAIN = ("ph", "lactic", "entero", "na", "ca", "acids")
_PER_KG = 1000


@dataclass(frozen=True)
class Mixture:
    """Carriers as bought, share of the mass of each; ``moisture`` overrides the usual one."""

    shares: Mapping[str, float]
    moisture: float | None = None

    def __post_init__(self) -> None:
        unknown = [name for name in self.shares if name not in CARRIERS]
        if unknown:
            raise ValueError(f"{unknown[0]}: no carrier; choose from {', '.join(CARRIERS)}")
        if not self.shares or min(self.shares.values()) <= 0:
            raise ValueError("shares of carriers must be above 0")
        if abs(sum(self.shares.values()) - 1) > 1e-6:
            raise ValueError(f"shares of carriers add up to {sum(self.shares.values()):g}, not 1")
        if self.moisture is not None and not 0 <= self.moisture < 1:
            raise ValueError(f"moisture of the carrier {self.moisture:g}: give 0 to 1")

    @property
    def words(self) -> str:
        """The carriers in words, the largest share first."""
        return " and ".join(self.called(name) for name, _ in self.ordered)

    def called(self, name: str) -> str:
        """One carrier in words."""
        stated = {} if self.moisture is None else AS_IT_COMES
        return stated.get(name, CARRIERS[name])

    @property
    def ordered(self) -> list[tuple[str, float]]:
        """Each carrier with its share, the largest first."""
        return sorted(self.shares.items(), key=lambda carrier: -carrier[1])


def plain_kg(mixture: Mixture, parameters: Parameters) -> Batch:
    """One kg of the carriers as bought, not yet soured: amounts (members, COLUMNS).

    Every column adds up over the carriers. A moisture of the person's own replaces the usual
    water; the dry matter keeps its make-up.
    """
    amounts = sum(
        share * _carrier(name, parameters).amounts for name, share in mixture.shares.items()
    )
    batch = Batch(np.asarray(amounts))
    if mixture.moisture is None:
        return batch
    scaled = batch.times((1 - mixture.moisture) / batch.dry_kg).amounts.copy()
    scaled[:, INDEX["water"]] = mixture.moisture
    return Batch(scaled)


def sorption(mixture: Mixture, parameters: Parameters) -> Floats:
    """Moisture (dry basis) against wheat's at the same activity, (members,), by dry mass."""
    dry = {n: s * (1 - _water(n, parameters)) for n, s in mixture.shares.items()}
    taken = sum(dry[n] * parameters[f"bran_carriers.{n}.sorption"] for n in dry)
    return np.asarray(taken / sum(dry.values()))


def loose_density(mixture: Mixture, parameters: Parameters) -> Floats:
    """Loose density of the dry carriers, kg/m3: volumes add up, (members,)."""
    volume = sum(share / _density(name, parameters) for name, share in mixture.shares.items())
    return np.asarray(1 / volume)


def sweet_kg(kind: str, parameters: Parameters) -> Batch:
    """One kg of a source of sugar: amounts (members, COLUMNS); "none" weighs nothing."""
    amounts = np.zeros((parameters.members, len(COLUMNS)))
    if kind == "none":
        return Batch(amounts)
    own = {part: parameters[f"bran_carriers.{kind}.{part}"] for part in ("water", "sugars", "k")}
    scale = (1 - own["water"]) / np.maximum(own["sugars"] + own["k"], 1 - own["water"])
    amounts[:, INDEX["water"]] = own["water"]
    amounts[:, INDEX["sugars"]] = own["sugars"] * scale
    amounts[:, INDEX["ash"]] = amounts[:, INDEX["K"]] = own["k"] * scale
    rest = 1 - amounts[:, : INDEX["ash"] + 1].sum(axis=1)
    amounts[:, INDEX["other"]] = np.maximum(rest, 0.0)
    return Batch(amounts)


def _carrier(name: str, parameters: Parameters) -> Batch:
    """One kg of one carrier, with the pH and the flora of what is not yet soured."""
    return composition((name,), _as_scraps(name, parameters)).total(axis=-1)


def _as_scraps(name: str, parameters: Parameters) -> Parameters:
    """The carrier's values under the ids that the scraps room reads."""
    plain = {part: parameters[f"bran_carriers.plain.{part}"] for part in _PLAIN}
    values = {f"scraps.{name}.{part}": value for part, value in plain.items()}
    if name in scraps.CARRIERS:
        kept = {k: v for k, v in parameters.items() if k.startswith(f"scraps.{name}.")}
        for part in ("ph", "lactic", "entero"):
            kept[f"scraps.{name}.{part}"] = plain[part]
        return Parameters(kept, parameters.members)
    own = {part: parameters[f"bran_carriers.{name}.{part}"] for part in _OWN}
    named = sum(own[p] for p in ("water", "sugars", "starch", "protein", "fat", "ash"))
    own |= {"fibre": np.maximum(1 - named - plain["acids"], 0.0)}
    own |= {"other": np.zeros(parameters.members)}
    values |= {f"scraps.{name}.{part}": value for part, value in own.items()}
    return Parameters(values, parameters.members)


def _water(name: str, parameters: Parameters) -> Floats:
    return parameters[f"{_topic(name)}.{name}.water"]


def _density(name: str, parameters: Parameters) -> Floats:
    return parameters[f"{_topic(name)}.{name}.density"]


def _topic(name: str) -> str:
    return "scraps" if name in scraps.CARRIERS else "bran_carriers"
