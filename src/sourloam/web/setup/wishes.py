"""Set-up: what the sliders say, and the site document that says the same."""

from __future__ import annotations

import datetime as dt
import json
import math
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sourloam.climate.packaged import RECORDS
from sourloam.scraps import PRESETS
from sourloam.site import Site
from sourloam.site.sections import MealScraps, MeasuredScraps, PeopleScraps
from sourloam.web import wording as w

OWN_WEATHER = "own"
OWN_MIX = "as-described"  # shares by class, or the usual mix of such a kitchen
ROOMS = ("indoors", "shed", "cellar", "outdoors")


@dataclass(frozen=True)
class Wishes:
    """What the sliders say; ``owned`` counts vessels of each kind of a place that stands."""

    people: float = 3
    capture: float = 0.6
    meals: float = 60
    kg_a_day: float = 1
    mix: str = "household"
    room: str = "indoors"
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
    owned: tuple[int, ...] = ()


_BOUNDS = {
    "people": (0.1, 100_000),
    "capture": (0.05, 1),
    "meals": (1, 100_000),
    "kg_a_day": (0.01, 5000),
    "room_c": (2, 35),
    "litres": (0.5, 2000),
    "risk": (0.01, 0.5),
    "area_m2": (0, 100_000),
    "mean_c": (-15, 35),
    "swing_k": (0, 35),
}
#: How finely a slider tells; what moved by less stays as it was written.
STEPS = {
    "people": 1.0,
    "capture": 0.05,
    "meals": 5.0,
    "kg_a_day": 0.1,
    "room_c": 1.0,
    "litres": 1.0,
    "risk": 0.01,
    "area_m2": 1.0,
    "mean_c": 0.5,
    "swing_k": 0.5,
}
_MOST_OWNED = 1000
_VOLUME = re.compile(r"(\d+(?:\.\d+)?) L")
_OF_MANY_L = 30.0  # a vessel that two people still carry when it is full

PLACES: w.Words = {
    "home": gettext_lazy("Home"),
    "school": gettext_lazy("School"),
    "cafe": gettext_lazy("Café"),
}

WORDS: w.Words = {
    "people": gettext_lazy("People"),
    "capture": gettext_lazy("Scraps that go in"),
    "meals": gettext_lazy("Meals a day"),
    "kg_a_day": gettext_lazy("Scraps a day"),
    "owned": gettext_lazy("Vessels"),
    "room_c": gettext_lazy("Room"),
    "litres": gettext_lazy("A vessel holds"),
    "risk": gettext_lazy("Chance of no room you accept"),
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
    for key, known in (
        ("mix", (*PRESETS, OWN_MIX)),
        ("weather", (*RECORDS, OWN_WEATHER)),
        ("room", ROOMS),
    ):
        if posted.get(key) in known:
            found[key] = posted[key]
    found["owned"] = tuple(
        round(_within(posted[f"owned_{n}"], "owned", 0, _MOST_OWNED))
        if posted.get(f"owned_{n}")
        else many
        for n, many in enumerate(found["owned"])
    )
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
    """A site document that says what the wishes say; what they leave as it was in ``base`` stays
    as it was written there."""
    made: dict[str, Any] = json.loads(json.dumps(base)) if base else _plain(wishes)
    site = Site.model_validate(made)
    before = wishes_of(site)
    stream = made["scraps"][0]
    stream |= _amount(stream["from"], wishes, before)
    if wishes.mix != OWN_MIX:
        stream["mix"] = wishes.mix
    made["room"] = _room(made["room"], wishes, before, site.room.winter_temperature_c)
    if not {"csv", "monthly_means"} & set(made["climate"]):
        made["climate"] = _climate(made["climate"], wishes, before)
    if moved("area_m2", wishes, before):
        made["ground"] = _ground(made["ground"], wishes.area_m2)
    if moved("risk", wishes, before):
        made["site"]["risk"] = round(wishes.risk, 3)
    made["vessel"] = _vessels(made["vessel"], wishes, before)
    return made


def moved(key: str, wishes: Wishes, before: Wishes) -> bool:
    """Whether a slider stands elsewhere than before by more than it tells."""
    by: float = getattr(wishes, key) - getattr(before, key)
    return abs(by) > 0.55 * STEPS[key]


def _amount(source: str, wishes: Wishes, before: Wishes) -> dict[str, Any]:
    """How much there is, in the terms in which the place described it."""
    keys = {"people": ("people", "capture"), "meals": ("meals",), "measured": ("kg_a_day",)}[source]
    said: dict[str, Any] = {
        "people": ("people", wishes.people),
        "capture": ("capture", round(wishes.capture, 3)),
        "meals": ("per_day", wishes.meals),
        "kg_a_day": ("amount", f"{wishes.kg_a_day:g} kg/day"),
    }
    return dict(said[key] for key in keys if moved(key, wishes, before))


def _room(
    room: Mapping[str, Any], wishes: Wishes, before: Wishes, winter_c: float | None
) -> dict[str, Any]:
    """Where the vessels stand; a colder winter stays as much colder."""
    warmth = {"temperature": f"{wishes.room_c:g} °C"}
    if wishes.room != before.room:
        return {"kind": wishes.room, **(warmth if wishes.room == "indoors" else {})}
    if wishes.room != "indoors" or not moved("room_c", wishes, before):
        return dict(room)
    if winter_c is not None:
        warmth["winter_temperature"] = f"{winter_c + wishes.room_c - before.room_c:g} °C"
    return {**room, **warmth}


def _climate(air: Mapping[str, Any], wishes: Wishes, before: Wishes) -> dict[str, Any]:
    """A packaged record, or mean, swing and warmest time as people know them."""
    rain = {k: v for k, v in air.items() if k == "rain_mm_by_month"}
    if wishes.weather != OWN_WEATHER:
        return {"record": wishes.weather, **rain}
    same_month = wishes.warmest[:2] == before.warmest[:2]
    still = same_month and not any(moved(key, wishes, before) for key in ("mean_c", "swing_k"))
    if before.weather == OWN_WEATHER and still:
        return dict(air)
    mean, swing = f"{wishes.mean_c:g} °C", f"{wishes.swing_k:g} °C"
    return {"mean": mean, "swing": swing, "warmest": wishes.warmest, **rain}


def _ground(before: Mapping[str, Any], area_m2: float) -> dict[str, Any]:
    """The beds' area; no ground means a tub of soil."""
    if area_m2 == 0:
        return {"none": True}
    kept = {key: value for key, value in before.items() if key not in ("none", "bed_area")}
    return {"texture": "loam", **kept, "bed_area": f"{area_m2:g} m²"}


def _vessels(kinds: list[dict[str, Any]], wishes: Wishes, before: Wishes) -> list[dict[str, Any]]:
    """How many there are of each kind; a kind that is known by its volume alone may be another."""
    made = [dict(kind) for kind in kinds]
    for kind, owned in zip(made, wishes.owned, strict=False):
        kind["owned"] = owned
        if "most" in kind:
            kind["most"] = max(kind["most"], owned, 1)
    if sized(made) and moved("litres", wishes, before):
        made[0] |= {"name": _vessel_name(wishes.litres), "volume": f"{wishes.litres:g} L"}
    return made


def sized(kinds: list[dict[str, Any]]) -> bool:
    """Whether one slider can say how large the vessels are."""
    return len(kinds) == 1 and "volume" in kinds[0]


def _vessel_name(litres: float) -> str:
    return f"{litres:g} L"


def kind_word(name: str, units: str) -> str:
    """A kind of vessel as the reader calls it: one that is known by its volume alone is told in
    the reader's unit."""
    found = _VOLUME.fullmatch(name)
    return w.litres(float(found[1]), units) if found and units != "metric" else name


def kind_each(name: str, units: str, many: int) -> str:
    """The same after a number of them."""
    said = kind_word(name, units)
    return _("%(volume)s each") % {"volume": said} if many > 1 and _VOLUME.fullmatch(name) else said


def _plain(wishes: Wishes) -> dict[str, Any]:
    """A home as the sliders stand at first."""
    return {
        "site": {
            "name": wishes.name or _("Home"),
            "kind": "home",
            "start": wishes.start,
            "risk": 0.05,
        },
        "climate": {"record": Wishes().weather},
        "room": {"kind": "indoors", "temperature": "19 °C"},
        "scraps": [
            {"from": "people", "people": 3, "capture": 0.6, "mix": "household", "pieces": "chopped"}
        ],
        "vessel": [{"name": "19 L", "volume": "19 L"}],
        "ground": {"texture": "loam", "bed_area": "6 m²"},
    }


KINDS = ("home", "school", "cafe")
_MEALS = {"school": ("school_lunch", "school_lunch"), "cafe": ("cafe_cover", "cafe")}


def beginning(kind: str, start: dt.date) -> dict[str, Any]:
    """A site document of a place that nobody has described yet, asked in the terms of its kind:
    a home by its people, a school or a café by its meals."""
    made = _plain(Wishes(start=start.isoformat()))
    if kind in _MEALS:
        meals, mix = _MEALS[kind]
        stream = {"from": "meals", "meals": meals, "per_day": Wishes().meals, "mix": mix}
        made["site"] |= {"kind": kind, "name": w.word(PLACES, kind)}
        made["scraps"] = [{**stream, "pieces": "chopped"}]
        made["vessel"] = [{"name": _vessel_name(_OF_MANY_L), "volume": f"{_OF_MANY_L:g} L"}]
    return made


def named(document: Mapping[str, Any], name: str) -> dict[str, Any]:
    """The document with the name that the person gave, if any."""
    site = document["site"]
    return {**document, "site": {**site, "name": name or site["name"]}}


def laid_m2(site: Site) -> float:
    """Area of the beds that a place describes one by one."""
    return sum(bed.length_m * bed.width_m for bed in site.beds)


def wishes_of(site: Site, standing: Mapping[str, int] | None = None) -> Wishes:
    """Where the sliders stand for a place that has been described; ``standing`` counts the
    vessels on its shelf by the name of their kind."""
    stream = site.scraps[0]
    usual, air = Wishes(), site.climate
    found = {} if standing is None else standing
    amount: dict[str, float] = {}
    if isinstance(stream, PeopleScraps):
        amount = {"people": stream.people, "capture": stream.capture or usual.capture}
    elif isinstance(stream, MealScraps):
        amount = {"meals": stream.per_day}
    elif isinstance(stream, MeasuredScraps):
        amount = {"kg_a_day": stream.amount_kg_per_day}
    sold = site.vessels[0].volume_m3
    litres = 1000 * (site.to_vessels()[0].brim_m3 if sold is None else sold)
    return Wishes(
        **amount,
        mix=stream.mix if isinstance(stream.mix, str) else OWN_MIX,
        room=site.room.kind,
        room_c=usual.room_c if site.room.temperature_c is None else site.room.temperature_c,
        litres=round(litres),
        risk=site.place.risk,
        area_m2=0.0
        if site.ground.none
        else round(max(site.ground.bed_area_m2 or 0, laid_m2(site)), 1),
        weather=air.record or OWN_WEATHER,
        mean_c=usual.mean_c if air.mean_c is None else air.mean_c,
        swing_k=usual.swing_k if air.swing_k is None else air.swing_k,
        warmest=air.warmest or usual.warmest,
        start=site.place.start.isoformat(),
        name=site.name,
        owned=tuple(found.get(kind.name) or kind.owned for kind in site.vessels),
    )
