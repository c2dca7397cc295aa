"""What fermenting brings, as text: the answer first, every figure with its range and footnotes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rich.console import RenderableType
from rich.text import Text

from sourloam.impact.contract import Claim, Comparison, Impact, RouteAnswer, Source, Tornado, Where
from sourloam.impact.saying import english, headline
from sourloam.impact.summing import in_hundred
from sourloam.numerics.range import Range
from sourloam.report.impact_units import bare, figure, rate, shown, unit_of
from sourloam.report.page import (
    Look,
    Page,
    bar,
    heading,
    listing,
    paragraph,
    plain,
    sentence,
    table,
)
from sourloam.units import SYSTEMS, show

_TOLD_DRIVERS = 4
_BARS = 14
_HARDLY = 1e-4  # a year's share of the whole below this is none
_TOLD_YEARS = (0, 1, 2, 5, 10, 20, 50, 100)


def impact_text(answer: Impact, system: str = "metric") -> Page:
    """The whole answer to print with Rich, in "metric" or "us" units.

    ValueError for an unknown system.
    """
    if system not in SYSTEMS:
        raise ValueError(f"units {system!r}: expected one of {', '.join(SYSTEMS)}")

    def parts(look: Look) -> Iterator[RenderableType]:
        for section in _SECTIONS:
            yield from section(answer, look.system)
        yield from _moves(answer, look.system)
        yield heading("Cautions")
        for caution in answer.cautions:
            yield paragraph(f"- {caution}")
        yield from _how(answer)
        yield from _sources(answer.sources)

    return Page(parts, system)


def _opening(answer: Impact, system: str) -> Iterator[RenderableType]:
    title = f"{answer.name}: what it brings, {answer.start:%d %b %Y} to {answer.end:%d %b %Y}"
    yield Text(plain(title), style="bold")
    yield Text("═" * len(plain(title)), style="dim", no_wrap=True, overflow="crop")
    kept, made = answer.kept, answer.provenance
    for line in headline(kept, answer.comparisons, made.years, made.members, system):
        yield paragraph(line)
    yield listing(
        [
            ("Scraps", shown(kept.scraps, system)),
            ("of these to the bin", _by_log(kept.binned, system)),
            ("Carbon in them", shown(kept.carbon, system)),
            ("Nitrogen in them", shown(kept.nitrogen, system)),
            ("Bran", _by_log(kept.bran, system)),
            ("Ferment", shown(kept.ferment, system)),
            ("Liquid", f"{shown(kept.liquid, system)} by the vessel model"),
            *_drained(kept.drained_l, system),
        ],
        (20,),
    )


def _drained(litres: float | None, system: str) -> Iterator[tuple[str, str]]:
    if litres is not None:
        yield "", f"{show(litres / 1000, 'volume', system)} drained as logged"


def _by_log(value: Range, system: str) -> str:
    """A figure; where nothing of it is uncertain, that it stands in the log."""
    logged = " as logged" if value.low == value.high else ""
    return f"{shown(value, system)}{logged}"


def _ways(answer: Impact, system: str) -> Iterator[RenderableType]:
    made = answer.provenance
    yield heading(f"The same scraps on every way, over {made.years} years")
    yield paragraph(
        f"Methane counts {made.methane_weight:g} and nitrous oxide {made.nitrous_weight:g} times "
        f"carbon dioxide ({made.report.upper()}, {made.years} years) "
        f"{_notes(answer, _weights(answer))}. Middle, then 10 and 90 %, "
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
                bar((r.per_tonne.median or 0.0) / most, _BARS),
            )
            for r in answer.routes
        ],
    )
    yield table(
        ("Against", "Saved", f"For {ton}", "Better in", "With credits"),
        [_compared(c, made.members, system) for c in answer.comparisons],
    )
    yield paragraph(
        "Credits: fertiliser that need not be made, power from burning "
        f"{_notes(answer, ('impact.fertiliser.making', 'impact_waste.burn.power'))}; counted only "
        "in the last column. A national list has "
        + ", ".join(
            f"{rate(1000 * _value(answer, key), system)} for {name} {_notes(answer, (key,))}"
            for key, name in (
                ("impact_claims.hub_landfill", "landfill"),
                ("impact_claims.hub_compost", "compost"),
                ("impact_claims.hub_burn", "burning"),
            )
        )
        + "."
    )


def _compared(c: Comparison, members: int, system: str) -> tuple[str, ...]:
    return (
        c.against,
        bare(c.saved, system),
        bare(c.saved_per_tonne, system),
        in_hundred(c.chance, members),
        in_hundred(c.chance_with_credits, members),
    )


def _own(answer: Impact, system: str) -> Iterator[RenderableType]:
    """What each way is made of, part by part."""
    yield heading("What each way gives off, part by part")
    for route in answer.routes:
        yield Text(f"\n{plain(route.name)}", style="bold")
        rows = [
            (part.name, bare(part.amount, system), _notes(answer, part.sources))
            for part in route.parts
            if part.amount.high
        ]
        yield table(("Part", unit_of("kg CO2e", system), "Sources"), rows)


def _years(answer: Impact, system: str) -> Iterator[RenderableType]:
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


def _ends_up(answer: Impact, system: str) -> Iterator[RenderableType]:
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


def _garden(answer: Impact, system: str) -> Iterator[RenderableType]:
    yield heading("For the garden")
    named = ("compost_keeps.nitrogen", "compost_keeps.phosphorus", "compost_keeps.potassium")
    notes = _notes(
        answer,
        (
            "impact.vessel.nitrogen_kept",
            "impact.vessel.liquid_used",
            *(f"impact_waste.{name}" for name in named),
        ),
    )
    yield paragraph(
        f"Of the scraps' nutrients these reach garden soil {notes}, {unit_of('kg', system)}:"
    )
    yield table(
        ("Way", "Nitrogen", "of it usable in a year", "Phosphorus", "Potassium"),
        [
            (
                r.name,
                *(
                    bare(x, system)
                    for x in (
                        r.nitrogen_to_garden,
                        r.usable_nitrogen,
                        r.phosphorus_to_garden,
                        r.potassium_to_garden,
                    )
                ),
            )
            for r in answer.routes
            if r.nitrogen_to_garden.high
        ],
    )
    spans = [left.years for left in answer.routes[0].soil_carbon]
    notes = _notes(
        answer,
        (
            "turnover.rate.dpm",
            "turnover.share.decomposable",
            "impact.soil.moisture",
            "impact_waste.compost_humus",
        ),
    )
    yield paragraph(
        f"Carbon still in the soil (or the landfill) after so many years {notes}; not counted as "
        f"saved, {unit_of('kg', system)}:"
    )
    yield table(
        ("Way", *(f"{y} year{'s' if y > 1 else ''}" for y in spans)),
        [
            (r.name, *(bare(left.amount, system) for left in r.soil_carbon))
            for r in answer.routes
            if r.soil_carbon[0].amount.high
        ],
    )


def _handling(answer: Impact, system: str) -> Iterator[RenderableType]:
    it = answer.handling
    yield heading("Water and ways")
    yield listing(
        [
            (
                "Rinsing water",
                f"{shown(it.rinsing, system)} {_notes(answer, ('impact.vessel.rinse',))}",
            ),
            ("Water back to soil", shown(it.water_to_soil, system)),
            (
                "Not hauled",
                f"{shown(it.not_hauled, system)} {_notes(answer, ('impact_waste.haul_km',))}",
            ),
        ],
        (20,),
    )


def _money(answer: Impact, system: str) -> Iterator[RenderableType]:
    yield heading("Money")
    if answer.money is None:
        yield paragraph(
            "No prices were given, so nothing is claimed. Where the bin has a flat fee, a "
            "household usually saves nothing. Give your own prices with --bin FILE.toml."
        )
        return
    rows = [(line.name, shown(line.amount, system)) for line in answer.money.lines]
    yield table(("Saved, or spent (below 0)", answer.money.currency), rows, right=(1,))
    yield paragraph(f"Balance: {shown(answer.money.balance, system)}.")


def _claims(answer: Impact, system: str) -> Iterator[RenderableType]:
    yield heading("What people say, held against this case")
    for claim in answer.claims:
        yield from _claim(answer, claim, system)


def _claim(answer: Impact, claim: Claim, system: str) -> Iterator[RenderableType]:
    yield Text(f"\n“{claim.statement}” {claim.verdict.upper()}", style="bold")
    figure = "" if claim.figure is None else f"{shown(claim.figure, system)}: "
    members = answer.provenance.members
    chance = (
        ""
        if claim.chance is None
        else f"; true in {in_hundred(claim.chance, members)} possible worlds"
    )
    words = claim.figure_words
    if system == "us":
        words = words.replace("tonne", "short ton")
    yield paragraph(sentence(f"{figure}{words}{chance}"), indent=2)
    reason = english(claim.reason, system)
    yield paragraph(f"{reason} {_notes(answer, claim.sources)}", indent=2)


def _moves(answer: Impact, system: str) -> Iterator[RenderableType]:
    yield heading("What moves the saving most")
    yield paragraph(
        "One input at a time from its 10 to its 90 % point, all else in the middle; what is saved "
        "then:"
    )
    for tornado in answer.tornadoes:
        yield from _tornado(answer, tornado, system)


def _tornado(answer: Impact, tornado: Tornado, system: str) -> Iterator[RenderableType]:
    shown_first = tornado.drivers[:_TOLD_DRIVERS]
    unit = tornado.unit
    middle = f"{unit_of(unit, system)}; {figure(tornado.middle, unit, system)}"
    yield Text(f"\nAgainst the {plain(tornado.against)}, {middle} in the middle", style="bold")
    widest = max((abs(d.at_high - d.at_low) for d in tornado.drivers), default=1.0)
    yield listing(
        [
            (
                d.name,
                bar(abs(d.at_high - d.at_low) / widest, _BARS),
                f"{figure(d.at_low, unit, system)} → {figure(d.at_high, unit, system)} "
                f"{_notes(answer, (d.id,))}",
            )
            for d in shown_first
        ],
        (38, _BARS),
    )


def _how(answer: Impact) -> Iterator[RenderableType]:
    made = answer.provenance
    yield heading("How this was reckoned")
    yield paragraph(
        f"Sourloam {made.version}; {made.members} possible worlds, each with its own draw of what "
        f"is uncertain; seed {made.seed}; {len(made.evidence)} sourced values, see "
        "sourloam sources impact, impact_waste, impact_claims."
    )
    for note in made.notes:
        yield paragraph(f"- {note}")


def _sources(sources: Iterable[Source]) -> Iterator[RenderableType]:
    yield heading("Who says so")
    for one in sources:
        unit = "" if one.unit == "1" else f" {one.unit}"
        ends = "" if one.low == one.high else f" ({one.low:g} to {one.high:g})"
        who = f" {one.citation}." if one.citation else ""
        note = f" {sentence(one.note)}" if one.note else ""
        yield paragraph(
            f"[{one.number}] {one.name}: {one.value:g}{ends}{unit}; {one.standing}.{note}{who}"
        )


_SECTIONS = (_opening, _ways, _own, _years, _ends_up, _garden, _handling, _money, _claims)


def _weights(answer: Impact) -> tuple[str, str]:
    base = f"impact.weight.{answer.provenance.report}.y{answer.provenance.years}"
    return f"{base}.ch4", f"{base}.n2o"


def _value(answer: Impact, key: str) -> float:
    return next(s.value for s in answer.sources if s.id == key)


def _notes(answer: Impact, keys: Iterable[str]) -> str:
    """Numbers of the footnotes, such as [3, 7]."""
    numbers = {s.id: s.number for s in answer.sources}
    found = [str(numbers[key]) for key in dict.fromkeys(keys) if key in numbers]
    return f"[{', '.join(found)}]" if found else ""
