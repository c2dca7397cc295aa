"""Liquid and nitrogen of the garden plan as text: how to thin it, what to pour, what it brings."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType

from sourloam.garden.contract import Feeding, ThinningLine
from sourloam.report.page import Look, heading, paragraph, sentence, table
from sourloam.report.quantities import amount, one

_MILLI = 1000
_EVEN = 0.1  # method: within a tenth, supply and demand are even
_HARDLY_L = 0.005  # method: less than a teaspoon a week is not worth a row


def feeding_sections(feeding: Feeding, look: Look) -> Iterator[RenderableType]:
    """All of it: thinning, pouring, what is supplied, how the liquid ages."""
    yield heading("Feeding with the drained liquid")
    yield paragraph(feeding.answer)
    yield paragraph(feeding.usual)
    yield from _pouring(feeding, look)
    yield from _supplied(feeding, look)
    yield from _thinning(feeding)
    yield from _ageing(feeding)


def _thinning(feeding: Feeding) -> Iterator[RenderableType]:
    rows = [(line.crop, *_parts(line), line.limited_by) for line in feeding.thinning]
    head = ("Crop", "Established", "middle", "Seedlings", "middle", "Set by")
    yield paragraph("Parts of water to one of liquid, enough in nine cases of ten:")
    yield table(head, rows, right=(1, 2, 3, 4))
    if any("none" in cell for row in rows for cell in row):
        yield paragraph(
            "None: the water itself is about as salty as this crop bears, so that no thinning "
            "helps; water it with rain water and give it no liquid."
        )


def _pouring(feeding: Feeding, look: Look) -> Iterator[RenderableType]:
    """One row a bed and month: what to pour in each week."""
    rows = [
        (
            m.bed,
            f"{m.month:%b %Y}",
            m.crop,
            _little(m.liquid, look.system),
            _little(m.water, look.system),
            str(m.weeks),
            "" if m.stop is None else f"stop on {m.stop.day} {m.stop:%b}",
        )
        for m in feeding.months
        if m.liquid > _HARDLY_L
    ]
    if rows:
        measures = " (US measures)" if look.system == "us" else ""
        yield paragraph(
            f"What to pour on each bed, each week that liquid drains, on moist soil{measures}:"
        )
        head = ("Bed", "Month", "Crop", "Liquid", "in water", "Weeks", "")
        yield table(head, rows, right=(3, 4, 5))


def _little(litres: float, system: str) -> str:
    """A volume that may be a spoonful or a can: mL or L, fluid ounces or gallons; short, for the
    table says once whose ounces they are."""
    return one(litres * _MILLI, "mL", system).replace("US ", "")


def _supplied(feeding: Feeding, look: Look) -> Iterator[RenderableType]:
    """Nitrogen wanted beside what ferment and liquid bring, a line a bed."""
    rows = []
    for bed in feeding.beds:
        liquid = bed.nitrogen.median or 0.0
        rest = bed.nitrogen_wanted - bed.nitrogen_from_ferment - liquid
        told = one(abs(rest), "g", look.system)
        rows.append(
            (
                bed.bed,
                one(bed.nitrogen_wanted, "g", look.system),
                one(bed.nitrogen_from_ferment, "g", look.system),
                one(liquid, "g", look.system),
                _left(rest, told, bed.nitrogen_wanted),
                one(bed.phosphorus.median, "g", look.system),
                one(bed.potassium.median, "g", look.system),
            )
        )
    yield paragraph(
        "Nitrogen that a year's crops want beyond the soil's own, what comes free from ferment, "
        "what the liquid brings, and the phosphorus and potassium in that liquid:"
    )
    head = ("Bed", "N wanted", "ferment", "liquid", "left", "P", "K")
    yield table(head, rows, right=(1, 2, 3, 4, 5, 6))
    supply, left = (amount(x, look.system) for x in (feeding.supply, feeding.surplus))
    yield paragraph(f"Drained in this time: {supply}. Surplus: {left}.")


def _left(rest_g: float, told: str, wanted_g: float) -> str:
    if abs(rest_g) < _EVEN * wanted_g:
        return "about even"
    return f"{told} short" if rest_g > 0 else f"{told} over"


def _ageing(feeding: Feeding) -> Iterator[RenderableType]:
    yield paragraph(
        sentence(
            "In an open jar it changes from day to day, by our judgement, for no record was found; "
            "use it on the day it drains, on moist soil, never on leaves of crops that are eaten "
            "raw, and keep it off ditches and streams"
        )
    )
    yield table(
        ("Day", "pH", "Acids, mmol/L", "Conductivity, dS/m", "Ammonium, g N/L"),
        [
            (
                str(day.day),
                _plain(day.ph.median, 1),
                _plain(day.acids.median, 0),
                _plain(day.conductivity.median, 1),
                _plain(day.ammonium.median, 2),
            )
            for day in feeding.strength
        ],
        right=(0, 1, 2, 3, 4),
    )


def _parts(line: ThinningLine) -> tuple[str, str, str, str]:
    found = (
        line.established,
        line.established_middle,
        line.seedlings,
        line.seedlings_middle,
    )
    a, b, c, d = ("none" if n is None else str(n) for n in found)
    return a, b, c, d


def _plain(value: float | None, places: int) -> str:
    return "-" if value is None else f"{value:.{places}f}"
