"""What fermenting brings, as text: the answer first, every figure with its range and footnotes."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from sourloam.impact.contract import Claim, Impact, Tornado
from sourloam.impact.saying import english, headline
from sourloam.impact.summing import in_hundred
from sourloam.numerics.range import Range
from sourloam.report.impact_footnotes import footnotes, sources_section
from sourloam.report.impact_garden_text import garden_section
from sourloam.report.impact_units import figure, shown, unit_of
from sourloam.report.impact_ways_text import (
    BARS,
    ends_section,
    parts_section,
    ways_section,
    years_section,
)
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
from sourloam.units import check_system, show

_TOLD_DRIVERS = 4


def impact_text(answer: Impact, system: str = "metric") -> Page:
    """The whole answer to print with Rich, in "metric" or "us" units.

    ValueError for an unknown system.
    """
    check_system(system)

    def parts(look: Look) -> Iterator[RenderableType]:
        for section in _SECTIONS:
            yield from section(answer, look.system)
        yield from _moves(answer, look.system)
        yield heading("Cautions")
        for caution in answer.cautions:
            yield paragraph(f"- {caution}")
        yield from _how(answer)
        yield from sources_section(answer.sources)

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


def _handling(answer: Impact, system: str) -> Iterator[RenderableType]:
    it = answer.handling
    yield heading("Water and ways")
    yield listing(
        [
            (
                "Rinsing water",
                f"{shown(it.rinsing, system)} {footnotes(answer, ('impact.vessel.rinse',))}",
            ),
            ("Water back to soil", shown(it.water_to_soil, system)),
            (
                "Not hauled",
                f"{shown(it.not_hauled, system)} {footnotes(answer, ('impact_waste.haul_km',))}",
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
    yield paragraph(f"{reason} {footnotes(answer, claim.sources)}", indent=2)


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
                bar(abs(d.at_high - d.at_low) / widest, BARS),
                f"{figure(d.at_low, unit, system)} → {figure(d.at_high, unit, system)} "
                f"{footnotes(answer, (d.id,))}",
            )
            for d in shown_first
        ],
        (38, BARS),
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


_SECTIONS = (
    _opening,
    ways_section,
    parts_section,
    years_section,
    ends_section,
    garden_section,
    _handling,
    _money,
    _claims,
)
