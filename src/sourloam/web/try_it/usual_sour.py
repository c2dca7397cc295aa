"""What the pages wait for when they say sour, sour and steady, and the usual rest: one answer."""

from __future__ import annotations

from typing import Any

import numpy as np
from django.utils.translation import gettext as _

from sourloam import drawing
from sourloam.evidence import book
from sourloam.web import heard
from sourloam.web import wording as w
from sourloam.web.pictures import shown
from sourloam.web.try_it.model import MEMBERS, Outcome, line_ph
from sourloam.web.try_it.page import after_said
from sourloam.web.try_it.settings import usual

_LOWEST_PH = 3.0
_WEEK = 7


def page(outcome: Outcome | None, units: str) -> dict[str, Any]:
    """The three waits with their days, and the picture; without days where none was reckoned."""
    rows = book()
    steps = {
        "sour": _(
            "Its pH is below %(ph)s, where spoilage is held back. The layers below are older, and "
            "as a rule sour already. Most of the danger is over, but the acid still eats on."
        )
        % {"ph": w.number(line_ph())},
        "steady": _(
            "Its pH is as low as such scraps get, moved less than %(change)s in %(days)d days, and "
            "a week has gone since it went in. Now the whole vessel keeps, and may be buried."
        )
        % {
            "change": w.number(rows["ferment.steady_change"].value),
            "days": rows["ferment.steady_days"].value,
        },
        "rest": _(
            "What councils and practitioners commonly say, for a kitchen. Forecasts do not use it; "
            "where nothing is foreseen, work is reckoned by it."
        ),
    }
    rest = rows["practice.rest"]
    usual_rest = _("%(low)s to %(high)s days") % {"low": f"{rest.low:g}", "high": f"{rest.high:g}"}
    names = {
        "sour": (_("Newest layer sour"), _("What if…?")),
        "steady": (
            _("Newest layer sour and steady"),
            _("What if…?, a vessel's page, what to do, set-up and plan: the end of the rest"),
        ),
        "rest": (_("Usual rest"), _("beside the plan's own figure, as usual advice")),
    }
    days = _days(outcome) | {"rest": {"middle": usual_rest, "range": ""}}
    return {
        "steps": [
            {"name": name, "where": where, "text": steps[key], **days.get(key, {})}
            for key, (name, where) in names.items()
        ],
        "chart": None if outcome is None else _chart(outcome),
        "case": _("At %(warmth)s, with the usual bran, by %(n)d runs of the model.")
        % {"warmth": w.warmth(usual("pail").warmth, units), "n": MEMBERS},
    }


def _days(outcome: Outcome | None) -> dict[str, dict[str, str]]:
    if outcome is None:
        return {}
    return {"sour": after_said(outcome.sour_days), "steady": after_said(outcome.steady_days)}


def _chart(outcome: Outcome) -> Any:
    """The newest layer's pH from the day it went in, with the day of being sour and steady."""
    first = outcome.layer_days[-1]
    low, middle, high = outcome.newest_ph[:, first:]
    steady = float(np.median(outcome.steady_days))
    title = _("pH of the newest layer, with the range of eight in ten")
    days = range(1, middle.size + 1)
    picture = drawing.BandPicture(
        tuple(map(float, days)),
        tuple(low),
        tuple(middle),
        tuple(high),
        tuple((float(d), _("day %(n)d") % {"n": d}) for d in days if d % _WEEK == 0),
        ((4.0, "4"), (5.0, "5"), (6.0, "6"), (7.0, "7")),
        title,
        limit=(line_ph(), _("below this: sour")),
        today=(steady, _("sour and steady")) if np.isfinite(steady) else None,
        floor=_LOWEST_PH,
    )
    return shown(drawing.draw_band(heard.band(picture, heard.nth_day, heard.ph)))
