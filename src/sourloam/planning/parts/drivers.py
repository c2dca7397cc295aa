"""The inputs that move the answer most, ranked and put into words."""

from __future__ import annotations

import math

import numpy as np

from sourloam.evidence import book
from sourloam.planning.contract import Driver, Effect
from sourloam.planning.moving import Moved, counting_limit
from sourloam.planning.work import Work
from sourloam.units import percent, show

_MOST = 2.0  # method: a change counts for no more than this in the ranking
_FEW = 10  # method: below this a day is told with a decimal
_LEAST = 0.03  # method: changes smaller than this are not told in words
_OUTCOMES = ("fill", "finish", "vessels", "liquid")


def drivers_part(work: Work, moved: list[Moved]) -> tuple[Driver, ...]:
    """Ranked by the changes that an input brings to filling, rest, vessels and liquid."""
    told = [(one, _effects(work, one)) for one in moved]
    told.sort(key=lambda pair: -weight(pair[1]))
    return tuple(
        Driver(
            id=one.input.id,
            name=one.input.name,
            rank=place + 1,
            season=work.case.season_on(work.case.first),
            low=_short(one.input.low),
            middle=_short(one.input.middle),
            high=_short(one.input.high),
            unit=one.input.unit,
            effects=effects,
            text=_text(work, one, effects),
        )
        for place, (one, effects) in enumerate(told)
    )


def _short(value: float) -> float:
    return float(f"{value:.4g}")  # method: digits shown


def _effects(work: Work, one: Moved) -> tuple[Effect, ...]:
    floors = _floors(work)
    vessels = np.array([np.nan if v is None else float(v) for v in one.vessels])
    rows = (
        ("fill", "days", one.fill_days),
        ("finish", "days", one.rest_days),
        ("vessels", "vessels", vessels),
        ("chance", "1", one.chance),
        ("liquid", "mL/week", one.liquid_ml_per_week),
    )
    return tuple(
        Effect.model_validate(
            {
                "outcome": outcome,
                "unit": unit,
                "at_low": _finite(values[0]),
                "at_high": _finite(values[2]),
                "share": _change(values, floors[outcome]),
            }
        )
        for outcome, unit, values in rows
    )


def _finite(value: float) -> float | None:
    return _short(float(value)) if math.isfinite(value) else None


def weight(effects: tuple[Effect, ...]) -> float:
    """Sum of the changes, none of them counted for more than twofold."""
    return sum(min(e.share, _MOST) for e in effects if e.outcome in _OUTCOMES)


def _floors(work: Work) -> dict[str, float]:
    """The least middle value against which a change is measured."""
    worth = book()["planning.drain.worth"].value
    risk = work.case.site.place.risk
    return {"fill": 1.0, "finish": 1.0, "vessels": 1.0, "chance": risk, "liquid": worth}


def _change(values: np.ndarray, floor: float) -> float:
    """Width between low and high against the middle; 1 where an end lies beyond the time."""
    if not np.isfinite(values).all():
        return 1.0 if np.isfinite(values).any() else 0.0
    return _short(float(abs(values[2] - values[0]) / max(values[1], floor)))


def _text(work: Work, one: Moved, effects: tuple[Effect, ...]) -> str:
    names = {"fill": "days to fill", "finish": "days of rest", "liquid": "liquid a week"}
    parts = []
    for effect in effects:
        if effect.outcome in names and effect.share >= _LEAST:
            low, high = (_figure(work, effect, end) for end in (effect.at_low, effect.at_high))
            if low != high:
                parts.append(f"{names[effect.outcome]} {low} or {high}")
    vessels = next(e for e in effects if e.outcome == "vessels")
    if vessels.at_low != vessels.at_high:
        most = counting_limit(work)
        ends = [f"over {most}" if v is None else f"{v:.0f}" for v in _ends(vessels)]
        parts.append(f"vessels {ends[0]} or {ends[1]}")
    first, last = one.input.ends or (
        _value(work, one, one.input.low),
        _value(work, one, one.input.high),
    )
    span = f"{first} or {last}"
    if not parts:
        return f"{_upper(one.input.name)}, {span}: hardly matters here."
    return f"{_upper(one.input.name)}, {span}: {'; '.join(parts)}."


def _ends(effect: Effect) -> tuple[float | None, float | None]:
    return effect.at_low, effect.at_high


def _figure(work: Work, effect: Effect, value: float | None) -> str:
    if value is None:
        return "beyond the time foreseen"
    if effect.outcome == "liquid":
        return show(value * 1e-6, "small_volume", work.system)
    return f"{value:.2g}" if value < _FEW else f"{value:.0f}"


def _value(work: Work, one: Moved, value: float) -> str:
    unit = one.input.unit
    if unit == "°C":
        return show(value, "temperature", work.system)
    if one.input.id.endswith("capture"):
        return percent(value)
    if unit.startswith("kg/"):
        return show(value, "mass_rate", work.system)
    if unit == "1":
        return f"{value:.2g} times"
    return f"{value:.3g} {unit}"


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
