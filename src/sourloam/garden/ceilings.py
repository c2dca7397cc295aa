"""What a bed may be given in a year: one rule for the plan of a year and for that of the beds.

Nitrogen has a ceiling everywhere: the usual one, or the gardener's own. Phosphorus has one only
where the gardener states it; else what harvests carry away is a measure to be told of, for what
lies beyond it stays in the soil and feeds the crops of later years.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from sourloam.evidence import Parameters
from sourloam.garden.beds import Bed
from sourloam.garden.crops import Crop

_GRAM = 1000


def nitrogen_ceiling_kg_m2(bed: Bed, parameters: Parameters) -> float:
    """Most nitrogen that may still be buried in a year, kg/m²: what was given counts."""
    own, usual = bed.nitrogen_limit_kg_m2, _middle("ground.nitrogen.usual", parameters) / _GRAM
    return max((usual if own is None else own) - bed.given_kg_m2, 0.0)


def phosphorus_ceiling_kg_m2(bed: Bed) -> float:
    """Most phosphorus a year, kg/m²; no bound (inf) where the gardener states none."""
    return float("inf") if bed.phosphorus_limit_kg_m2 is None else bed.phosphorus_limit_kg_m2


def phosphorus_carried_kg_m2(bed: Bed, crops: Mapping[str, Crop], parameters: Parameters) -> float:
    """Phosphorus that harvests carry away in a year, kg/m²: the usual amount, or that of the
    bed's own crops if it is more."""
    own = sum(
        float(np.median(crops[bed.plantings[i].crop].removal_kg_m2["phosphorus"]))
        for i in bed.of_a_year()
    )
    return max(_middle("beds.phosphorus.limit", parameters) / _GRAM, own)


def _middle(key: str, parameters: Parameters) -> float:
    return float(np.median(parameters[key]))
