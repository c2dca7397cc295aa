"""The list of what is due at a place, today and in the days to come."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

from sourloam.ledger.due_bran import due_bran, due_recalled
from sourloam.ledger.due_place import due_in
from sourloam.ledger.due_vessel import begin, due_at, stage_on
from sourloam.ledger.foreseen import Foreseen
from sourloam.ledger.state import PlaceState, Stage
from sourloam.ledger.work import URGENCIES, WORK, Due, Question
from sourloam.site import Site


def due(
    place: PlaceState,
    forecasts: Mapping[str, Foreseen],
    site: Site | None,
    today: dt.date,
    days: int = 14,
) -> list[Due]:
    """Work from what is overdue to what comes within ``days``, the most pressing first.

    ``forecasts`` by vessel id, as many as there are; without one the rules of thumb hold, and
    without a site nothing is said of ground and beds. ``today`` is the date at the place.
    """
    question = Question(place, place.site() if site is None else site, forecasts, today, days)
    found = [piece for piece in _all(question) if piece.on <= question.last]
    return sorted(
        found,
        key=lambda d: (URGENCIES.index(d.urgency), d.on, WORK.index(d.what), d.name, d.key),
    )


def _all(question: Question) -> Iterator[Due]:
    for vessel in question.place.vessels:
        yield from due_at(vessel, question)
    yield from begin(question.place.vessels, question)
    for bed in question.place.beds:
        yield from due_in(bed, question)
    yield from due_recalled(question)
    yield from due_bran(question)


def stages(
    place: PlaceState, forecasts: Mapping[str, Foreseen], site: Site | None, today: dt.date
) -> dict[str, Stage]:
    """What each vessel is today, by id, with what is foreseen and the state of the ground."""
    question = Question(place, place.site() if site is None else site, forecasts, today, 0)
    return {v.id: stage_on(v, forecasts.get(v.id), question) for v in place.vessels}
