"""Sections that say why: what moves the answer, rules of thumb, cautions, how it was computed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import RenderableType
from rich.text import Text

from sourloam.planning.contract import Driver, Effect, Plan, Practice, Range
from sourloam.report.page import Look, bar, heading, listing, paragraph, plain, sentence, table
from sourloam.report.quantities import odds, one, sayable, span, word

OUTCOMES = {
    "fill": "Days to fill",
    "finish": "Days of rest",
    "vessels": "Vessels",
    "chance": "Chance",
    "liquid": "Liquid",
}
_BEYOND = {"vessels": "too many", "chance": "not known", "liquid": "not known"}
_BEYOND |= {"fill": "never", "finish": "never"}
_BARS = 12
_HARDLY = 0.02  # a change by less than this share of the outcome is none
_NAMES = 12


def drivers(plan: Plan, look: Look) -> Iterator[RenderableType]:
    """The inputs that move the answer most, each taken from its low to its high end."""
    ranked = sorted(plan.drivers, key=lambda driver: driver.rank)
    if not ranked:
        return
    yield heading("What moves the answer most")
    yield paragraph(
        "Each takes one input from the low to the high end of its range (→) and leaves the others "
        f"alone{_begun(ranked)}. The longer the bar against the others of its kind, the more it "
        "pays to know that input better."
    )
    idle = [d for d in ranked if not any(_effect(e, 0.0, look.system) for e in d.effects)]
    for driver in (d for d in ranked if d not in idle):
        ends = input_range(driver, look.system)
        head = Text(f"\n{driver.rank}. {plain(driver.name)}", style="bold")
        yield head.append(f", {plain(ends)}" if ends else "", style="not bold")
        rows = [_effect(e, _largest(ranked, e.outcome), look.system) for e in driver.effects]
        yield listing([row for row in rows if row], [_NAMES, _BARS])
    if idle:
        names = "; ".join(driver.name for driver in idle)
        yield Text("")
        yield paragraph(f"Moves nothing by itself here: {plain(names)}.")


def _begun(drivers: Sequence[Driver]) -> str:
    """Of which season the fillings and rests are."""
    season = drivers[0].season
    return (
        f"; filling and rest are those of a vessel begun, or closed, in the middle of {season}"
        if season
        else ""
    )


def input_range(driver: Driver, system: str) -> str:
    """The low and the high end of what the input may be, in units or words that people know."""
    if sayable(driver.unit):
        ends = Range(median=driver.middle, low=driver.low, high=driver.high, unit=driver.unit)
        return span(ends, system)
    head = driver.text.partition(":")[0]
    name, comma, words = (
        head[: len(driver.name)],
        head[len(driver.name) :][:2],
        head[len(driver.name) + 2 :],
    )
    return words if name.casefold() == driver.name.casefold() and comma == ", " else ""


def _largest(drivers: Sequence[Driver], outcome: str) -> float:
    """The largest change that any input brings to one outcome."""
    return max((e.share for d in drivers for e in d.effects if e.outcome == outcome), default=0.0)


def _effect(effect: Effect, most: float, system: str) -> tuple[str, str, str] | None:
    """Outcome, bar, both ends; None where nothing moves."""
    if still(effect, system):
        return None
    low, high = (figure(end, effect, system) for end in (effect.at_low, effect.at_high))
    number, _, unit = low.partition(" ")
    if unit and number[0].isdigit() and high.partition(" ")[2] == unit:
        low = number
    length = effect.share / most if most else 0.0
    return OUTCOMES[effect.outcome], bar(length, _BARS), f"{low} → {high}"


def still(effect: Effect, system: str) -> bool:
    """Whether both ends of an input bring the same figure, or hardly another."""
    low, high = (figure(end, effect, system) for end in (effect.at_low, effect.at_high))
    known = effect.at_low is not None and effect.at_high is not None
    return low == high or (known and effect.share < _HARDLY)


def figure(value: float | None, effect: Effect, system: str) -> str:
    """One outcome in words; a chance as so many in a hundred; None as what it means there."""
    if value is None:
        return _BEYOND[effect.outcome]
    if effect.outcome == "chance":
        return odds(value) if value > 0 else "none seen"
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
            [(p.rule, f"{p.usual} [{p.standing}]", p.shown) for p in agrees],
        )
    if silent:
        yield Text("\nNothing computed to compare with", style="bold")
        yield table(
            ("Rule of thumb", "Usual", "Here"),
            [(p.rule, f"{p.usual} [{p.standing}]", p.shown) for p in silent],
        )


def _rule(rule: Practice) -> Iterator[RenderableType]:
    yield paragraph(f"{rule.rule}.", indent=2)
    yield paragraph(f"Usual: {rule.usual} [{rule.standing}]. Here: {rule.shown}.", indent=4)
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
        source = f"{caution.source} [{caution.standing}]" if caution.source else caution.standing
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
            "The figures were converted for you; sentences that give a reason keep the units in "
            "which the plan was made."
        )
    for note in made.notes:
        yield paragraph(sentence(note))


def _years(number: int) -> str:
    return f"{word(number)} year{'s' if number != 1 else ''}"
