"""Set-up's answer: a quick plan in words and drawings."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.planning.counting import Odds
from sourloam.web import wording as w
from sourloam.web.setup.quick_plan import Quick, quick_plan
from sourloam.web.setup.wishes import kind_word

_MOST_SHOWN = 12
_FEW = 0.01  # a smaller chance is not told to the point


@dataclass(frozen=True)
class Answer:
    """The quick answer, in words and drawings."""

    sentence: str
    shelf: str
    facts: list[dict[str, str]]
    cautions: list[str]
    how: list[str]
    needed: int | None


def answer(made: Mapping[str, Any], units: str) -> Answer:
    """The quick answer for a site document; pydantic's ValidationError for a wrong one."""
    quick = quick_plan(made)
    return Answer(
        sentence=_sentence(quick, kind_word(quick.kind.vessel.name, units)),
        shelf=_shelf(quick),
        facts=_facts(quick, units),
        cautions=_cautions(quick),
        how=_how(quick),
        needed=quick.needed,
    )


def _sentence(quick: Quick, name: str) -> str:
    needed, number = quick.needed, quick.number
    if needed is None:
        return _(
            "Not even %(n)d vessels of %(name)s are enough. Take larger ones, or a tub of soil "
            "under a roof for the cold months."
        ) % {"n": number, "name": name}
    many = ngettext("%(n)d vessel", "%(n)d vessels", needed) % {"n": needed}
    chance = _chance(quick.odds.chance)
    return _(
        "%(many)s of %(name)s will do. Chance of a year with nowhere to put scraps: %(chance)s."
    ) % {"many": many, "name": name, "chance": chance}


def _shelf(quick: Quick) -> str:
    shape, number = quick.kind.vessel, quick.number
    states = ["filling", "resting", *["resting", "empty"] * number][: min(number, _MOST_SHOWN)]
    drawn = ""
    for index, state in enumerate(states):
        layers: tuple[drawing.LayerPicture, ...] = (
            drawing.LayerPicture(2, 3.9),
            drawing.LayerPicture(1, 4.3),
        )
        if state == "filling":
            layers = (*layers, drawing.LayerPicture(0.6, 5.2), drawing.LayerPicture(0.5, 6))
        picture = drawing.VesselPicture(
            f"{index + 1}",
            state,
            shape.top_diameter_m,
            shape.base_diameter_m,
            shape.height_m,
            shape.sump_height_m,
            shape.headroom_m,
            layers if state != "empty" else (),
            level=0.6 if state == "filling" else 1.0,
            liquid=0.5 if state == "filling" else 0.0,
            title=w.word(w.STAGES, state),
        )
        drawn += drawing.draw_vessel(picture, large=False)
    more = number - len(states)
    return mark_safe(drawn + (f"<b>+ {more}</b>" if more > 0 else ""))


def _facts(quick: Quick, units: str) -> list[dict[str, str]]:
    case = quick.case
    daily = case.scraps_kg[:, case.planned].mean(axis=1)
    days = quick.filled.full_day
    rests = quick.resting.rest_days.ravel()
    each = quick.draining.per_draining_ml
    low, mid, high = np.quantile(daily, (0.1, 0.5, 0.9))
    liquid = np.quantile(each, (0.1, 0.5, 0.9))
    return [
        {
            "of": _("Scraps that go in"),
            "middle": _("%(amount)s a day") % {"amount": w.kg(round(mid, 2), units)},
            "range": w.kg_range(round(low, 2), round(high, 2), units),
        },
        _days_fact(_("A vessel is full after"), days),
        _days_fact(_("Then it rests, until its newest layer is sour and steady"), rests),
        {
            "of": ngettext(
                "Drain every %(n)d day, about",
                "Drain every %(n)d days, about",
                quick.draining.every_days,
            )
            % {"n": quick.draining.every_days},
            "middle": w.liquid(float(liquid[1]), units),
            "range": w.liquid_range(float(liquid[0]), float(liquid[2]), units),
        },
        *([] if quick.together is None else [_nowhere(quick.together)]),
    ]


def _nowhere(together: Odds) -> dict[str, str]:
    """The chance of a year with nowhere to put scraps, with the vessels that are there."""
    many = w.vessels_count(together.number)
    low, chance, high = (_chance(x) for x in (together.low, together.chance, together.high))
    return {
        "of": _("Nowhere to put scraps in a year, with %(many)s") % {"many": many},
        "middle": chance,
        "range": f"{low} – {high}",
    }


def _chance(value: float) -> str:
    return w.share(round(value, 2)) if value >= _FEW else _("hardly any")


def _days_fact(of: str, days: np.ndarray[Any, np.dtype[np.float64]]) -> dict[str, str]:
    low, mid, high = np.quantile(days, (0.1, 0.5, 0.9), method="nearest")
    return {"of": of, "middle": _days(mid), "range": f"{_days(low)} – {_days(high)}"}


def _days(value: float) -> str:
    if not math.isfinite(value):
        return _("beyond the time foreseen")
    number = max(1, round(value))
    return ngettext("%(n)d day", "%(n)d days", number) % {"n": number}


def _cautions(quick: Quick) -> list[str]:
    found = []
    if np.median(quick.filled.full_day) > 60:
        found.append(
            _("Such a vessel takes long to fill; its bottom may stand for months. Try a smaller.")
        )
    if quick.needed is None:
        found.append(_("Weigh a week of scraps before you buy: the amount moves this most."))
    return found


def _how(quick: Quick) -> list[str]:
    return [
        _(
            "Each answer runs the model of a vessel through %(n)d possible years that differ in "
            "everything that is uncertain: amounts, weather, sourness, packing. Ranges hold eight "
            "of ten of them."
        )
        % {"n": quick.case.members},
        _(
            "With so few years a chance is rough, to about four in a hundred. The command "
            "“sourloam plan” takes 500 and lists every source."
        ),
    ]
