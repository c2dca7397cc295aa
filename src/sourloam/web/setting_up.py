"""Set-up: a few sliders to a site document, and a quick answer from few possible years."""

from __future__ import annotations

import datetime as dt
import json
import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sourloam import drawing
from sourloam.climate.seasons import ALL_YEAR
from sourloam.planning.case import foresee
from sourloam.planning.counting import Odds
from sourloam.planning.work import Work, carry_out
from sourloam.scraps import PRESETS
from sourloam.site import Site
from sourloam.site.sections import MealScraps, MeasuredScraps, PeopleScraps
from sourloam.web import wording as w

#: Possible years of a quick answer; ``sourloam plan`` takes 500.
MEMBERS = 32
_SEED = 1
_MOST_SHOWN = 12


@dataclass(frozen=True)
class Wishes:
    """What the sliders say."""

    people: float = 3
    capture: float = 0.6
    mix: str = "household"
    room_c: float = 19
    litres: float = 19
    risk: float = 0.05
    area_m2: float = 6
    start: str = "2026-01-01"
    name: str = ""


@dataclass(frozen=True)
class Answer:
    """The quick answer, in words and drawings."""

    sentence: str
    shelf: str
    facts: list[dict[str, str]]
    cautions: list[str]
    how: list[str]
    needed: int | None


_BOUNDS = {
    "people": (1, 5000),
    "capture": (0.05, 1),
    "room_c": (2, 35),
    "litres": (5, 240),
    "risk": (0.01, 0.5),
    "area_m2": (0, 500),
}


def read_wishes(posted: Mapping[str, str], start: dt.date, before: Wishes | None = None) -> Wishes:
    """Wishes from a form, each held within its bounds; ValueError with one line otherwise."""
    found = asdict(before or Wishes())
    found["start"] = start.isoformat()
    for key, (low, high) in _BOUNDS.items():
        if posted.get(key):
            found[key] = _within(posted[key], key, low, high)
    for percent in ("capture", "risk"):
        if posted.get(f"{percent}_percent"):
            low, high = (100 * bound for bound in _BOUNDS[percent])
            found[percent] = _within(posted[f"{percent}_percent"], percent, low, high) / 100
    if posted.get("mix") in PRESETS:
        found["mix"] = posted["mix"]
    return Wishes(**{**found, "name": posted.get("name", "").strip()[:80]})


def _within(text: str, key: str, low: float, high: float) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        raise ValueError(f'{key}: found "{text[:20]}"; write a number from {low:g} to {high:g}')
    return value


def document(wishes: Wishes, base: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """A site document that says what the wishes say; the rest stays as in ``base``."""
    made: dict[str, Any] = json.loads(json.dumps(base)) if base else _plain(wishes)
    stream = made["scraps"][0]
    if stream["from"] == "people":
        stream |= {"people": wishes.people, "capture": round(wishes.capture, 3)}
    stream["mix"] = wishes.mix
    if made["room"].get("kind", "indoors") == "indoors":
        made["room"]["temperature"] = f"{wishes.room_c:g} °C"
        made["room"].pop("winter_temperature", None)
    made["ground"] = _ground(made.get("ground", {}), wishes.area_m2)
    made["site"]["risk"] = round(wishes.risk, 3)
    kinds = made["vessel"]
    if not base:
        kinds[0] |= {"name": _vessel_name(wishes.litres), "volume": f"{wishes.litres:g} L"}
    return made


def _ground(before: Mapping[str, Any], area_m2: float) -> dict[str, Any]:
    """The beds' area; no ground means a tub of soil."""
    if area_m2 == 0:
        return {"none": True}
    kept = {key: value for key, value in before.items() if key not in ("none", "bed_area")}
    return {"texture": "loam", **kept, "bed_area": f"{area_m2:g} m²"}


def _vessel_name(litres: float) -> str:
    return f"{litres:g} L"


def _plain(wishes: Wishes) -> dict[str, Any]:
    return {
        "site": {"name": wishes.name or _("Home"), "kind": "home", "start": wishes.start},
        "climate": {"record": "mild-oceanic"},
        "room": {"kind": "indoors", "temperature": "19 °C"},
        "scraps": [{"from": "people", "people": 3, "mix": "household", "pieces": "chopped"}],
        "vessel": [{"name": "19 L", "volume": "19 L"}],
        "ground": {"texture": "loam"},
    }


def wishes_of(site: Site) -> Wishes:
    """Where the sliders stand for a place that has been described."""
    stream = site.scraps[0]
    usual = Wishes()
    people = stream.people if isinstance(stream, PeopleScraps) else usual.people
    capture = stream.capture if isinstance(stream, PeopleScraps) and stream.capture else None
    litres = site.to_vessels()[0].brim_m3 * 1000
    return Wishes(
        people=people,
        capture=capture or usual.capture,
        mix=stream.mix if isinstance(stream.mix, str) else usual.mix,
        room_c=usual.room_c if site.room.temperature_c is None else site.room.temperature_c,
        litres=round(litres),
        risk=site.place.risk,
        area_m2=0.0 if site.ground.none else round(site.ground.bed_area_m2 or 6, 1),
        start=site.place.start.isoformat(),
        name=site.name,
    )


def stream_said(site: Site, units: str) -> str:
    """What the first source of scraps is, where sliders do not change it."""
    stream = site.scraps[0]
    if isinstance(stream, MealScraps):
        return _("%(n)g meals a day") % {"n": stream.per_day}
    if isinstance(stream, MeasuredScraps):
        return _("%(amount)s a day") % {"amount": w.kg(stream.amount_kg_per_day, units)}
    return ""


def answer(made: Mapping[str, Any], units: str) -> Answer:
    """The quick answer for a site document; pydantic's ValidationError for a wrong one."""
    work = _worked(json.dumps(made, sort_keys=True))
    counted = work.counted[work.chosen.vessel.name]
    name, number = work.chosen.vessel.name, work.number
    odds = next((o for o in counted.curve if o.number == number), counted.curve[-1])
    return Answer(
        sentence=_sentence(counted.needed, number, name, odds),
        shelf=_shelf(work, number),
        facts=_facts(work, units),
        cautions=_cautions(work, counted.needed),
        how=_how(work),
        needed=counted.needed,
    )


@lru_cache(maxsize=128)
def _worked(text: str) -> Work:
    """Fillings begin all through the year and count as of one season: four times as quick."""
    case = foresee(Site.model_validate(json.loads(text)), 1, MEMBERS, _SEED)
    return carry_out(replace(case, months=(ALL_YEAR,) * len(case.months)), _silent)


def _silent(_stage: str, _share: float) -> None:
    """No progress wanted."""


def _sentence(needed: int | None, number: int, name: str, odds: Odds) -> str:
    if needed is None:
        return _(
            "Not even %(n)d vessels of %(name)s are enough. Take larger ones, or a tub of soil "
            "under a roof for the cold months."
        ) % {"n": number, "name": name}
    many = ngettext("%(n)d vessel", "%(n)d vessels", needed) % {"n": needed}
    chance = w.share(round(odds.chance, 2)) if odds.chance >= 0.01 else _("hardly any")
    return _(
        "%(many)s of %(name)s will do. Chance of a year with nowhere to put scraps: %(chance)s."
    ) % {"many": many, "name": name, "chance": chance}


def _shelf(work: Work, number: int) -> str:
    shape = work.chosen.vessel
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


def _facts(work: Work, units: str) -> list[dict[str, str]]:
    case = work.case
    filled = work.filled[work.chosen.vessel.name]
    daily = case.scraps_kg[:, case.planned].mean(axis=1)
    days = np.concatenate([one.full_day for one in filled])
    rests = work.resting.rest_days.ravel()
    each = work.draining.per_draining_ml
    low, mid, high = np.quantile(daily, (0.1, 0.5, 0.9))
    liquid = np.quantile(each, (0.1, 0.5, 0.9))
    return [
        {
            "of": _("Scraps that go in"),
            "middle": _("%(amount)s a day") % {"amount": w.kg(round(mid, 2), units)},
            "range": f"{w.kg(round(low, 2), units)} – {w.kg(round(high, 2), units)}",
        },
        _days_fact(_("A vessel is full after"), days),
        _days_fact(_("Then it rests"), rests),
        {
            "of": _("Drain every %(n)d days, about") % {"n": work.draining.every_days},
            "middle": w.liquid(float(liquid[1]), units),
            "range": w.liquid_range(float(liquid[0]), float(liquid[2]), units),
        },
    ]


def _days_fact(of: str, days: np.ndarray[Any, np.dtype[np.float64]]) -> dict[str, str]:
    low, mid, high = np.quantile(days, (0.1, 0.5, 0.9), method="nearest")
    return {"of": of, "middle": _days(mid), "range": f"{_days(low)} – {_days(high)}"}


def _days(value: float) -> str:
    if not math.isfinite(value):
        return _("beyond the time foreseen")
    number = max(1, round(value))
    return ngettext("%(n)d day", "%(n)d days", number) % {"n": number}


def _cautions(work: Work, needed: int | None) -> list[str]:
    found = []
    slow = np.median(np.concatenate([f.full_day for f in work.filled[work.chosen.vessel.name]]))
    if slow > 60:
        found.append(
            _("Such a vessel takes long to fill; its bottom may stand for months. Try a smaller.")
        )
    if needed is None:
        found.append(_("Weigh a week of scraps before you buy: the amount moves this most."))
    return found


def _how(work: Work) -> list[str]:
    return [
        _(
            "Each answer runs the model of a vessel through %(n)d possible years that differ in "
            "everything that is uncertain: amounts, weather, sourness, packing. Ranges hold eight "
            "of ten of them."
        )
        % {"n": work.case.members},
        _(
            "With so few years a chance is rough, to about four in a hundred. The command "
            "“sourloam plan” takes 500 and lists every source."
        ),
    ]
