"""What is said in words: the first lines, how sure a comparison is, cautions, notes."""

from __future__ import annotations

from collections.abc import Sequence

from sourloam.evidence import book
from sourloam.impact.contract import Comparison, Kept, Said
from sourloam.impact.from_site import FORESEEN
from sourloam.impact.summing import digits_for, figures, in_hundred
from sourloam.numerics.range import Range
from sourloam.units import factor, show

CAUTIONS: tuple[str, ...] = (
    "The first gain is food that is not wasted at all; nothing here counts as a reason to make "
    "scraps.",
    "Rules on collecting, treating and burying food waste differ from place to place and come "
    "first; ask before you publish a figure as proof of compliance.",
    "These figures are estimates for a decision, not a claim to sell: they follow no scheme for "
    "certificates.",
)
NOTES: tuple[str, ...] = (
    "Carbon dioxide from food and soil is not counted: it was in the air not long ago. It is told "
    "apart, as carbon.",
    "Each way is reckoned for the same scraps. Collection, machines and power are counted where a "
    "source gives them; credits for fertiliser or power saved elsewhere are told apart.",
    "The carbon of the scraps is that of the mix, and is the same on every way; the default of the "
    "guidelines is higher than that of most kitchens.",
    "What fails and goes to the bin saves nothing.",
    "What the scraps hold, water too, is that of their mix by the tables of scraps; ferment and "
    "liquid are those of the vessel model. `sourloam sources scraps` and `sourloam sources vessel` "
    "list every row with its source.",
    "No carbon stored in soil or landfill is counted as saved; what is left of it is told by year.",
    "Gas that leaves after the horizon is not counted; landfills go on a little longer.",
    "Weights of the gases are those of the report as it states them, without their own range.",
    "No comparison with cars, trees or flights is shown: none was found with a source that holds.",
    "The vessel is followed once for each member, filled a layer a day at the year's mean warmth.",
)


def headline(
    kept: Kept, comparisons: Sequence[Comparison], years: int, members: int, system: str
) -> tuple[str, ...]:
    """The first lines: what was kept, what that saves, against what it can't be told."""
    sure = book()["impact.tell.sure"].value
    better = [c for c in comparisons if c.chance >= sure]
    worse = [c for c in comparisons if 1 - c.chance >= sure]
    unsure = [c for c in comparisons if c not in better and c not in worse]
    how = " ".join(english(said, system) for said in kept.measured)
    foreseen = any(said.text in FORESEEN.values() for said in kept.measured)
    into = "would go" if foreseen else "went"
    lines = [f"{span(kept.scraps, system)} of scraps {into} into vessels. {how}"]
    lines += [
        f"Against the {c.against} that saves {span(c.saved, system)} over {years} years "
        f"(better in {in_hundred(c.chance, members)} possible worlds)."
        for c in better
    ]
    lines += [
        f"Against the {c.against} it saves nothing: it gives off more in "
        f"{in_hundred(1 - c.chance, members)} possible worlds."
        for c in worse
    ]
    if unsure:
        names = ", ".join(
            f"{c.against} (better in {in_hundred(c.chance, members)})" for c in unsure
        )
        lines.append(f"Better or worse can't be told against: {names}.")
    return tuple(lines)


def english(said: Said, system: str) -> str:
    """A sentence with its values."""
    masses = {name: show(mass, "mass", system) for name, mass in said.masses_kg.items()}
    return said.text.format(**said.numbers, **masses)


def span(value: Range, system: str) -> str:
    """The ends of a mass, with what it is a mass of, such as "90 to 220 kg CO2e"."""
    assert value.low is not None
    assert value.high is not None
    label, size = ("lb", factor("lb", "mass")) if system == "us" else ("kg", 1.0)
    ends_of = (value.low / size, value.high / size)
    first, last = (figures(end, digits_for(ends_of)) for end in ends_of)
    ends = last if first == last else f"{first} to {last}"
    return f"{ends} {label}{value.unit.removeprefix('kg')}"


def comparison_words(against: str, chance: float, members: int) -> str:
    """How sure it is that fermenting gives off less."""
    return f"gives off less than the {against} in {in_hundred(chance, members)} possible worlds"
