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
from sourloam.planning.free_beds import FURTHER
from sourloam.vessel import Vessel
from sourloam.web import wording as w
from sourloam.web.reading import site
from sourloam.web.setup.quick_plan import Quick, quick_plan
from sourloam.web.setup.wishes import kind_each

_MOST_SHOWN = 12
_ALL = 0.995  # a share that rounds to all
_TENTHS = (0.1, 0.5, 0.9)


@dataclass(frozen=True)
class Answer:
    """The quick answer, in words and drawings."""

    sentence: str
    ground: str
    shelf: str
    facts: list[dict[str, str]]
    cautions: list[str]
    how: list[str]
    needed: int | None


def answer(made: Mapping[str, Any], units: str) -> Answer:
    """The quick answer for a site document; pydantic's ValidationError for a wrong one."""
    quick = quick_plan(made)
    return Answer(
        sentence=_sentence(quick, kind_each(quick.kind.vessel.name, units, quick.number)),
        ground=_ground(quick, units),
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
    low, high = quick.span
    many = ngettext("You need %(n)d vessel", "You need %(n)d vessels", needed) % {"n": needed}
    if low < high:
        many += _(" (%(low)d to %(high)d)") % {"low": low, "high": high}
    said = [f"{many}: {name}."]
    if quick.kind.owned:
        said.append(_("You have %(n)d.") % {"n": quick.kind.owned})
    chance = _chance(quick.odds.chance, quick)
    said.append(_("Chance of a year with nowhere to put scraps: %(chance)s.") % {"chance": chance})
    return " ".join(said)


def _ground(quick: Quick, units: str) -> str:
    """What the beds take of a year's ferment, as a full plan tells it."""
    if not quick.case.beds:
        return _("There are no beds: what is ready goes into a tub of soil.")
    have = w.area_alone(sum(bed.area_m2 for bed in quick.case.beds), units)
    taken = float(np.median(quick.burying.taken_share))
    if taken >= _ALL:
        return _(
            "Your %(area)s of beds take all of the ferment: what the soured scraps became."
        ) % {"area": have}
    return _(
        "Your %(area)s of beds take about %(share)s of the ferment (what the soured scraps "
        "became); the rest goes elsewhere."
    ) % {"area": have, "share": w.share(round(taken, 2))}


def _shelf(quick: Quick) -> str:
    shape, number = quick.kind.vessel, quick.number
    states = ["filling", "resting", *["resting", "empty"] * number][: min(number, _MOST_SHOWN)]
    drawn = "".join(_drawn(shape, state, f"{n}") for n, state in enumerate(states, 1))
    more = number - len(states)
    return mark_safe(drawn + (f"<b>+ {more}</b>" if more > 0 else ""))


def _drawn(shape: Vessel, state: str, name: str) -> str:
    layers: tuple[drawing.LayerPicture, ...] = (
        drawing.LayerPicture(2, 3.9),
        drawing.LayerPicture(1, 4.3),
    )
    if state == "filling":
        layers = (*layers, drawing.LayerPicture(0.6, 5.2), drawing.LayerPicture(0.5, 6))
    picture = drawing.VesselPicture(
        name,
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
    return drawing.draw_vessel(picture, large=False)


def vessel_to_be(made: Mapping[str, Any]) -> str:
    """The vessel of a site document, empty: it stands there while its answer is reckoned."""
    return mark_safe(_drawn(site(dict(made)).to_vessels()[0], "empty", "1"))


def _facts(quick: Quick, units: str) -> list[dict[str, str]]:
    case = quick.case
    daily = case.scraps_kg[:, case.planned].mean(axis=1)
    days = _full_day(quick)
    rests = quick.resting.rest_days.ravel()
    each = quick.draining.per_draining_ml
    low, mid, high = np.quantile(daily, _TENTHS)
    liquid = np.quantile(each, _TENTHS)
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
        *([] if quick.together is None else [_nowhere(quick.together, quick)]),
        *_of_beds(quick, units),
    ]


def _full_day(quick: Quick) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Days until a vessel is full, of all seasons."""
    return np.concatenate([one.full_day for one in quick.filled])


def _of_beds(quick: Quick, units: str) -> list[dict[str, str]]:
    """What the beds take, and how much bed a year's ferment asks for."""
    if not quick.case.beds:
        return []
    low, taken, high = (round(x, 2) for x in np.quantile(quick.burying.taken_share, _TENTHS))
    least, area, most = (float(x) for x in np.quantile(quick.burying.area_m2, _TENTHS))
    return [
        {
            "of": _("Of a year's ferment your beds take"),
            "middle": w.share(taken),
            "range": f"{w.share(low)} – {w.share(high)}",
        },
        {
            "of": _("Bed for a year of it"),
            "middle": w.area_alone(area, units),
            "range": f"{w.area_alone(least, units)} – {w.area_alone(most, units)}",
        },
    ]


def _nowhere(together: Odds, quick: Quick) -> dict[str, str]:
    """The chance of a year with nowhere to put scraps, with the vessels that are there."""
    many = w.vessels_count(together.number)
    return {
        "of": _("Nowhere to put scraps in a year, with %(many)s") % {"many": many},
        "middle": _chance(together.chance, quick),
        "range": f"{w.share(round(together.low, 2))} – {w.share(round(together.high, 2))}",
    }


def _chance(value: float, quick: Quick) -> str:
    """A chance; none in so few possible years is not called never."""
    if value > 0:
        return w.share(round(value, 2))
    cases = quick.case.members * quick.case.years
    return _("less than %(share)s") % {"share": w.share(math.ceil(100 / cases) / 100)}


def _days_fact(of: str, days: np.ndarray[Any, np.dtype[np.float64]]) -> dict[str, str]:
    low, mid, high = np.quantile(days, _TENTHS, method="nearest")
    return {"of": of, "middle": _days(mid), "range": f"{_days(low)} – {_days(high)}"}


def _days(value: float) -> str:
    if not math.isfinite(value):
        return _("beyond the time foreseen")
    number = max(1, round(value))
    return ngettext("%(n)d day", "%(n)d days", number) % {"n": number}


def _cautions(quick: Quick) -> list[str]:
    found = []
    if np.median(_full_day(quick)) > 60:
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
            "“sourloam plan” takes 500 and lists every source. A vessel's number stands with the "
            "numbers that so few years leave open."
        ),
        *_of_ground(quick),
    ]


def _of_ground(quick: Quick) -> list[str]:
    """Which beds were counted, and by what."""
    if not quick.case.beds:
        return []
    names = ", ".join(
        _("further ground") if bed.name == FURTHER else bed.name for bed in quick.case.beds
    )
    return [
        _(
            "Beds: %(names)s. Each takes what its nitrogen, its room for trenches and its crops "
            "allow in a year; what finds no bed goes to people with ground, a community garden or "
            "the food waste collection, or into a tub of old soil."
        )
        % {"names": names}
    ]
