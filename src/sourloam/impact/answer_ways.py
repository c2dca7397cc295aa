"""Every way of the scraps, and what is saved against it, as the answer tells them."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from sourloam.impact import contract
from sourloam.impact.field import SPANS
from sourloam.impact.reckoning import Reckoned
from sourloam.impact.route import Route
from sourloam.impact.saying import comparison_words
from sourloam.impact.summing import range_of

Array = NDArray[np.float64]
TONNE = 1000.0


def route_answer(route: Route, reckoned: Reckoned) -> contract.RouteAnswer:
    """What one way gives off and leaves behind: ranges over the possible worlds."""
    weights, scraps = reckoned.weights, reckoned.scraps_kg
    total = route.total(weights)
    years = route.by_year(weights)
    garden = route.to_garden
    return contract.RouteAnswer(
        id=route.id,
        name=route.name,
        total=range_of(total, "kg CO2e"),
        total_with_credits=range_of(route.total(weights, credits=True), "kg CO2e"),
        per_tonne=range_of(TONNE * total / scraps, "kg CO2e/t"),
        parts=tuple(
            contract.Part(
                name=e.name,
                gas=e.gas,
                amount=range_of(e.weighed(weights).sum(axis=1), "kg CO2e"),
                sources=e.sources,
            )
            for e in route.emissions
        ),
        by_year=tuple(
            contract.YearAmount(year=y, amount=range_of(years[:, y], "kg CO2e"))
            for y in range(years.shape[1])
        ),
        carbon=_wheres(route.carbon),
        nitrogen=_wheres(route.nitrogen),
        soil_carbon=tuple(
            contract.SoilCarbon(years=span, amount=range_of(route.soil_carbon[:, i], "kg"))
            for i, span in enumerate(SPANS)
        ),
        nitrogen_to_garden=range_of(garden["nitrogen"], "kg"),
        phosphorus_to_garden=range_of(garden["phosphorus"], "kg"),
        potassium_to_garden=range_of(garden["potassium"], "kg"),
        usable_nitrogen=range_of(route.usable_nitrogen_kg, "kg"),
    )


def _wheres(amounts: Mapping[str, Array]) -> tuple[contract.Where, ...]:
    return tuple(contract.Where(name=n, amount=range_of(v, "kg")) for n, v in amounts.items())


def comparison_with(other: Route, reckoned: Reckoned) -> contract.Comparison:
    """What fermenting saves against another way, world by world."""
    saved, credited = reckoned.saved_kg(other), reckoned.saved_kg(other, credits=True)
    own = reckoned.fair(other)
    chance = float(np.mean(saved > 0))
    plain = range_of(saved, "kg CO2e")
    return contract.Comparison(
        id=other.id,
        against=other.name,
        saved=plain,
        saved_per_tonne=range_of(TONNE * saved / reckoned.scraps_kg, "kg CO2e/t"),
        chance=chance,
        saved_with_credits=range_of(credited, "kg CO2e"),
        chance_with_credits=float(np.mean(credited > 0)),
        nitrogen_more=range_of(own.to_garden["nitrogen"] - other.to_garden["nitrogen"], "kg"),
        carbon_more_after_20=range_of(own.soil_carbon[:, -1] - other.soil_carbon[:, -1], "kg"),
        words=comparison_words(other.name, chance, saved.size),
    )
