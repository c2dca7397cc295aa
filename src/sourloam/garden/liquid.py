"""The drained liquid: what it holds, how it conducts, how it ages in the jar.

Conductivity is summed over the ions that are there (Kohlrausch), each slowed by the others
(Debye, Hückel, Onsager with the Güntelberg damping). pH follows from the balance of charges.
Valid up to about 0.2 mol/L of ionic strength.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters
from sourloam.vessel.chemistry import molar_mass_kg

Array = NDArray[np.float64]
_LOWEST_PH, _HIGHEST_PH = 1.0, 12.0  # method: brackets of the search for pH
_HALVINGS = 60  # method: leaves the bracket at rounding error


@dataclass(frozen=True)
class Liquid:
    """Contents in kg/m³ (the same as g/L) and pH; arrays ``(members,)`` or ``(members, days)``.

    ``nitrogen`` counts the ammonium.
    """

    lactic: Array
    acetic: Array
    nitrogen: Array
    ammonium_nitrogen: Array
    phosphorus: Array
    potassium: Array
    sodium: Array
    calcium: Array
    ph: Array

    def acids_mol_m3(self, parameters: Parameters) -> Array:
        """Lactic and acetic acid together, mol/m³, ``(members,)``, dissociated or not."""
        lactic = self.lactic / molar_mass_kg("lactic", parameters)
        return np.asarray(lactic + self.acetic / molar_mass_kg("acetic", parameters))


def usual_liquid(parameters: Parameters) -> Liquid:
    """Liquid that nobody has measured or simulated, ``(members,)``."""

    def row(key: str) -> Array:
        return parameters[f"feeding.liquid.{key}"]

    nitrogen = row("nitrogen")
    return Liquid(
        lactic=row("lactic"),
        acetic=row("acetic"),
        nitrogen=nitrogen,
        ammonium_nitrogen=nitrogen * row("ammonium_share"),
        phosphorus=row("phosphorus"),
        potassium=row("potassium"),
        sodium=row("sodium"),
        calcium=row("calcium"),
        ph=row("ph"),
    )


def aged(liquid: Liquid, days: ArrayLike, temperature_c: float, parameters: Parameters) -> Liquid:
    """The liquid so many days after draining, in an open jar; arrays ``(members, days)``.

    Yeasts burn acids at a first-order rate, organic nitrogen turns to ammonium; the strong ions
    stay, so that the pH climbs. Rates are judgements: no measured series was found.
    """
    time = np.atleast_1d(np.asarray(days, dtype=np.float64))[None, :]
    warmth = (temperature_c - parameters["feeding.ageing.reference"]) / 10
    factor = (parameters["feeding.ageing.per_ten"] ** warmth)[:, None] * time
    kept = np.exp(-parameters["feeding.ageing.acid_loss"][:, None] * factor)
    organic = np.exp(-parameters["feeding.ageing.ammonium"][:, None] * factor)
    wide = {k: np.broadcast_to(v[:, None], kept.shape) for k, v in vars(liquid).items()}
    old = Liquid(**wide)
    bound = old.nitrogen - old.ammonium_nitrogen
    ammonium = old.nitrogen - bound * organic
    mass_n = parameters["acids.mass.nitrogen"][:, None] / 1000
    freed = (ammonium - old.ammonium_nitrogen) / mass_n
    strong = _strong_ions(old, parameters) + freed
    now = replace(
        old, lactic=old.lactic * kept, acetic=old.acetic * kept, ammonium_nitrogen=ammonium
    )
    return replace(now, ph=_ph(now, strong, parameters))


def conductivity_ds_m(liquid: Liquid, parameters: Parameters, parts_of_water: float = 0) -> Array:
    """EC at 25 °C, dS/m, alone or thinned with ``parts_of_water`` of pure water.

    Arrays of the shape of the liquid's. The pH is taken to stay that of the liquid.
    """
    share = 1 / (1 + parts_of_water)
    return ion_conductivity_ds_m(
        {name: charge * share for name, charge in _ions(liquid, parameters).items()}, parameters
    )


def ion_conductivity_ds_m(charge_mol_m3: Mapping[str, Array], parameters: Parameters) -> Array:
    """EC at 25 °C, dS/m, of ions given by the charge that each carries, mol/m³.

    Names are those of the rows ``feeding.conductivity``. Calcium is the one ion of two charges.
    """
    strength = sum(c * (2 if name == "calcium" else 1) for name, c in charge_mol_m3.items())
    root = np.sqrt(np.asarray(strength) / 2 / 1000)
    slowed = root / (1 + root)
    total = np.zeros_like(root)
    for name, charge in charge_mol_m3.items():
        free = _column(parameters, f"feeding.conductivity.{name}", charge)
        drag = _column(parameters, "feeding.onsager.drag", charge) / 2
        relaxation = _column(parameters, "feeding.onsager.relaxation", charge)
        total = total + charge * (free - (drag + relaxation * free) * slowed)
    return np.asarray(total / 1000)


def _ions(liquid: Liquid, parameters: Parameters) -> dict[str, Array]:
    """Charge carried by each ion, mol/m³."""

    def moles(element: str, kg_m3: Array) -> Array:
        topic = "feeding" if element in ("phosphorus", "calcium") else "acids"
        return 1000 * kg_m3 / _column(parameters, f"{topic}.mass.{element}", kg_m3)

    sodium = moles("sodium", liquid.sodium)
    lactate, acetate = _dissociated(liquid, liquid.ph, parameters)
    return {
        "potassium": moles("potassium", liquid.potassium),
        "sodium": sodium,
        "ammonium": moles("nitrogen", liquid.ammonium_nitrogen),
        "calcium": 2 * moles("calcium", liquid.calcium),
        "hydrogen": 1000 * 10**-liquid.ph,
        "chloride": sodium * _column(parameters, "feeding.chloride_per_sodium", sodium),
        "phosphate": moles("phosphorus", liquid.phosphorus),
        "lactate": lactate,
        "acetate": acetate,
        "bicarbonate": _bicarbonate(liquid.ph, parameters),
    }


def _dissociated(liquid: Liquid, ph: Array, parameters: Parameters) -> tuple[Array, Array]:
    """Lactate and acetate, mol/m³, at a pH."""
    lactic = liquid.lactic / molar_mass_kg("lactic", parameters)
    acetic = liquid.acetic / molar_mass_kg("acetic", parameters)
    lactate = lactic / (1 + 10 ** (_column(parameters, "acids.pka.lactic", ph) - ph))
    acetate = acetic / (1 + 10 ** (_column(parameters, "acids.pka.acetic", ph) - ph))
    return np.asarray(lactate), np.asarray(acetate)


def _bicarbonate(ph: Array, parameters: Parameters) -> Array:
    constant = _column(parameters, "feeding.carbonate.constant", ph)
    return np.asarray(
        1000 * _column(parameters, "feeding.carbonate.co2", ph) * 10 ** (ph - constant)
    )


def _strong_ions(liquid: Liquid, parameters: Parameters) -> Array:
    """Charge that the weak acids balance at the liquid's own pH, mol/m³."""
    return _weak(liquid, liquid.ph, parameters)


def _weak(liquid: Liquid, ph: Array, parameters: Parameters) -> Array:
    lactate, acetate = _dissociated(liquid, ph, parameters)
    return np.asarray(lactate + acetate + _bicarbonate(ph, parameters) - 1000 * 10**-ph)


def _ph(liquid: Liquid, strong: Array, parameters: Parameters) -> Array:
    """pH at which the weak acids balance the strong ions; halving, as the sum only rises."""
    low = np.full(strong.shape, _LOWEST_PH)
    high = np.full(strong.shape, _HIGHEST_PH)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        too_low = _weak(liquid, middle, parameters) < strong
        low, high = np.where(too_low, middle, low), np.where(too_low, high, middle)
    return np.asarray((low + high) / 2)


def _column(parameters: Parameters, key: str, like: Array) -> Array:
    """A parameter shaped to go with an array whose first axis is the members."""
    return np.asarray(parameters[key].reshape((-1,) + (1,) * (like.ndim - 1)))
