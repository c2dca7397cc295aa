"""A place as its programme sees it, and lines of the programme's own log."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from sourloam.logbook.models import ProgrammeEntry
from sourloam.programme import (
    DEEDS,
    BranFacts,
    Help,
    PlaceFacts,
    Silence,
    VesselFacts,
    Where,
)
from sourloam.web import wording as w
from sourloam.web.programmes import words as pw
from sourloam.web.programmes.house import Yard

_ICONS = {
    "failed": "emptied", "nowhere": "set_aside", "failing": "looked",
    "stopped": "noted", "bran": "bran_received", "undrained": "drained",
}  # fmt: skip
_SAID: Mapping[str, Callable[[float, str], str]] = {
    "kg": w.kg,
    "contamination_kg": lambda kg, units: (
        _("of it %(v)s that did not belong") % {"v": w.kg(kg, units)}
    ),
    "clean": lambda number, _units: _("%(v)s clean left") % {"v": w.number(number)},
    "vessels": lambda number, _units: w.vessels_count(round(number)),
    "people": lambda number, _units: (
        ngettext("%(n)d person", "%(n)d people", round(number)) % {"n": round(number)}
    ),
    "hours": lambda hours, _units: _("%(v)s h") % {"v": w.number(hours)},
    "km": lambda km, _units: _("%(v)s km") % {"v": w.number(km)},
}


def helped(yard: Yard, one: Help) -> dict[str, Any]:
    """A place that needs somebody: why, and what helps."""
    first = one.risks[0]
    return {
        "id": one.place.id,
        "name": one.place.name,
        "url": pw.place_url(yard, one.place),
        "icon": _ICONS[first.what],
        "why": pw.told(first.why, yard.units),
        "chance": "" if first.chance is None else pw.within(first),
        "helps": pw.told(first.helps, yard.units),
        "more": [pw.told(risk.why, yard.units) for risk in one.risks[1:]],
        "deed": "visit" if one.visit else "word",
    }


def entry(row: ProgrammeEntry, yard: Yard, named: bool = True) -> dict[str, Any]:
    """A line of the programme's log; ``named`` with the place that it is of."""
    body = row.body
    said = [tell(body[key], yard.units) for key, tell in _SAID.items() if body.get(key)]
    return {
        "id": str(row.pk),
        "kind": row.kind,
        "label": _(DEEDS[row.kind].label) if row.kind in DEEDS else row.kind,
        "place": "" if row.place is None or not named else row.place.name,
        "url": ""
        if row.place_id is None
        else reverse("web:programme_place", args=[yard.id, row.place_id]),
        "day": w.day(row.day),
        "said": ", ".join(said),
        "note": body.get("note", ""),
        "answer": body.get("answer", ""),
        "by": row.by,
    }


def place_row(
    yard: Yard, one: PlaceFacts, help_: Mapping[str, Help], risk: str = ""
) -> dict[str, str]:
    """A place in the list; ``risk`` is the reason to be told, else the most pressing one."""
    found = help_.get(one.id)
    risks = found.risks if found else ()
    told = next((r for r in risks if r.what == risk), next(iter(risks), None))
    return {
        "name": one.name,
        "kind": w.word(pw.KINDS, one.kind),
        "url": pw.place_url(yard, one),
        "state": standing(one),
        "why": pw.told(told.why, yard.units) if told else "",
    }


def standing(one: PlaceFacts) -> str:
    """Its vessels in a few words."""
    parts = []
    for words, number in (
        (gettext_lazy("%(n)d filling"), len(one.filling)),
        (gettext_lazy("%(n)d full"), len(one.standing_full)),
        (gettext_lazy("%(n)d free"), one.free),
        (gettext_lazy("%(n)d taken"), len(one.fetched)),
    ):
        if number:
            parts.append(str(words) % {"n": number})
    return ", ".join(parts) or _("no vessel in use")


def place_page(
    yard: Yard, one: PlaceFacts, found: Help | None, quiet: Silence | None
) -> dict[str, Any]:
    """One place as its programme sees it."""
    return {
        "facts": {
            "name": one.name,
            "kind": w.word(pw.KINDS, one.kind),
            "standing": standing(one),
            "kg": w.kg(one.kg, yard.units),
            "ended": one.sound + one.failed,
            "failed": one.failed,
            "still": sum(v.stage == "failed" for v in one.vessels),
            "began": bool(one.vessels or one.kg),
        },
        "help": None if found is None else helped(yard, found),
        "risks": []
        if found is None
        else [
            {
                "why": pw.told(r.why, yard.units),
                "helps": pw.told(r.helps, yard.units),
                "chance": "" if r.chance is None else pw.within(r),
            }
            for r in found.risks
        ],
        "quiet": None
        if quiet is None
        else {
            "last": w.day(quiet.last),
            "began": quiet.began,
            "days": pw.days(quiet.days),
            "usual": pw.days(max(round(quiet.usual_days), 1)),
            "chance": pw.in_hundred(quiet.chance),
        },
        "vessels": [_vessel(yard, v) for v in one.vessels],
        "bran": "" if one.bran is None else _bran(yard, one.bran),
        "taken": bool(one.fetched),
        "spare": one.spare,
    }


def _bran(yard: Yard, bran: BranFacts) -> str:
    said = _("%(left)s left; a day takes about %(day)s") % {
        "left": w.about_bran(bran.left_kg, yard.units),
        "day": w.grams(1000 * bran.daily_kg[1], yard.units),
    }
    if not bran.given_kg:
        return said
    return _("%(said)s; of it %(given)s that you left there") % {
        "said": said,
        "given": w.bran(bran.given_kg, yard.units),
    }


def _vessel(yard: Yard, vessel: VesselFacts) -> dict[str, str]:
    stage = "dirty" if vessel.stage == "empty" and vessel.dirty else vessel.stage
    said = []
    if vessel.fetched_on is not None:
        said.append(_("taken on %(day)s") % {"day": w.day(vessel.fetched_on)})
    if vessel.kg:
        said.append(w.kg(vessel.kg, yard.units))
    if vessel.full_on is not None and vessel.full_on[1] is not None:
        low, middle, high = (
            w.day(day) if day else _("later than foreseen") for day in vessel.full_on
        )
        said.append(_("full about %(m)s (%(l)s – %(h)s)") % {"m": middle, "l": low, "h": high})
    if vessel.failing is not None:
        said.append(_("fails: %(chance)s") % {"chance": pw.in_hundred(vessel.failing)})
    return {"name": vessel.name, "stage": w.word(w.STAGES, stage), "said": "; ".join(said)}


def where_form(there: Where | None, row: Any) -> dict[str, str]:
    """What the form on a place's whereabouts begins with."""
    return {
        "latitude": "" if row.latitude is None else f"{row.latitude:.5f}",
        "longitude": "" if row.longitude is None else f"{row.longitude:.5f}",
        "opens": "" if row.opens is None else row.opens.strftime("%H:%M"),
        "closes": "" if row.closes is None else row.closes.strftime("%H:%M"),
        "how": row.how,
    }
