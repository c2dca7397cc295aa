"""The claims desk: popular statements held against this very case."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import Parameters, book
from sourloam.impact.contract import Claim, Said, Verdict
from sourloam.impact.reckoning import Party, Reckoned
from sourloam.impact.summing import range_of
from sourloam.impact.turnaround import Turnaround
from sourloam.numerics import Range

Array = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = ("impact_claims", "impact.tell")
_WEEK = 7
_ALIKE = (
    "After the rest the scraps are soured, not broken down; the soil does that afterwards, and "
    "both count. The heap compared with is one that nobody turns: a well-aired pile was through in "
    "{weeks:.0f} weeks. The weeks of filling are left out on both sides."
)
#: Why, by how much is known of rest and soil here.
FASTER = {
    "logged": "By the log {rest:.0f} days ({rest_low:.0f} to {rest_high:.0f}) go by from the last "
    "layer to burial; the soil here, at {soil_c:.0f} °C on the days of burying, then needs "
    "{soil:.0f} days ({soil_low:.0f} to {soil_high:.0f}) until sowing. " + _ALIKE,
    "rested": "By the log {rest:.0f} days ({rest_low:.0f} to {rest_high:.0f}) go by from the last "
    "layer to emptying; soil elsewhere then needs {soil:.0f} days ({soil_low:.0f} to "
    "{soil_high:.0f}), for here no ground is described. " + _ALIKE,
    "ground": "A usual rest takes {rest:.0f} days ({rest_low:.0f} to {rest_high:.0f}); the soil "
    "here, at {soil_c:.0f} °C on the days of burying, then needs {soil:.0f} days ({soil_low:.0f} "
    "to {soil_high:.0f}) until sowing. " + _ALIKE,
    "usual": "A usual rest takes {rest:.0f} days ({rest_low:.0f} to {rest_high:.0f}), soil "
    "elsewhere {soil:.0f} days ({soil_low:.0f} to {soil_high:.0f}), for here no ground is "
    "described. " + _ALIKE,
}


@dataclass(frozen=True)
class Case:
    """What the statements are held against."""

    parties: tuple[Party, ...]
    reckoned: Reckoned
    turnaround: Turnaround

    @property
    def parameters(self) -> Parameters:
        """Those of the first place: what statements are about is the same everywhere."""
        return self.parties[0].parameters

    def whole(self, name: str) -> Array:
        """Sum over the places of one amount of ``Kept``, ``(members,)``."""
        return np.asarray(np.sum([getattr(x.kept, name) for x in self.parties], axis=0))


def claims(case: Case) -> tuple[Claim, ...]:
    """Every statement with its verdict, figure, reason and sources."""
    return (
        _faster(case),
        _nutrients(case),
        _nutrients_per_kg(case),
        _minerals(case),
        _methane(case),
        _lost(case),
        _landfill(case),
        _climate_against_compost(case),
        _soil_carbon(case),
        _smell(),
        _microbes(),
    )


def verdict_of(chance: float) -> Verdict:
    """Supported from a chance that counts as sure, not supported below one less it."""
    sure = book()["impact.tell.sure"].value
    if chance >= sure:
        return "supported"
    return "not supported" if 1 - chance >= sure else "cannot be told"


def _held(
    holds: NDArray[np.bool_],
    *,
    id: str,
    statement: str,
    figure: Range,
    figure_words: str,
    reason: Said,
    sources: tuple[str, ...],
) -> Claim:
    """A statement judged by the share of the members for which it holds."""
    chance = float(np.mean(holds))
    return Claim(
        id=id,
        statement=statement,
        verdict=verdict_of(chance),
        figure=figure,
        figure_words=figure_words,
        chance=chance,
        reason=reason,
        sources=sources,
    )


def _faster(case: Case) -> Claim:
    p, own = case.parameters, case.turnaround
    ratio = p["impact_waste.compost_weeks"] * _WEEK / (own.rest_days + own.soil_days)
    times = book()["impact_claims.times_faster"].value
    weeks = book()["impact_waste.aired_weeks"].value
    return _held(
        ratio >= times,
        id="faster",
        statement="It is ten times faster than composting.",
        figure=range_of(ratio, "times"),
        figure_words="a neglected heap's time over that of rest and soil together",
        reason=Said(text=FASTER[own.known], numbers=own.told | {"weeks": weeks}),
        sources=("impact_waste.compost_weeks", "impact_waste.aired_weeks", *own.sources),
    )


def _nutrients(case: Case) -> Claim:
    own = case.reckoned.ferment.to_garden["nitrogen"]
    heap = case.reckoned.other("heap").to_garden["nitrogen"]
    ratio = own / heap
    return _held(
        ratio >= book()["impact_claims.times_nutrients"].value,
        id="nutrients",
        statement="It brings twice the nitrogen of compost to the garden, from the same scraps.",
        figure=range_of(ratio, "times"),
        figure_words="nitrogen to the garden, fermented over composted",
        reason=Said(
            text="Compost loses nitrogen to the air while it heats; a closed vessel loses little. "
            "That is owed to the lid, not to the inoculum. How much a vessel of kitchen "
            "scraps keeps has not been measured in any reviewed study that we found."
        ),
        sources=(
            "impact_waste.compost_keeps.nitrogen",
            "impact.vessel.nitrogen_kept",
            "impact.vessel.liquid_used",
        ),
    )


def _nutrients_per_kg(case: Case) -> Claim:
    p, reckoned = case.parameters, case.reckoned
    scraps = case.whole("scraps_kg")
    ferment_kg = np.sum(
        [(x.kept.scraps_kg + x.kept.bran_kg) * x.kept.shares.ferment for x in case.parties], axis=0
    )
    own = case.whole("nitrogen_kg") * p["impact.vessel.nitrogen_kept"] / ferment_kg
    compost = reckoned.other("heap").to_garden["nitrogen"]
    compost = compost / (scraps * p["impact_waste.compost_keeps.mass"])
    ratio = own / compost
    return _held(
        ratio >= book()["impact_claims.times_nutrients"].value,
        id="nutrients_per_kg",
        statement="A kilogram of ferment holds twice the nutrients of a kilogram of compost.",
        figure=range_of(ratio, "times"),
        figure_words="nitrogen in a kg of ferment over that in a kg of compost",
        reason=Said(
            text="Ferment is mostly water and weighs nearly what went in; compost shrinks."
        ),
        sources=("impact_waste.compost_keeps.nitrogen", "impact_waste.compost_keeps.mass"),
    )


def _minerals(case: Case) -> Claim:
    own = case.reckoned.ferment.to_garden["phosphorus"]
    ratio = own / case.reckoned.other("heap").to_garden["phosphorus"]
    return _held(
        ratio >= book()["impact_claims.times_nutrients"].value,
        id="minerals",
        statement="It brings twice the phosphorus of compost to the garden.",
        figure=range_of(ratio, "times"),
        figure_words="phosphorus to the garden, fermented over composted",
        reason=Said(text="Phosphorus does not leave by the air: both ways keep nearly all of it."),
        sources=("impact_waste.compost_keeps.phosphorus", "impact.vessel.liquid_used"),
    )


def _methane(case: Case) -> Claim:
    ferment = case.reckoned.ferment
    names = ("methane from the vessels", "methane from the trench")
    methane = np.sum([e.kg.sum(axis=1) for e in ferment.emissions if e.name in names], axis=0)
    per_kg = 1e6 * methane / case.whole("scraps_kg")
    return _held(
        per_kg <= 0,
        id="methane",
        statement="It gives off no methane.",
        figure=range_of(per_kg, "mg/kg"),
        figure_words="methane from vessel and trench, for each kg of scraps",
        reason=Said(
            text="Sourness stops the makers of methane, and little was found; but little is not "
            "none: it was found in every treatment of two studies. The trench has never been "
            "measured; most of this range is our judgement."
        ),
        sources=("impact.vessel.ch4", "impact.soil.pit_ch4", "impact_claims.silage_gas"),
    )


def _lost(case: Case) -> Claim:
    ferment = case.reckoned.ferment
    into = case.whole("carbon_kg") + case.whole("bran_carbon_kg")
    lost = 1 - ferment.soil_carbon[:, 0] / into
    almost = book()["impact_claims.almost"].value
    return _held(
        lost < almost,
        id="nothing_lost",
        statement="Nothing is lost: all the carbon ends up in the soil.",
        figure=range_of(100 * lost, "%"),
        figure_words="carbon that is gone a year after burial",
        reason=Said(
            text="The vessel itself loses little. Life in the soil breathes out most of the "
            "rest within "
            "a year, as it does with any fresh matter: the loss is put off, not avoided."
        ),
        sources=("turnover.share.decomposable", "impact.soil.moisture", "turnover.rate.dpm"),
    )


def _landfill(case: Case) -> Claim:
    return _cooler(
        case,
        "landfill",
        "It is better for the climate than the landfill.",
        "Food in a landfill makes methane for years. What is caught there decides how much; with "
        "the best gas wells the saving shrinks but seldom ends.",
        ("impact_waste.docf", "impact_waste.captured", "impact_waste.oxidised"),
    )


def _climate_against_compost(case: Case) -> Claim:
    return _cooler(
        case,
        "well_run_heap",
        "It is better for the climate than a well-run compost heap.",
        "A heap that is airy and not too wet gives off little. What a trench of ferment gives off "
        "has never been measured.",
        (
            "impact_waste.well_run.ch4",
            "impact_waste.well_run.n2o",
            "impact.soil.pit_n2o",
            "impact.soil.pit_ch4",
        ),
    )


def _cooler(
    case: Case, against: str, statement: str, reason: str, sources: tuple[str, ...]
) -> Claim:
    saved = case.reckoned.saved_kg(case.reckoned.other(against))
    return _held(
        saved > 0,
        id=f"climate_{against}",
        statement=statement,
        figure=range_of(1000 * saved / case.whole("scraps_kg"), "kg CO2e/t"),
        figure_words="saved for each tonne of scraps",
        reason=Said(text=reason),
        sources=sources,
    )


def _soil_carbon(case: Case) -> Claim:
    more = case.reckoned.ferment.soil_carbon[:, -1] - case.reckoned.other("heap").soil_carbon[:, -1]
    return _held(
        more > 0,
        id="soil_carbon",
        statement="It leaves more carbon in the soil than composting the same scraps.",
        figure=range_of(1000 * more / case.whole("scraps_kg"), "g/kg"),
        figure_words="carbon more in the soil after 20 years, for each kg of scraps",
        reason=Said(
            text="Compost loses its carbon before it reaches the soil, ferment afterwards. Bran "
            "brings "
            "some carbon too. After twenty years little of either is left, and the difference is "
            "small beside what is not known."
        ),
        sources=(
            "turnover.share.decomposable",
            "impact_waste.compost_keeps.carbon",
            "impact_waste.compost_humus",
        ),
    )


def _smell() -> Claim:
    return Claim(
        id="smell",
        statement="It doesn't smell.",
        verdict="not supported",
        figure=None,
        figure_words="not computed for your case; published tests only",
        chance=None,
        reason=Said(
            text="Closed and sour it smells less than open scraps; it smells sour when opened, "
            "and foul "
            "when it fails. In one comparison of aids against odour, newspaper did better than "
            "inoculated bran."
        ),
        sources=("impact_claims.smell_measured",),
    )


def _microbes() -> Claim:
    return Claim(
        id="microbes",
        statement="It works because of special microbes.",
        verdict="cannot be told",
        figure=None,
        figure_words="not computed for your case; published tests only",
        chance=None,
        reason=Said(
            text="Enough live lactic bacteria make souring faster and more even in silage. With "
            "kitchen "
            "scraps, sterile bran gave the same gases in one study and the same plant growth in "
            "another."
        ),
        sources=("impact_claims.microbes_measured",),
    )
