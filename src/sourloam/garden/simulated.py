"""What a simulated vessel leaves for the garden: its drained liquid and its finished ferment."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.evidence import Parameters
from sourloam.garden.liquid import Liquid, usual_liquid
from sourloam.soil import Buried, Portion
from sourloam.vessel import Drained

Array = NDArray[np.float64]
_LITRES = 1000  # method: kg/m3 of a thin watery liquid, within 3 % of what it weighs
_ACIDS = ("lactic", "acetic")
_LEAST_KG = 0.05  # method: from less than a cupful no make-up can be told


def simulated_liquid(drained: Drained, ph: Array, parameters: Parameters) -> Liquid:
    """The liquid that a simulated vessel drained, ``(members,)``; all arrays hold as many.

    ``ph`` is that of the ferment it left. Members that drained less than a cupful have the usual
    liquid. Acids count as usual where that is more: what drains early is hardly sour yet and sours
    on its way, and too little thinning harms, too much does not.
    """
    usual = usual_liquid(parameters)
    enough = drained.liquid_kg >= _LEAST_KG
    volume_m3 = np.where(enough, drained.liquid_kg, 1.0) / _LITRES

    def held(name: str) -> Array:
        mass = getattr(drained, f"{name}_kg")
        return np.asarray(np.where(enough, mass / volume_m3, getattr(usual, name)))

    names = [field.name for field in fields(Liquid) if field.name != "ph"]
    found = {name: held(name) for name in names}
    for acid in _ACIDS:
        found[acid] = np.maximum(found[acid], getattr(usual, acid))
    return Liquid(**found, ph=np.where(enough, ph, usual.ph))


def simulated_portion(ferment: Buried, fresh_kg: ArrayLike) -> Portion:
    """So many kg, ``(members,)``, of a simulated vessel's ferment; ValueError if there is none."""
    one = Portion.of(ferment, 1.0)
    mass = np.asarray(fresh_kg, dtype=np.float64)
    scaled = {f.name: getattr(one, f.name) * mass for f in fields(one) if f.name != "ph"}
    return replace(one, **scaled)
