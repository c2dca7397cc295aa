"""The sliders and choices of set-up, in the reader's units."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from django.utils import dates
from django.utils.translation import gettext as _

from sourloam.climate.packaged import RECORDS
from sourloam.scraps import PRESETS
from sourloam.site import Site
from sourloam.units import factor
from sourloam.web import wording as w
from sourloam.web.fields import choices
from sourloam.web.setup.wishes import (
    OWN_MIX,
    OWN_WEATHER,
    ROOMS,
    STEPS,
    WORDS,
    Wishes,
    kind_word,
    laid_m2,
    sized,
)

#: What a reader in US units sees beside a slider: factor, what is added, word.
_US = {
    "°C": (1.8, 32.0, "°F"),
    "K": (1.8, 0.0, "°F"),
    "L": (1 / (1000 * factor("us gal", "volume")), 0.0, "gal"),
    "m²": (1 / factor("ft2", "area"), 0.0, "sq ft"),
    "kg": (1 / factor("lb", "mass"), 0.0, "lb"),
}


def wish_fields(wishes: Wishes, base: dict[str, Any] | None, units: str) -> dict[str, Any]:
    """What the form shows; a place that stands is asked in the terms in which it was described."""
    sliders = [
        *_amount(base["scraps"][0]["from"] if base else "people", wishes, units),
        *_vessels(base["vessel"] if base else [], wishes, units),
        _slider("area_m2", wishes.area_m2, (_laid(base), _past(60, wishes.area_m2)), "m²"),
        _slider("risk_percent", 100 * wishes.risk, (1, 50), "%", w.word(WORDS, "risk")),
    ]
    room = _slider("room_c", wishes.room_c, (5, 32), "°C")
    described = base is not None and not isinstance(base["scraps"][0].get("mix"), str)
    context = {
        "sliders": [_shown(one, units) for one in sliders],
        "choices": [_mixes(wishes, described)],
        "rooms": choices(w.ROOMS, ROOMS),
        "room": wishes.room,
        "room_slider": _shown(room, units),
    }
    if base is None or not {"csv", "monthly_means"} & set(base["climate"]):
        context |= _weather(wishes, units)
    return context


def _amount(source: str, wishes: Wishes, units: str) -> list[Slider]:
    """How much there is: by people, by meals, or as it was weighed."""
    if source == "meals":
        return [_slider("meals", wishes.meals, (5, _past(100, wishes.meals)), "")]
    if source == "measured":
        return [_slider("kg_a_day", wishes.kg_a_day, (0.1, _past(2, wishes.kg_a_day)), "kg")]
    most = 12 if wishes.people <= 12 else 4 * wishes.people
    put_in = w.word(WORDS, "capture")
    return [
        _slider("people", wishes.people, (1, most), ""),
        _slider("capture_percent", 100 * wishes.capture, (10, 100), "%", put_in, 5),
    ]


def _laid(base: dict[str, Any] | None) -> float:
    """Beds that are described one by one are there: the slider adds to them."""
    return math.floor(laid_m2(Site.model_validate(base))) if base and base.get("bed") else 0


def _past(usual: float, now: float) -> float:
    """Where a slider ends: far enough that what is there now may double."""
    return max(usual, math.ceil(2 * now))


def _vessels(kinds: list[dict[str, Any]], wishes: Wishes, units: str) -> list[Slider]:
    """How many of each kind there are, and how large they are where that is all that is known."""
    found = []
    for n, (kind, many) in enumerate(zip(kinds, wishes.owned, strict=False)):
        word = _("Vessels: %(kind)s") % {"kind": kind_word(kind["name"], units)}
        found.append(_slider(f"owned_{n}", many, (0, _past(12, many)), "", word, 1))
    if not kinds or sized(kinds):
        found.append(_slider("litres", wishes.litres, (8, _past(120, wishes.litres / 2)), "L"))
    return found


def _mixes(wishes: Wishes, described: bool) -> dict[str, Any]:
    own = [(OWN_MIX, _("as it was described"))] if described else []
    return {
        "name": "mix",
        "word": _("Kind of scraps"),
        "choices": [*own, *choices(w.MIXES, PRESETS)],
        "value": wishes.mix,
    }


def _weather(wishes: Wishes, units: str) -> dict[str, Any]:
    """Which weather: a record that comes along, or mean, swing and warmest month."""
    months = [(str(m), dates.MONTHS[m]) for m in range(1, 13)]
    own = [
        _slider("mean_c", wishes.mean_c, (-15, 35), "°C"),
        _slider("swing_k", wishes.swing_k, (0, 30), "K"),
    ]
    return {
        "weather": wishes.weather,
        "weathers": choices(w.WEATHERS, (*RECORDS, OWN_WEATHER)),
        "own_weather": OWN_WEATHER,
        "own_sliders": [_shown(one, units) for one in own],
        "months": months,
        "warmest": str(int(wishes.warmest[:2])),
    }


@dataclass(frozen=True)
class Slider:
    """One slider in SI; what it says beside it is ``times`` its value plus ``plus``."""

    name: str
    word: str
    value: float
    span: tuple[float, float, float]
    unit: str


def _slider(
    name: str,
    value: float,
    ends: tuple[float, float],
    unit: str,
    word: str = "",
    step: float | None = None,
) -> Slider:
    """A slider that tells as finely as a wish does."""
    fine = STEPS.get(name, 1.0) if step is None else step
    return Slider(name, word or w.word(WORDS, name), value, (*ends, fine), unit)


def _shown(slider: Slider, units: str) -> dict[str, str]:
    """A slider as the template takes it; its SI value is sent, the reader's own unit is shown."""
    times, plus, unit = _US[slider.unit] if units == "us" and slider.unit in _US else (1.0, 0.0, "")
    low, high, step = slider.span
    unit = unit or ("°C" if slider.unit == "K" else slider.unit)
    digits = 0 if times != 1.0 and step >= 1 else 1
    said = f"{times * slider.value + plus:.{digits}f}".removesuffix(".0")
    return {
        "name": slider.name,
        "word": slider.word,
        "value": f"{slider.value:g}",
        "min": f"{low:g}",
        "max": f"{high:g}",
        "step": f"{step:g}",
        "unit": unit,
        "times": f"{times:g}",
        "plus": f"{plus:g}",
        "digits": str(digits),
        "shown": w.with_comma(f"{said} {unit}".strip()),
    }
