"""Rules of thumb beside this case: the usual figure, ours, whether they agree, and why."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sourloam.evidence import Row, book
from sourloam.planning.contract import Plan, Practice, Range
from sourloam.planning.parts.day_words import many
from sourloam.planning.parts.filling import USUAL_M3, mean_days, rest_days_words, rest_verdict
from sourloam.planning.parts.liquid import DISAGREEMENT, below_usual
from sourloam.planning.parts.spans import span, weeks
from sourloam.planning.ranges import range_of, scaled, words
from sourloam.planning.work import Work
from sourloam.site.sections import PeopleScraps
from sourloam.units import show, show_range

_HUNDRED = 100
_SMALL = ("home", "other")  # kinds of place that rules for households are meant for
_WEEK = 7
_G_KG_PER_PERCENT = 10


def practice_part(work: Work, plan: Plan) -> tuple[Practice, ...]:
    """All rules that a figure of the plan can be held against; ``plan`` has every other part."""
    return tuple(_rules(work, plan))


def _rules(work: Work, plan: Plan) -> Iterator[Practice]:
    if work.case.site.place.kind in _SMALL:
        yield _vessels(work)
    yield _fill(work)
    yield from _rests(work, plan)
    yield from _bran(work, plan)
    yield from _liquid(work, plan)
    yield _warmth(work)
    yield _wait(work, plan)
    if work.case.site.place.kind in _SMALL:
        yield _handful(work, plan)
        yield _bran_month(work, plan)
        yield _draining(work, plan)
        yield _full_mass(work)
        yield _household(work)


def _judge(row: Row, value: Range) -> str:
    """Agrees where the middle figure lies within the usual span."""
    if value.median is None:
        return "differs"
    return "agrees" if row.low <= value.median <= row.high else "differs"


def _made(row_id: str, texts: tuple[str, str, str], value: Range, shown: str) -> Practice:
    """``texts``: the rule, the usual figure in words, why."""
    row = book()[row_id]
    return Practice.model_validate(
        {
            "id": row_id,
            "rule": texts[0],
            "usual": texts[1],
            "computed": value,
            "shown": shown,
            "verdict": _judge(row, value),
            "why": texts[2],
            "source": book().citation(row),
            "standing": row.standing,
        }
    )


def _vessels(work: Work) -> Practice:
    value = range_of([work.number], "vessels")
    held = np.median((~work.case.open_ground[:, work.case.coming_year]).sum(axis=1))
    why = (
        "Two are enough only where one rests out before the other is full, and the ground is open "
        f"when it is; here the ground is closed or the beds busy on about {held:.0f} days a year, "
        "and the rest and the next burial day come on top."
    )
    shown = many(work.number, work.chosen.vessel.name)
    made = _made("practice.vessels", ("Two vessels", _usual_vessels(work), why), value, shown)
    row = book()["practice.vessels"]
    agrees = row.low <= work.number <= (row.high if _large_family(work) else row.value)
    return made.model_copy(update={"verdict": "agrees" if agrees else "differs"})


def _usual_vessels(work: Work) -> str:
    row = book()["practice.vessels"]
    if _large_family(work):
        return f"{row.value:g}, or {row.high:g} for a large family"
    return f"{row.value:g}"


def _large_family(work: Work) -> bool:
    """Whether so many people live there, or how many is not said."""
    people = [entry.people for entry in work.case.site.scraps if isinstance(entry, PeopleScraps)]
    return not people or sum(people) >= book()["planning.large_family"].value


def _fill(work: Work) -> Practice:
    filled = work.filled[work.chosen.vessel.name]
    value = mean_days(filled)
    row = book()["practice.fill"]
    usual = weeks("practice.fill")
    takes = np.median(np.concatenate([one.scraps_kg for one in filled]))
    fits = show_range(takes / row.high, takes / row.low, "mass_rate", work.system)
    why = f"{usual} fit {fits} in such a vessel."
    texts = (f"One vessel lasts {usual}", f"{usual} ({show(USUAL_M3, 'volume', work.system)})", why)
    return _made("practice.fill", texts, value, words(value, work.system))


def _rests(work: Work, plan: Plan) -> Iterator[Practice]:
    resting = work.resting
    value = range_of(resting.rest_days, "days")
    texts = (f"Rest {weeks('practice.rest')}", span("practice.rest"), plan.finish.why)
    made = _made("practice.rest", texts, value, rest_days_words(plan.finish.by_season, work.system))
    yield made.model_copy(update={"verdict": rest_verdict(plan.finish.by_season)})
    wait = plan.ground.wait
    if value.median is not None and wait.median is not None:
        middle = value.median + wait.median
        both = range_of([middle], "days")
        texts = (
            "Two weeks in the vessel, two in the soil, then plant",
            f"about {book()['practice.together'].value / _WEEK:g} weeks",
            "The soil's share of the wait hangs on its warmth.",
        )
        yield _made("practice.together", texts, both, words(both, work.system))


def _bran(work: Work, plan: Plan) -> Iterator[Practice]:
    dose = plan.bran.dose
    why = "Thin layers need more for their weight, because the whole surface is dusted."
    usual = _usual(work, "practice.bran_share", "g/kg")
    texts = (f"Bran is {_percent_span('practice.bran_share')} of the scraps", usual, why)
    yield _made("practice.bran_share", texts, dose, words(dose, work.system))


def _percent_span(row_id: str) -> str:
    """A row in g/kg as a share."""
    row = book()[row_id]
    return f"{row.low / _G_KG_PER_PERCENT:g} to {row.high / _G_KG_PER_PERCENT:g} %"


def _handful(work: Work, plan: Plan) -> Practice:
    layer = next(x for x in plan.bran.per_layer if x.vessel == work.chosen.vessel.name)
    why = "It follows from the scraps in one layer and from the surface to be dusted."
    texts = ("A handful for each layer", _usual(work, "practice.handful", "g"), why)
    return _made("practice.handful", texts, layer.mass, words(layer.mass, work.system))


def _bran_month(work: Work, plan: Plan) -> Practice:
    month = scaled(plan.bran.per_year, 1 / 12, "kg")
    texts = (
        "A bag of bran lasts a household a month",
        _usual(work, "practice.bran_month", "kg"),
        "It follows the scraps; thin layers need more for their weight.",
    )
    return _made("practice.bran_month", texts, month, words(month, work.system))


def _usual(work: Work, row_id: str, unit: str) -> str:
    """The usual span of a row in the reader's units."""
    row = book()[row_id]
    span = Range(median=row.value, low=row.low, high=row.high, unit=unit)
    return words(span, work.system)


def _liquid(work: Work, plan: Plan) -> Iterator[Practice]:
    every = range_of([plan.liquid.drain_every_days], "days")
    texts = (
        f"Drain every {span('practice.drain')}",
        span("practice.drain"),
        "Here the space under the grid fills sooner than usual.",
    )
    yield _made("practice.drain", texts, every, words(every, work.system))
    share = scaled(plan.liquid.per_kg, 1 / 10, "%")
    usual = span("practice.liquid_share")
    texts = (f"Liquid is {usual} of the scraps", usual, _why_liquid(work))
    yield _made("practice.liquid_share", texts, share, words(share, work.system))


def _draining(work: Work, plan: Plan) -> Practice:
    each, usual = plan.liquid.per_draining, _usual(work, "practice.liquid_draining", "mL")
    texts = ("What each draining gives", usual, _why_liquid(work))
    return _made("practice.liquid_draining", texts, each, words(each, work.system))


def _why_liquid(work: Work) -> str:
    dry = np.median(_HUNDRED * work.case.mix.dry_kg / work.case.mix.fresh_kg)
    why = f"It hangs on dry matter, which usual figures do not name; this mix has {dry:.0f} %."
    return f"{why} {DISAGREEMENT}" if below_usual(work) else why


def _full_mass(work: Work) -> Practice:
    value = range_of(
        np.concatenate([one.taken_kg for one in work.filled[work.chosen.vessel.name]]), "kg"
    )
    texts = (
        "What a full small vessel holds",
        _usual(work, "practice.full_mass", "kg"),
        "It follows the volume and how firmly the layers are pressed.",
    )
    return _made("practice.full_mass", texts, value, words(value, work.system))


def _warmth(work: Work) -> Practice:
    value = range_of(work.case.room_c[:, work.case.coming_year], "°C")
    row = book()["practice.temperature"]
    usual = show_range(row.low, row.high, "temperature", work.system)
    texts = (f"Keep vessels at {usual}", usual, "Cooler places sour more slowly, hot ones gas.")
    return _made("practice.temperature", texts, value, words(value, work.system))


def _wait(work: Work, plan: Plan) -> Practice:
    value = plan.ground.wait
    texts = (
        f"Wait {weeks('practice.wait')} before planting over it",
        span("practice.wait"),
        "The soil works faster when warm; in cold soil the wait grows to months.",
    )
    return _made("practice.wait", texts, value, words(value, work.system))


def _household(work: Work) -> Practice:
    daily = work.case.scraps_kg[:, work.case.planned].mean(axis=1)
    value = range_of(daily * 7, "kg")
    texts = (
        "Food in a household's rubbish in a week",
        _usual(work, "practice.household_week", "kg"),
        "What goes into the vessel is the share you capture of what your household makes.",
    )
    return _made("practice.household_week", texts, value, words(value, work.system))
