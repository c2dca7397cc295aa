"""Footnotes: every row of the evidence that a shown figure rests on, numbered as it comes up."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sourloam.evidence import book
from sourloam.impact.contract import Claim, RouteAnswer, Source, Tornado
from sourloam.impact.route import Weights


def footnotes(
    routes: Iterable[RouteAnswer],
    tornadoes: Iterable[Tornado],
    claims: Iterable[Claim],
    weights: Weights,
) -> tuple[Source, ...]:
    """Weights first, then the routes' parts, what else moves the answer, and the claims."""
    ids = dict.fromkeys(_ids(routes, tornadoes, claims, weights))
    known = [key for key in ids if key in book().rows]
    return tuple(_source(number, key) for number, key in enumerate(known, start=1))


def _ids(
    routes: Iterable[RouteAnswer],
    tornadoes: Iterable[Tornado],
    claims: Iterable[Claim],
    weights: Weights,
) -> Iterator[str]:
    base = f"impact.weight.{weights.report}.y{weights.years}"
    yield from (f"{base}.ch4", f"{base}.n2o")
    for route in routes:
        for part in route.parts:
            yield from part.sources
    yield from FURTHER
    for tornado in tornadoes:
        yield from (driver.id for driver in tornado.drivers)
    for claim in claims:
        yield from claim.sources


#: Rows behind how scraps are weighed, what they hold, and the tables on garden and handling.
FURTHER: tuple[str, ...] = (
    "ledger.amount.scale",
    "ledger.amount.count",
    "ledger.amount.volume",
    "forecast.amount.weighed",
    "forecast.amount.counted",
    "forecast.amount.by_eye",
    "scraps.carbon.fibre",
    "scraps.nitrogen_of_protein",
    "impact_waste.compost_keeps.nitrogen",
    "impact_waste.compost_keeps.phosphorus",
    "impact_waste.compost_keeps.potassium",
    "impact_waste.compost_keeps.carbon",
    "impact_waste.compost_humus",
    "impact_waste.compost_nitrogen_available",
    "impact.vessel.nitrogen_kept",
    "impact.vessel.liquid_used",
    "impact.fertiliser.available",
    "impact.fertiliser.making",
    "impact_waste.burn.power",
    "turnover.share.decomposable",
    "turnover.rate.dpm",
    "impact.soil.moisture",
    "impact.vessel.rinse",
    "impact_claims.hub_landfill",
    "impact_claims.hub_compost",
    "impact_claims.hub_burn",
)


def _source(number: int, key: str) -> Source:
    row = book()[key]
    return Source(
        number=number,
        id=key,
        name=row.name,
        value=row.value,
        low=row.low,
        high=row.high,
        unit=row.unit,
        standing=row.standing,
        citation=book().citation(row),
        note=". ".join(part[0].upper() + part[1:] for part in (row.conditions, row.note) if part),
    )
