"""Sections that say why: what moves the answer, rules of thumb, cautions, how it was computed."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from sourloam.planning.contract import Driver, Effect, Plan, Practice, Range
from sourloam.report.page import Look, bar, heading, paragraph, plain, sentence, table
from sourloam.report.quantities import odds, one, span, word

OUTCOMES = {
    "fill": "Days to fill",
    "finish": "Days of rest",
    "vessels": "Vessels",
    "chance": "Chance",
    "liquid": "Liquid",
}
_BARS = 12
_SHOWN_OUTCOMES = 3


def drivers(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """The inputs that move the answer most, each taken from its low to its high end."""
    ranked = sorted(plan.drivers, key=lambda driver: driver.rank)
    if not ranked:
        return
    yield heading("What moves the answer most")
    yield paragraph(
        "Each line takes one input from the low to the high end of its range and leaves the others "
        "alone. The longer the bar, the more it pays to know that input better."
    )
    most = max((e.share for d in ranked for e in d.effects), default=0.0) or 1.0
    for driver in ranked:
        yield Text(f"\n{driver.rank}. {plain(driver.name)}", style="bold").append(
            f"  {input_range(driver, look.system)}", style="not bold"
        )
        moved = [e for e in driver.effects if e.share > 0 or e.at_low != e.at_high]
        yield (
            table(
                ("", "", "at the low end", "at the high end"),
                [_effect(e, most, look.system) for e in moved],
            )
            if moved
            else paragraph("Moves nothing by itself here.", indent=2)
        )
        yield paragraph(sentence(driver.text), indent=2)


def input_range(driver: Driver, system: str) -> str:
    """The low and the high end of what the input may be."""
    ends = Range(median=driver.middle, low=driver.low, high=driver.high, unit=driver.unit)
    return span(ends, system)


def _effect(effect: Effect, most: float, system: str) -> tuple[str, str, str, str]:
    ends = [figure(end, effect, system) for end in (effect.at_low, effect.at_high)]
    return OUTCOMES[effect.outcome], bar(effect.share / most, _BARS), ends[0], ends[1]


def figure(value: float | None, effect: Effect, system: str) -> str:
    """One outcome in words; a chance as so many in a hundred, None as never."""
    if value is None:
        return "never"
    if effect.outcome == "chance":
        return odds(value)
    return one(value, effect.unit, system)


def practice(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """The rules of thumb beside this case: those that differ first, with the reason."""
    yield heading("Rules of thumb against your case")
    differs = [p for p in plan.practice if p.verdict == "differs"]
    agrees = [p for p in plan.practice if p.verdict == "agrees"]
    silent = [p for p in plan.practice if p.verdict == "no figure"]
    if differs:
        yield Text("Your case differs", style="bold")
    for rule in differs:
        yield from _rule(rule)
    if agrees:
        yield Text("\nYour case agrees", style="bold")
        yield table(
            ("Rule of thumb", "Usual", "Here"),
            [(p.rule, f"{p.usual} ({p.standing})", p.shown) for p in agrees],
        )
    if silent:
        yield Text("\nNothing computed to compare with", style="bold")
        yield table(
            ("Rule of thumb", "Usual", "Here"),
            [(p.rule, f"{p.usual} ({p.standing})", p.shown) for p in silent],
        )


def _rule(rule: Practice) -> Iterator[RenderableType]:
    yield paragraph(f"{rule.rule}.", indent=2)
    yield paragraph(f"Usual: {rule.usual} ({rule.standing}). Here: {rule.shown}.", indent=4)
    if rule.why:
        yield paragraph(sentence(rule.why), indent=4)


def cautions(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """Every caution that applies, whole, with the reason and the source."""
    yield heading("Cautions")
    yield paragraph(
        "Local rules come first: where they say otherwise, follow them and not this plan."
    )
    for caution in plan.cautions:
        yield Text(f"\n{plain(caution.title)}", style="bold")
        yield paragraph(f"Why here: {sentence(caution.applies)}", indent=2)
        yield paragraph(sentence(caution.text), indent=2)
        source = f"{caution.source} ({caution.standing})" if caution.source else caution.standing
        yield paragraph(f"Source: {source}", "dim", indent=2)


def provenance(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """Seed, members, years, and where the sources are."""
    made = plan.provenance
    topics = sorted({row.split(".", 1)[0] for row in made.evidence})
    yield heading("How this was computed")
    yield paragraph(
        f"Sourloam {made.version}; {made.members} simulated cases, each with its own draw of what "
        f"is uncertain; {_years(made.years)} after {_years(made.warm_up_years)} to warm up; seed "
        f"{made.seed}. The same file and the same seed give the same plan."
    )
    yield paragraph(
        f"It rests on {len(made.evidence)} sourced values. See them with: sourloam sources TOPIC, "
        f"where TOPIC is one of {', '.join(topics)}."
    )
    if look.system != plan.site.units:
        yield paragraph(
            "The figures were converted for you; sentences that give a reason keep the units of "
            "the site file."
        )
    for note in made.notes:
        yield paragraph(sentence(note))


def _years(number: int) -> str:
    return f"{word(number)} year{'s' if number != 1 else ''}"
