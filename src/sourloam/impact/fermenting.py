"""The scraps soured in vessels, and their ferment and liquid given to soil."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.impact.elsewhere import Bin, incinerator, landfill
from sourloam.impact.field import (
    carbon_left,
    methane_per_carbon,
    nitrous_oxide,
    nitrous_per_nitrogen,
)
from sourloam.impact.kept import Kept
from sourloam.impact.place import Surroundings
from sourloam.impact.route import Emission, Route, at_once

Array = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = ("impact.vessel", "impact.bran", "impact.soil", "impact.fertiliser")


def ferment(kept: Kept, bin_: Bin, there: Surroundings, p: Parameters, years: int) -> Route:
    """Bran, vessels, their gases, the soil's gases, and what went to the bin after all."""
    sound = 1 - kept.binned
    nitrogen = _nitrogen(kept, p)
    carbon = _carbon(kept, bin_, there, p, years)
    own = kept.nitrogen_kg / (kept.nitrogen_kg + kept.bran_nitrogen_kg)
    usable = nitrogen["garden soil"] * own * p["impact.fertiliser.available"]
    drained = 1 - kept.liquid_used
    return Route(
        "ferment",
        "fermented and buried",
        (
            *_making(kept, p),
            *_gases(kept, nitrogen, carbon, there, p),
            *_binned(kept, bin_, there, p, years),
        ),
        carbon,
        nitrogen,
        {
            "nitrogen": nitrogen["garden soil"] * own,
            "phosphorus": kept.phosphorus_kg
            * sound
            * (1 - drained * kept.shares.phosphorus_liquid),
            "potassium": kept.potassium_kg * sound * (1 - drained * kept.shares.potassium_liquid),
        },
        usable,
        carbon_left(
            carbon["garden soil"], p["turnover.share.decomposable"], np.zeros(p.members), there, p
        ),
        usable * p["impact.fertiliser.making"],
    )


def _nitrogen(kept: Kept, p: Parameters) -> dict[str, Array]:
    """Where the nitrogen of scraps and bran goes; adds up to what went in."""
    into = kept.nitrogen_kg + kept.bran_nitrogen_kg
    held = into * p["impact.vessel.nitrogen_kept"]
    sound = held * (1 - kept.binned)
    drain = sound * kept.shares.nitrogen_liquid * (1 - kept.liquid_used)
    return {
        "garden soil": sound - drain,
        "drain": drain,
        "bin": held * kept.binned,
        "air": into - held,
    }


def _carbon(
    kept: Kept, bin_: Bin, there: Surroundings, p: Parameters, years: int
) -> dict[str, Array]:
    """The same for the carbon; what the soil breathes out later is told as carbon left."""
    into = kept.carbon_kg + kept.bran_carbon_kg
    gas = into * kept.shares.carbon_gas
    liquid = into * kept.shares.carbon_liquid
    solid = into - gas - liquid
    sound = 1 - kept.binned
    drain = liquid * sound * (1 - kept.liquid_used)
    return {
        "garden soil": (solid + liquid) * sound - drain,
        "drain": drain,
        "bin": (solid + liquid) * kept.binned,
        "air": gas,
    }


def _making(kept: Kept, p: Parameters) -> tuple[Emission, ...]:
    """Bran, its molasses and drying; the vessels; a car driven for the scraps."""
    bran = kept.bran_kg
    molasses = bran * p["impact.bran.molasses_dose"] * p["impact.bran.molasses"]
    kwh = bran * p["impact.bran.dried_water"] * p["impact.bran.drying"]
    return (
        at_once(
            "growing and milling the bran",
            "co2e",
            bran * p["impact.bran.carrier"],
            "impact.bran.carrier",
        ),
        at_once("molasses in the bran", "co2e", molasses, "impact.bran.molasses"),
        at_once(
            "drying the bran",
            "co2e",
            kwh * p["impact.bran.power"],
            "impact.bran.drying",
            "impact.bran.power",
        ),
        at_once(
            "making the vessels",
            "co2e",
            kept.scraps_kg * p["impact.vessel.plastic"],
            "impact.vessel.plastic",
        ),
        at_once("driving", "co2e", kept.driven_km * p["impact.drive"], "impact.drive"),
    )


def _gases(
    kept: Kept,
    nitrogen: dict[str, Array],
    carbon: dict[str, Array],
    there: Surroundings,
    p: Parameters,
) -> tuple[Emission, ...]:
    """Methane and nitrous oxide of vessel, soil and drain."""
    soil = nitrous_oxide(nitrogen["garden soil"], p["impact.soil.pit_n2o"], there, p)
    soil = Emission(soil.name, soil.gas, soil.kg, (*soil.sources, "impact.soil.pit_n2o"))
    pit = carbon["garden soil"] * p["impact.soil.pit_ch4"] * methane_per_carbon(p)
    sewer = nitrogen["drain"] * p["impact.soil.sewer_n2o"] * nitrous_per_nitrogen(p)
    return (
        at_once(
            "methane from the vessels",
            "ch4",
            kept.scraps_kg * p["impact.vessel.ch4"],
            "impact.vessel.ch4",
        ),
        at_once(
            "nitrous oxide from the vessels",
            "n2o",
            kept.scraps_kg * p["impact.vessel.n2o"],
            "impact.vessel.n2o",
        ),
        soil,
        at_once("methane from the trench", "ch4", pit, "impact.soil.pit_ch4"),
        at_once("liquid down a drain", "n2o", sewer, "impact.soil.sewer_n2o"),
    )


def _binned(
    kept: Kept, bin_: Bin, there: Surroundings, p: Parameters, years: int
) -> tuple[Emission, ...]:
    """Ferment that failed and went where the bin goes: its scraps saved nothing."""
    route = (landfill if bin_.to == "landfill" else incinerator)(kept, bin_, there, p, years)
    return tuple(
        Emission(
            f"what went to the bin after all: {one.name}",
            one.gas,
            one.kg * kept.binned[:, None],
            ("impact.vessel.binned", *one.sources),
        )
        for one in route.emissions
    )
