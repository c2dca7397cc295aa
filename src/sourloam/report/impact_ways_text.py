"""Ways of the scraps side by side, as text: what each gives off, where carbon and nitrogen go."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from sourloam.impact.contract import Comparison, Impact, RouteAnswer, Where
from sourloam.impact.summing import in_hundred
from sourloam.report.impact_footnotes import footnotes
from sourloam.report.impact_units import bare, rate, unit_of
from sourloam.report.page import bar, heading, paragraph, plain, table

BARS = 14
_LISTED = (
    ("impact_claims.hub_landfill", "landfill"),
    ("impact_claims.hub_compost", "compost"),
    ("impact_claims.hub_burn", "burning"),
)
_HARDLY = 1e-4  # a year's share of the whole below this is none
_TOLD_YEARS = (0, 1, 2, 5, 10, 20, 50, 100)


def ways_section(answer: Impact, system: str) -> Iterator[RenderableType]:
    """Each way's gases in all, then how fermenting compares."""
    made = answer.provenance
    yield heading(f"The same scraps on every way, over {made.years} years")
    yield paragraph(
        f"Methane counts {made.methane_weight:g} and nitrous oxide {made.nitrous_weight:g} times "
        f"carbon dioxide ({made.report.upper()}, {made.years} years) "
        f"{footnotes(answer, _weights(answer))}. Middle, then 10 and 90 %, "
        f"{unit_of('kg CO2e', system)}."
    )
    most = max((r.per_tonne.high or 0.0) for r in answer.routes)
    ton = "a tonne" if system == "metric" else "a short ton"
    yield table(
        ("Way", "All of it", f"For {ton}", ""),
        [
            (
                r.name,
                bare(r.total, system),
                bare(r.per_tonne, system),
                bar((r.per_tonne.median or 0.0) / most, BARS),
            )
            for r in answer.routes
        ],
    )
    yield table(
        ("Against", "Saved", f"For {ton}", "Better in", "With credits"),
        [_compared(c, made.members, system) for c in answer.comparisons],
    )
    credited = ("impact.fertiliser.making", "impact_waste.burn.power")
    listed = (
        f"{rate(1000 * _value(answer, key), system)} for {name} {footnotes(answer, (key,))}"
        for key, name in _LISTED
    )
    yield paragraph(
        "Credits: fertiliser that need not be made, power from burning "
        f"{footnotes(answer, credited)}; counted only in the last column. A national list has "
        f"{', '.join(listed)}."
    )


def _compared(c: Comparison, members: int, system: str) -> tuple[str, ...]:
    return (
        c.against,
        bare(c.saved, system),
        bare(c.saved_per_tonne, system),
        in_hundred(c.chance, members),
        in_hundred(c.chance_with_credits, members),
    )


def parts_section(answer: Impact, system: str) -> Iterator[RenderableType]:
    """What each way is made of, part by part."""
    yield heading("What each way gives off, part by part")
    for route in answer.routes:
        yield Text(f"\n{plain(route.name)}", style="bold")
        rows = [
            (part.name, bare(part.amount, system), footnotes(answer, part.sources))
            for part in route.parts
            if part.amount.high
        ]
        yield table(("Part", unit_of("kg CO2e", system), "Sources"), rows)


def years_section(answer: Impact, system: str) -> Iterator[RenderableType]:
    """Gases of single years after the season."""
    yield heading("Year by year")
    yield paragraph(
        "Given off in single years after the season, middle, then 10 and 90 %, "
        f"{unit_of('kg CO2e', system)}. Composting and burning give off all in year 0."
    )
    years = [y for y in _TOLD_YEARS if y <= answer.provenance.years]
    shown_ways = [answer.route(id_) for id_ in ("landfill", "ferment")]
    rows = [(f"{y}", *(_in_year(r, y, system) for r in shown_ways)) for y in years]
    yield table(("Year after", *(r.name for r in shown_ways)), rows)


def _in_year(route: RouteAnswer, year: int, system: str) -> str:
    amount = route.by_year[year].amount
    if not amount.median or amount.median < _HARDLY * (route.total.median or 0.0):
        return "-"
    return bare(amount, system)


def ends_section(answer: Impact, system: str) -> Iterator[RenderableType]:
    """Carbon and nitrogen by where they end up."""
    yield heading("Where the carbon and the nitrogen end up")
    yield paragraph(
        f"Of the scraps, and of the bran where they are fermented, {unit_of('kg', system)}. What "
        "the soil breathes out later is told under the garden."
    )
    rows = [
        (route.name if first else "", what, where.name, bare(where.amount, system))
        for route in answer.routes
        for first, what, where in _wheres(route)
    ]
    yield table(("Way", "", "Where", "How much"), rows)


def _wheres(route: RouteAnswer) -> Iterator[tuple[bool, str, Where]]:
    """Carbon, then nitrogen, what is nothing left out; whether it is the route's first row."""
    first = True
    for what, wheres in (("carbon", route.carbon), ("nitrogen", route.nitrogen)):
        named = what
        for where in wheres:
            if where.amount.high:
                yield first, named, where
                first, named = False, ""


def _weights(answer: Impact) -> tuple[str, str]:
    base = f"impact.weight.{answer.provenance.report}.y{answer.provenance.years}"
    return f"{base}.ch4", f"{base}.n2o"


def _value(answer: Impact, key: str) -> float:
    return next(s.value for s in answer.sources if s.id == key)
