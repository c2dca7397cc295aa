"""The sliders and choices of set-up, in the reader's units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils import dates
from django.utils.translation import gettext as _

from sourloam.climate.packaged import RECORDS
from sourloam.scraps import PRESETS
from sourloam.units import factor
from sourloam.web import wording as w
from sourloam.web.fields import choices
from sourloam.web.wishes import OWN_WEATHER, Wishes

#: What a reader in US units sees beside a slider: factor, what is added, word.
_US = {
    "°C": (1.8, 32.0, "°F"),
    "K": (1.8, 0.0, "°F"),
    "L": (1 / (1000 * factor("us gal", "volume")), 0.0, "gal"),
    "m²": (1 / factor("ft2", "area"), 0.0, "sq ft"),
}


def wish_fields(wishes: Wishes, base: dict[str, Any] | None, units: str) -> dict[str, Any]:
    """What the form shows; a place that stands keeps what its sliders can't say."""
    by_people = base is None or base["scraps"][0]["from"] == "people"
    indoors = base is None or base["room"].get("kind", "indoors") == "indoors"
    sliders = [
        *(_people(wishes) if by_people else []),
        *([_slider("room_c", _("Room"), wishes.room_c, (5, 32, 1), "°C")] if indoors else []),
        *(
            []
            if base
            else [_slider("litres", _("A vessel holds"), wishes.litres, (8, 120, 1), "L")]
        ),
        _slider("area_m2", _("Beds"), wishes.area_m2, (0, 60, 1), "m²"),
        _slider("risk_percent", _("Risk you accept"), 100 * wishes.risk, (1, 50, 1), "%"),
    ]
    context = {"sliders": [_shown(one, units) for one in sliders], "choices": [_mixes(wishes)]}
    if base is None or not {"csv", "monthly_means"} & set(base.get("climate", {})):
        context |= _weather(wishes, units)
    return context


def _vessel(wishes: Wishes) -> Slider:
    return _slider("litres", _("A vessel holds"), wishes.litres, (8, 120, 1), "L")


def _mixes(wishes: Wishes) -> dict[str, Any]:
    return {
        "name": "mix",
        "word": _("Kind of scraps"),
        "choices": choices(w.MIXES, PRESETS),
        "value": wishes.mix,
    }


def _weather(wishes: Wishes, units: str) -> dict[str, Any]:
    """Which weather: a record that comes along, or mean, swing and warmest month."""
    months = [(str(m), dates.MONTHS[m]) for m in range(1, 13)]
    own = [
        _slider("mean_c", _("Mean of the year"), wishes.mean_c, (-15, 35, 0.5), "°C"),
        _slider("swing_k", _("Warmest time above the mean"), wishes.swing_k, (0, 30, 0.5), "K"),
    ]
    return {
        "weather": wishes.weather,
        "weathers": choices(w.WEATHERS, (*RECORDS, OWN_WEATHER)),
        "own_weather": OWN_WEATHER,
        "own_sliders": [_shown(one, units) for one in own],
        "months": months,
        "warmest": str(int(wishes.warmest[:2])),
    }


def _people(wishes: Wishes) -> list[Slider]:
    most = 12 if wishes.people <= 12 else 4 * wishes.people
    put_in = (10, 100, 5)
    return [
        _slider("people", _("People"), wishes.people, (1, most, 1), ""),
        _slider("capture_percent", _("Scraps that go in"), 100 * wishes.capture, put_in, "%"),
    ]


@dataclass(frozen=True)
class Slider:
    """One slider in SI; what it says beside it is ``times`` its value plus ``plus``."""

    name: str
    word: str
    value: float
    span: tuple[float, float, float]
    unit: str


def _slider(
    name: str, word: str, value: float, span: tuple[float, float, float], unit: str
) -> Slider:
    return Slider(name, word, value, span, unit)


def _shown(slider: Slider, units: str) -> dict[str, str]:
    """A slider as the template takes it; its SI value is sent, the reader's own unit is shown."""
    times, plus, unit = _US[slider.unit] if units == "us" and slider.unit in _US else (1.0, 0.0, "")
    low, high, step = slider.span
    unit = unit or ("°C" if slider.unit == "K" else slider.unit)
    said = f"{times * slider.value + plus:.{0 if units == 'us' else 1}f}".removesuffix(".0")
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
        "shown": w.with_comma(f"{said} {unit}".strip()),
    }
