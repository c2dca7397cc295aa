"""The same scraps in a landfill, an incinerator, a compost works and a heap at home."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters
from sourloam.impact.decay import Landfill
from sourloam.impact.field import SPANS, carbon_left, methane_per_carbon, nitrous_oxide
from sourloam.impact.kept import Kept
from sourloam.impact.place import Surroundings
from sourloam.impact.route import Emission, Route, at_once

Array = NDArray[np.float64]
Site = Literal["managed", "semi_aerobic", "deep", "shallow", "unknown"]
Wells = Literal["unknown", "none", "wells"]
EVIDENCE: tuple[str, ...] = ("impact_waste", "impact.mole", "impact.fertiliser.making")
_GARDEN = ("nitrogen", "phosphorus", "potassium")


@dataclass(frozen=True)
class Bin:
    """Where the bin goes: landfill or incinerator; sort of landfill, gas wells; the lorry's way in
    km if known."""

    to: Literal["landfill", "incinerator"] = "landfill"
    landfill: Site = "managed"
    wells: Wells = "unknown"
    haul_km: float | None = None


def landfill_of(
    carbon_kg: Array, bin_: Bin, there: Surroundings, p: Parameters
) -> tuple[Landfill, tuple[str, ...]]:
    """The landfill that takes ``carbon_kg``, and the evidence behind it.

    Only a managed landfill has a cover that oxidises and wells that catch gas.
    """
    covered = bin_.landfill in ("managed", "semi_aerobic")
    wells = f"impact_waste.captured{'' if bin_.wells == 'unknown' else '.' + bin_.wells}"
    nothing = np.zeros(p.members)
    made = Landfill(
        carbon_kg=carbon_kg * p["impact_waste.doc_share"],
        decays=p["impact_waste.docf"],
        airless=p[f"impact_waste.mcf.{bin_.landfill}"],
        methane_share=p["impact_waste.methane_share"],
        rate=there.decay_rate(p),
        caught=p[wells] if covered else nothing,
        oxidised=p["impact_waste.oxidised"] if covered else nothing,
        methane_per_carbon=methane_per_carbon(p),
    )
    zone = f"{'wet' if np.mean(there.wet) >= 0.5 else 'dry'}_"
    zone += "tropical" if np.mean(there.tropical) >= 0.5 else "temperate"
    sources = [
        "impact_waste.docf",
        f"impact_waste.mcf.{bin_.landfill}",
        "impact_waste.methane_share",
        f"impact_waste.rate.{zone}",
        *(["impact_waste.oxidised", wells] if covered else []),
    ]
    return made, tuple(sources)


def landfill(kept: Kept, bin_: Bin, there: Surroundings, p: Parameters, years: int) -> Route:
    """All the scraps in a landfill."""
    made, sources = landfill_of(kept.carbon_kg, bin_, there, p)
    decayed = made.decayed_kg(max(*SPANS, years))
    stays = kept.carbon_kg[:, None] - np.cumsum(decayed, axis=1)
    methane = made.methane_kg(years)
    as_methane = methane.sum(axis=1) / methane_per_carbon(p)
    gone = decayed[:, : years + 1].sum(axis=1)
    return Route(
        "landfill",
        "landfill",
        (
            Emission("methane from the landfill", "ch4", methane, sources),
            haul(kept.scraps_kg, bin_, p),
        ),
        {
            "air, as methane": as_methane,
            "air, as carbon dioxide": gone - as_methane,
            "landfill": kept.carbon_kg - gone,
        },
        {"landfill and its water": kept.nitrogen_kg},
        _nothing(kept),
        np.zeros(p.members),
        stays[:, list(SPANS)],
        np.zeros(p.members),
    )


def incinerator(kept: Kept, bin_: Bin, there: Surroundings, p: Parameters, years: int) -> Route:
    """All the scraps burnt with other waste. ``there`` and ``years`` don't matter to it."""
    scraps = kept.scraps_kg
    nothing = np.zeros(p.members)
    return Route(
        "incinerator",
        "incinerator",
        (
            at_once(
                "nitrous oxide of burning",
                "n2o",
                scraps * p["impact_waste.burn.n2o"],
                "impact_waste.burn.n2o",
            ),
            at_once(
                "methane of burning",
                "ch4",
                scraps * p["impact_waste.burn.ch4"],
                "impact_waste.burn.ch4",
            ),
            haul(scraps, bin_, p),
        ),
        {"air, as carbon dioxide": kept.carbon_kg},
        {"air": kept.nitrogen_kg},
        _nothing(kept),
        nothing,
        np.zeros((p.members, len(SPANS))),
        scraps * p["impact_waste.burn.power"],
    )


def compost_works(kept: Kept, bin_: Bin, there: Surroundings, p: Parameters, years: int) -> Route:
    """All the scraps collected and composted in a works."""
    extra = (
        at_once(
            "machines of the works",
            "co2e",
            kept.scraps_kg * p["impact_waste.compost.machines"],
            "impact_waste.compost.machines",
        ),
        haul(kept.scraps_kg, bin_, p),
    )
    return _compost(kept, "compost_works", "compost works", "compost", extra, there, p)


def heap(kept: Kept, bin_: Bin, there: Surroundings, p: Parameters, years: int) -> Route:
    """All the scraps on a heap or in a compost bin at home."""
    return _compost(kept, "heap", "compost heap at home", "heap", (), there, p)


def well_run_heap(kept: Kept, bin_: Bin, there: Surroundings, p: Parameters, years: int) -> Route:
    """The same on a heap that is airy, mixed and not too wet."""
    return _compost(kept, "well_run_heap", "well-run compost heap", "well_run", (), there, p)


def _compost(
    kept: Kept,
    id_: str,
    name: str,
    gases: str,
    extra: tuple[Emission, ...],
    there: Surroundings,
    p: Parameters,
) -> Route:
    nitrogen = kept.nitrogen_kg * p["impact_waste.compost_keeps.nitrogen"]
    carbon = kept.carbon_kg * p["impact_waste.compost_keeps.carbon"]
    usable = nitrogen * p["impact_waste.compost_nitrogen_available"]
    methane = kept.scraps_kg * p[f"impact_waste.{gases}.ch4"]
    nitrous = kept.scraps_kg * p[f"impact_waste.{gases}.n2o"]
    as_methane = np.minimum(methane / methane_per_carbon(p), kept.carbon_kg - carbon)
    left = carbon_left(
        carbon,
        p["impact_waste.compost_decomposable"],
        p["impact_waste.compost_humus"],
        there,
        p,
    )
    return Route(
        id_,
        name,
        (
            at_once("methane of composting", "ch4", methane, f"impact_waste.{gases}.ch4"),
            at_once("nitrous oxide of composting", "n2o", nitrous, f"impact_waste.{gases}.n2o"),
            nitrous_oxide(nitrogen, np.ones(p.members), there, p),
            *extra,
        ),
        {
            "air, as methane": as_methane,
            "air, as carbon dioxide": kept.carbon_kg - carbon - as_methane,
            "garden soil": carbon,
        },
        {"garden soil": nitrogen, "air and water": kept.nitrogen_kg - nitrogen},
        {
            "nitrogen": nitrogen,
            "phosphorus": kept.phosphorus_kg * p["impact_waste.compost_keeps.phosphorus"],
            "potassium": kept.potassium_kg * p["impact_waste.compost_keeps.potassium"],
        },
        usable,
        left,
        usable * p["impact.fertiliser.making"],
    )


def haul(scraps_kg: Array, bin_: Bin, p: Parameters) -> Emission:
    """What the lorry gives off that carries ``scraps_kg`` ``(members,)`` away, kg CO2e, all at
    once."""
    way = p["impact_waste.haul_km"] if bin_.haul_km is None else bin_.haul_km
    known = () if bin_.haul_km is not None else ("impact_waste.haul_km",)
    return at_once(
        "the bin lorry",
        "co2e",
        scraps_kg * way * p["impact_waste.haul_factor"],
        *known,
        "impact_waste.haul_factor",
    )


def _nothing(kept: Kept) -> dict[str, Array]:
    return {name: np.zeros(kept.members) for name in _GARDEN}
