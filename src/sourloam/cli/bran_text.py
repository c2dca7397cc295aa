"""The page about a batch of bran, to print with Rich."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from rich.console import RenderableType

from sourloam.bran.contract import Age, Answer, Drying
from sourloam.numerics import Range
from sourloam.report.page import Look, Page, heading, listing, paragraph, sentence, table
from sourloam.report.quantities import amount, odds, one, span
from sourloam.units import check_system, factor, show, show_count, spoon_words

_DATE = 10
_WEIGHED = {
    "kg": ("mass", 1.0),
    "g": ("small_mass", 1e-3),
    "L": ("volume", 1e-3),
    "mL": ("small_volume", 1e-6),
}


def bran_text(answer: Answer, system: str = "metric") -> Page:
    """The whole page, in "metric" or "us" units. ValueError for an unknown system."""
    check_system(system)

    def parts(look: Look) -> Iterator[RenderableType]:
        yield from _first(answer, look)
        yield from _recipe(answer, look)
        yield from _days(answer, look)
        if answer.drying is not None:
            yield from _drying(answer.drying, look)
        if not answer.held_back:
            yield from _strength(answer, look)
        yield from _cost(answer, look)
        yield from _rest(answer)

    return Page(parts, system)


def _first(answer: Answer, look: Look) -> Iterator[RenderableType]:
    yield heading(sentence(answer.title)[:-1])
    if answer.supply is not None:
        yield paragraph(answer.supply.text)
        yield paragraph(
            f"Eight in ten chances: the need is {span(answer.supply.need, look.system)}."
        )
    strong = answer.ages[0].chance_good
    for done in answer.tested:
        yield paragraph(done.text)
    if answer.held_back:
        yield paragraph(
            "None of this lot may be given. What follows is how it was to be made: mix another "
            "in its place, and look for what went wrong (warmth, water, the inoculum, slow drying)."
        )
        return
    good, cool = (amount(x, look.system) for x in (answer.good_for, answer.good_for_cool))
    store = one(answer.store_c, "°C", look.system)
    yield paragraph(
        f"Ready on {answer.ready.isoformat()}: {amount(answer.product, look.system)}. Best before "
        f"{answer.best_before.isoformat()} kept at {store}, {good} from packing; in a refrigerator "
        f"{cool}. The chance that it is strong enough when packed is {odds(strong)}: test it."
    )


def _recipe(answer: Answer, look: Look) -> Iterator[RenderableType]:
    yield heading("To weigh out")
    yield table(
        ("", "Mass", "Volume", "Level cups"),
        [
            (
                line.name,
                _weighed(line.mass, look.system),
                "" if line.volume is None else _weighed(line.volume, look.system),
                "" if line.cups is None else f"{line.cups.median:.3g}",
            )
            for line in answer.weighed
        ],
        right=(1, 2, 3),
    )
    yield paragraph(
        f"Water in the mix: {amount(answer.moisture, look.system)}. Living lactic bacteria to "
        f"start with: {_cells(answer.cells)} a gram."
    )


def _weighed(quantity: Range, system: str) -> str:
    """With as many digits as the steps say it."""
    dimension, size = _WEIGHED[quantity.unit]
    return show((quantity.median or 0.0) * size, dimension, system)


def _days(answer: Answer, look: Look) -> Iterator[RenderableType]:
    yield heading("Day by day")
    rows = []
    for day, steps in groupby(answer.steps, key=lambda step: step.day):
        for place, step in enumerate(steps):
            head = (f"Day {day}", step.date.isoformat()) if place == 0 else ("", "")
            rows.append((*head, step.text))
    yield listing(rows, (6, _DATE))
    sour = answer.souring
    yield paragraph(
        f"Closed {sour.closed_days} days. Practice gives {sour.usual_days} at this warmth; by the "
        f"model souring is done after {amount(sour.steady, look.system)}, at pH "
        f"{_plain(sour.ph)}, and lets out {amount(sour.gas, look.system)} of gas. The chance that "
        f"its slurry then reads 4.5 or below is {odds(sour.chance_sour)}."
    )


def _drying(found: Drying, look: Look) -> Iterator[RenderableType]:
    yield heading("Drying")
    yield paragraph(found.text)
    rows = [
        ("Moisture", f"{amount(found.moisture_before, look.system)} before, "
         f"{amount(found.moisture_after, look.system)} after"),
        ("Dry enough at", amount(found.weight_after, look.system)),
        ("Takes", f"{amount(found.days, look.system)}, of which damp "
         f"{amount(found.damp_days, look.system)}"),
        ("Layer", amount(found.trays, look.system)),
    ]  # fmt: skip
    if found.energy.high:
        rows.append(("Energy", f"{_plain(found.energy)} kWh"))
    yield listing(rows, (14,))


def _strength(answer: Answer, look: Look) -> Iterator[RenderableType]:
    yield heading("Strength and dose")
    yield table(
        ("After", "Date", "Living cells a gram", "Dose", "Strong enough"),
        [_age(age, look.system) for age in _until_weak(answer.ages)],
    )
    if answer.spoons is not None:
        yield paragraph(
            f"At first that is {amount(answer.spoons, look.system)} for a kilogram (2.2 lb) of "
            f"scraps, level, {spoon_words(answer.spoon)}s."
        )
    yield heading("What moves it most")
    for mover in answer.movers:
        yield paragraph(f"- {mover.text}")
    yield paragraph(
        "The dose is by the middle of the range; a test of the lot "
        "counts more than this forecast. Discard a lot that fails a test, or that is damp, warm, "
        "caked, musty, green or black."
    )


def _until_weak(ages: tuple[Age, ...]) -> tuple[Age, ...]:
    """Up to the first age at which the lot is too weak."""
    weak = [place for place, age in enumerate(ages) if age.advised is None]
    return ages[: weak[0] + 1] if weak else ages


def _age(age: Age, system: str) -> tuple[str, ...]:
    dose = "too weak: do not use" if age.advised is None else one(age.advised, "g/kg", system)
    when = {0: "packing", 1: "1 month"}.get(age.months, f"{age.months} months")
    return when, age.date.isoformat(), _cells(age.strength), dose, odds(age.chance_good)


def _cost(answer: Answer, look: Look) -> Iterator[RenderableType]:
    cost = answer.cost
    yield heading("Cost")
    if cost.total is None or cost.per_kg is None:
        yield paragraph(
            "No prices were given: --price carrier=0.80 --price sugar=2 --price inoculum=8 counts "
            "the cost in your own money."
        )
        return
    for line in cost.lines:
        yield paragraph(f"{line.name}: {_money(line.cost)}", indent=2)
    unit, size = ("lb", factor("lb", "mass")) if look.system == "us" else ("kg", 1.0)
    yield paragraph(
        f"In all {_money(cost.total)}, {_money(cost.per_kg, size)} for a {unit} of dry bran."
    )
    if cost.without_price:
        yield paragraph(f"Not counted, for want of a price: {', '.join(cost.without_price)}.")


def _rest(answer: Answer) -> Iterator[RenderableType]:
    yield heading("Tests of strength")
    for text in answer.tests:
        yield paragraph(f"- {text}")
    yield heading("Write on every bag" if answer.held_back else "Label")
    for line in answer.label:
        yield paragraph(line, indent=2)
    yield heading("Cautions")
    for caution in answer.cautions:
        source = f" Source: {caution.source}." if caution.source else ""
        yield paragraph(f"- {caution.text}{source}")
    yield heading("How this was reckoned")
    for note in answer.notes:
        yield paragraph(note)
    yield paragraph(
        f"{answer.members} possible batches, seed {answer.seed}; ranges hold eight in ten. "
        "sourloam sources bran_keeping shows the values behind them."
    )


def _cells(found: Range) -> str:
    """Living cells; below ten of them they are as good as none."""
    low, middle, high = (x if x is not None else 0.0 for x in (found.low, found.median, found.high))
    if high < 1:
        return "none"
    first, most, last = (show_count(x) if x >= 1 else "none" for x in (low, middle, high))
    return f"{most} ({first} to {last})"


def _plain(found: Range) -> str:
    if found.median is None or found.low is None or found.high is None:
        return "not known"
    return f"{found.median:.1f} ({found.low:.1f} to {found.high:.1f})"


def _money(found: Range, size: float = 1.0) -> str:
    assert found.median is not None
    assert found.low is not None
    assert found.high is not None
    low, middle, high = (size * money for money in (found.low, found.median, found.high))
    return f"{middle:.2f} ({low:.2f} to {high:.2f})"
