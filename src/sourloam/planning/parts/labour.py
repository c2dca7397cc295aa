"""Hours of work, in words."""

from __future__ import annotations

import numpy as np

from sourloam.planning.contract import Labour
from sourloam.planning.parts.weeks import Week, weeks_of
from sourloam.planning.parts.year import Year
from sourloam.planning.work import Work

_FEW = 10  # method: below this hours are told with a decimal
_ROUND = 1 + 1e-9  # method: rounding of hours


def labour_part(work: Work, year: Year) -> Labour:
    """What a week asks, and what people have."""
    weeks, labour = weeks_of(work, year), work.labour
    busiest = max(weeks, key=lambda week: week.hours)
    return Labour(
        hours_a_week=labour.hours_a_week,
        stated=labour.stated,
        routine=round(labour.routine_h, 1),
        busiest_week=busiest.start,
        busiest=round(busiest.hours, 1),
        weeks_above=sum(too_much(work, week) for week in weeks),
        buried_at_most=at_most(work),
        text=_text(work, weeks),
    )


def too_much(work: Work, week: Week) -> bool:
    """Whether a week asks for clearly more than people have."""
    return week.hours > work.labour.too_much_h()


def at_most(work: Work) -> int:
    """Vessels that the middle case has time to bury in a week; one always."""
    outlets = work.alone(work.chosen).outlets
    if outlets is None:
        return work.number
    return max(1, int(_ROUND * np.median(outlets.dig_h) / np.median(outlets.vessel_h[0])))


def hours(number: float) -> str:
    """Such as "an hour" or "2.5 hours"."""
    told = f"{number:.1f}".removesuffix(".0") if number < _FEW else f"{number:.0f}"
    return "1 hour" if told == "1" else f"{told} hours"


def _text(work: Work, weeks: tuple[Week, ...]) -> str:
    busiest = max(weeks, key=lambda week: week.hours)
    mean = float(np.mean([week.hours for week in weeks]))
    text = (
        f"Layers and drainings ask for about {hours(work.labour.routine_h)} in an ordinary week, "
        f"chopping not counted. With emptying, digging and washing a week asks for about "
        f"{hours(mean)} on average; the one that asks most, from {busiest.start.day} "
        f"{busiest.start:%B}, for about {hours(busiest.hours)}. {_people(work)} {_burying(work)}"
    )
    above = sum(too_much(work, week) for week in weeks)
    if work.labour.routine_h > work.labour.hours_a_week:
        return f"{text} That is too little even for the layers: find more people, or put less in."
    if above:
        many = f"{above} weeks ask" if above > 1 else "1 week asks"
        return f"{text} {many} for more than that: get help, or put less in."
    return text


def _people(work: Work) -> str:
    have = hours(work.labour.hours_a_week)
    if work.labour.stated:
        return f"You say that people have {have} a week."
    return (
        f"People are taken to have {have} a week, as may be usual for a {_place(work)}: write "
        "hours_a_week under [site] if yours differ."
    )


def _burying(work: Work) -> str:
    number = at_most(work)
    verb = "emptied" if work.case.site.ground.none else "buried"
    count = f"about {number} vessels" if number > 1 else "1 vessel"
    return f"That is time for {count} to be {verb} in a week; more wait their turn."


def _place(work: Work) -> str:
    kind = work.case.site.place.kind
    return {"cafe": "café", "garden": "shared garden", "other": "place of this sort"}.get(
        kind, kind
    )
