"""Inoculated bran: by layer, by month, and why so much."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.planning.case import Case, Kind
from sourloam.planning.contract import Bran, LayerBran, MonthAmount
from sourloam.planning.dosing import Dosing, dosing, layers_per_day
from sourloam.planning.parts.scraps import month_days
from sourloam.planning.ranges import middle, range_of
from sourloam.planning.work import Work
from sourloam.units import show, spoons

Floats = NDArray[np.float64]
_GRAM = 1000


def bran_part(work: Work) -> Bran:
    """Dose, layers and months; amounts by month are for the chosen kind of vessel."""
    case = work.case
    dose = dosing(case, work.chosen)
    daily = bran_kg(case, work.chosen, dose)
    yearly = daily[:, case.planned].sum(axis=1) / case.years
    scraps = case.scraps_kg[:, case.planned].sum(axis=1) / case.years
    return Bran(
        carrier=case.site.bran.carrier,
        spoon=case.site.bran.spoon,
        dose=range_of(_GRAM * yearly / np.maximum(scraps, np.finfo(float).tiny), "g/kg"),
        per_layer=tuple(_layer(case, kind) for kind in case.kinds),
        by_month=months_of(case, daily * _GRAM),
        per_year=range_of(yearly, "kg"),
        doubled=bool(dose.reasons),
        why=_why(work, dose),
    )


def bran_kg(case: Case, kind: Kind, dose: Dosing) -> Floats:
    """Bran on each day, (members, days), kg: one dose for each layer of that day."""
    parts = layers_per_day(case, kind)
    return dose.layer_kg(case.scraps_kg / parts, kind.vessel.section_m2) * parts


def usual_layer_kg(case: Case, kind: Kind) -> Floats:
    """Scraps in a layer on an ordinary day on which some come, per member."""
    daily = case.scraps_kg[:, case.coming_year]
    came = (daily > 0).sum(axis=1)
    mean = daily.sum(axis=1) / np.maximum(came, 1)
    return np.asarray(mean / layers_per_day(case, kind))


def _layer(case: Case, kind: Kind) -> LayerBran:
    dose, surface = dosing(case, kind), kind.vessel.section_m2
    scraps = usual_layer_kg(case, kind)
    mass = dose.layer_kg(scraps, surface)
    density = case.parameters[f"scraps.{case.site.bran.carrier}.density"]
    one_kg_of_spoons = np.array([spoons(1, float(d), case.site.bran.spoon) for d in density])
    return LayerBran(
        vessel=kind.vessel.name,
        mass=range_of(mass * _GRAM, "g"),
        spoons=range_of(mass * one_kg_of_spoons, "spoons"),
        per_surface=range_of(mass / surface * _GRAM, "g/m2"),
        by_share=range_of(dose.share * scraps * dose.factor * _GRAM, "g"),
        by_surface=range_of(dose.depth_kg_m2 * surface * dose.factor * _GRAM, "g"),
    )


def months_of(case: Case, daily: Floats) -> tuple[MonthAmount, ...]:
    """Sums of ``daily``, g ``(members, days)``, by calendar month of the planned time, first and
    last month as far as they go."""
    return tuple(
        MonthAmount(month=month, amount=range_of(daily[:, days].sum(axis=1), "g"))
        for month, days in month_days(case)
    )


def _why(work: Work, dose: Dosing) -> str:
    case, kind = work.case, work.chosen
    if dose.own:
        own = show(case.site.bran.dose or 0, "dose", work.system)
        return f"You set the dose yourself: {own} of scraps."
    scraps = np.median(usual_layer_kg(case, kind))
    layer = _layer(case, kind)
    share = middle(layer.by_share, work.system)
    surface = middle(layer.by_surface, work.system)
    larger = "the share of the scraps" if _first_larger(layer) else "the dusting of the surface"
    usual_share = show(book()["bran.dose.share"].value / _GRAM, "dose", work.system)
    text = (
        f"A layer of {show(float(scraps), 'mass', work.system)} asks for {share} as a share "
        f"({usual_share}) and for {surface} to dust the surface of a "
        f"{kind.vessel.name}. In each simulated case the larger counts, mostly {larger}; the "
        f"middle of these is {middle(layer.mass, work.system)}."
    )
    if dose.reasons:
        text += f" It is raised, about double, because {' and '.join(dose.reasons)}."
    return text


def _first_larger(layer: LayerBran) -> bool:
    return (layer.by_share.median or 0) >= (layer.by_surface.median or 0)
