"""Set-up: what the sliders say, and the site document that says the same."""

from __future__ import annotations

import datetime as dt
import json
import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sourloam.climate.packaged import RECORDS
from sourloam.scraps import PRESETS
from sourloam.site import Site
from sourloam.site.sections import PeopleScraps
from sourloam.web import wording as w

OWN_WEATHER = "own"


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
    weather: str = "mild-oceanic"
    mean_c: float = 10
    swing_k: float = 7
    warmest: str = "07-20"
    start: str = "2026-01-01"
    name: str = ""


_BOUNDS = {
    "people": (1, 5000),
    "capture": (0.05, 1),
    "room_c": (2, 35),
    "litres": (5, 240),
    "risk": (0.01, 0.5),
    "area_m2": (0, 500),
    "mean_c": (-15, 35),
    "swing_k": (0, 35),
}


WORDS: w.Words = {
    "people": gettext_lazy("People"),
    "capture": gettext_lazy("Scraps that go in"),
    "room_c": gettext_lazy("Room"),
    "litres": gettext_lazy("A vessel holds"),
    "risk": gettext_lazy("Risk you accept"),
    "area_m2": gettext_lazy("Beds"),
    "mean_c": gettext_lazy("Mean of the year"),
    "swing_k": gettext_lazy("Warmest time above the mean"),
    "warmest": gettext_lazy("Warmest month"),
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
    for key, known in (("mix", PRESETS), ("weather", (*RECORDS, OWN_WEATHER))):
        if posted.get(key) in known:
            found[key] = posted[key]
    if posted.get("warmest_month"):
        found["warmest"] = f"{_within(posted['warmest_month'], 'warmest', 1, 12):02.0f}-15"
    return Wishes(**{**found, "name": posted.get("name", "").strip()[:80]})


def _within(text: str, key: str, low: float, high: float) -> float:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        line = _("%(what)s: found “%(found)s”; write a number from %(low)s to %(high)s.")
        bounds = {"low": w.number(low), "high": w.number(high)}
        raise ValueError(line % {"what": w.word(WORDS, key), "found": text[:20], **bounds})
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
    if "climate" not in made or not {"csv", "monthly_means"} & set(made["climate"]):
        made["climate"] = _climate(made.get("climate", {}), wishes)
    made["ground"] = _ground(made.get("ground", {}), wishes.area_m2)
    made["site"]["risk"] = round(wishes.risk, 3)
    kinds = made["vessel"]
    if not base:
        kinds[0] |= {"name": _vessel_name(wishes.litres), "volume": f"{wishes.litres:g} L"}
    return made


def _climate(before: Mapping[str, Any], wishes: Wishes) -> dict[str, Any]:
    """A packaged record, or mean, swing and warmest time as people know them."""
    rain = {k: v for k, v in before.items() if k == "rain_mm_by_month"}
    if wishes.weather != OWN_WEATHER:
        return {"record": wishes.weather, **rain}
    mean, swing = f"{wishes.mean_c:g} °C", f"{wishes.swing_k:g} °C"
    return {"mean": mean, "swing": swing, "warmest": wishes.warmest, **rain}


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
        "room": {"kind": "indoors", "temperature": "19 °C"},
        "scraps": [{"from": "people", "people": 3, "mix": "household", "pieces": "chopped"}],
        "vessel": [{"name": "19 L", "volume": "19 L"}],
        "ground": {"texture": "loam"},
    }


def wishes_of(site: Site) -> Wishes:
    """Where the sliders stand for a place that has been described."""
    stream = site.scraps[0]
    usual, air = Wishes(), site.climate
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
        weather=air.record or OWN_WEATHER,
        mean_c=usual.mean_c if air.mean_c is None else air.mean_c,
        swing_k=usual.swing_k if air.swing_k is None else air.swing_k,
        warmest=air.warmest or usual.warmest,
        start=site.place.start.isoformat(),
        name=site.name,
    )
