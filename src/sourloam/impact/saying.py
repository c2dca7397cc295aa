"""What is said in words: the first lines, how sure a comparison is, cautions, notes."""

from __future__ import annotations

from collections.abc import Sequence

from sourloam.evidence import book
from sourloam.impact.contract import Comparison, Kept
from sourloam.impact.summing import in_hundred
from sourloam.numerics.range import Range

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
    "No carbon stored in soil or landfill is counted as saved; what is left of it is told by year.",
    "Gas that leaves after the horizon is not counted; landfills go on a little longer.",
    "Weights of the gases are those of the report as it states them, without their own range.",
    "No comparison with cars, trees or flights is shown: none was found with a source that holds.",
    "The vessel is followed once for each member, filled a layer a day at the year's mean warmth.",
)


def headline(kept: Kept, comparisons: Sequence[Comparison], years: int) -> tuple[str, ...]:
    """The first lines: what was kept, what that saves, against what it can't be told."""
    sure = book()["impact.tell.sure"].value
    better = [c for c in comparisons if c.chance >= sure]
    worse = [c for c in comparisons if c.chance <= 1 - sure]
    unsure = [c for c in comparisons if c not in better and c not in worse]
    lines = [f"{span(kept.scraps)} of scraps went into vessels. {kept.measured}"]
    for one in better:
        lines.append(f"Against the {one.against} that saves {span(one.saved)} over {years} years.")
    for one in worse:
        lines.append(
            f"Against the {one.against} it saves nothing: it gives off more in "
            f"{in_hundred(1 - one.chance)} possible worlds."
        )
    if unsure:
        names = ", ".join(f"{one.against} ({in_hundred(one.chance)} better)" for one in unsure)
        lines.append(f"Better or worse can't be told against: {names}.")
    return tuple(lines)


def span(value: Range) -> str:
    """Such as "90 to 220 kg"; two figures."""
    assert value.low is not None
    assert value.high is not None
    return f"{plain(value.low)} to {plain(value.high)} {value.unit}"


def plain(value: float) -> str:
    """Two figures, never an exponent."""
    if value == 0:
        return "0"
    figures = 2
    rounded = float(f"{value:.{figures}g}")
    if abs(rounded) >= 10:
        return f"{rounded:.0f}"
    return f"{rounded:.10f}".rstrip("0").rstrip(".")


def comparison_words(against: str, chance: float) -> str:
    """How sure it is that fermenting gives off less."""
    return f"gives off less than the {against} in {in_hundred(chance)} possible worlds"
