"""What is foreseen of one vessel: members through time, their middle and range, plain data."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sourloam.forecast.belief import Belief
from sourloam.forecast.draining import Drain
from sourloam.forecast.movers import Mover
from sourloam.forecast.surprise import Surprise
from sourloam.numerics import Spread, spread

Floats = NDArray[np.float64]
_PH_PLACES, _SHARE_PLACES, _ML_PLACES, _CHANCE_PLACES = 2, 3, 0, 4
_ML_A_DAY_PLACES = 2  # a small vessel lets go of a millilitre or two a day


@dataclass(frozen=True)
class VesselForecast:
    """Members of one vessel; days count from ``began``; series are (members, days) over the whole
    turn and on to the horizon. Days that never come, or lie beyond, are infinite.

    ``liquid_ml`` is let go on each day; ``resting``: set aside, so that the day of being full is
    past; ``layer_ph`` (layers, members) is that of each logged layer today; ``posterior`` what
    this vessel taught of its place; ``failing`` the 10 and 90 % points of the chance of failing.
    ``scraps_kg`` (members, 7) is what a day of each weekday from
    Monday brings; ``movers`` the inputs that move the answer most.
    """

    began: dt.date
    today: dt.date
    resting: bool
    full_day: Floats
    finish_day: Floats
    fails: NDArray[np.bool_]
    level: Floats
    contents_kg: Floats
    liquid_ml: Floats
    ph_newest: Floats
    layer_ph: Floats
    drain: Drain
    failing: tuple[float, float]
    bran_layer_g: float
    bran_left_kg: Floats
    surprises: tuple[Surprise, ...]
    posterior: Belief
    scraps_kg: Floats
    movers: tuple[Mover, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def members(self) -> int:
        """Number of members."""
        return len(self.full_day)

    @property
    def now(self) -> int:
        """Today as a day of the turn."""
        return (self.today - self.began).days

    @property
    def full_on(self) -> dt.date | None:
        """Day on which it is full, the middle of the members."""
        return None if self.resting else self._date(float(spread(self.full_day).median))

    @property
    def finished_on(self) -> dt.date | None:
        """Day on which its newest layer is sour and steady."""
        return self._date(float(spread(self.finish_day).median))

    @property
    def next_drain_on(self) -> dt.date | None:
        """Day on which it should next be drained."""
        return None if self.drain.day is None else self._date(float(self.drain.day))

    @property
    def next_drain_ml(self) -> float | None:
        """Liquid to expect then, mL."""
        return None if self.drain.day is None else float(spread(self.drain.gathered_ml).median)

    @property
    def chance_of_failing(self) -> float | None:
        """Share of the members that do not sour in time or spoil."""
        return float(self.fails.mean())

    def _date(self, day: float) -> dt.date | None:
        return self.began + dt.timedelta(days=int(day)) if np.isfinite(day) else None

    def dates(self) -> list[dt.date]:
        """The days of the series."""
        return [self.began + dt.timedelta(days=d) for d in range(self.level.shape[1])]

    def summary(self) -> dict[str, Any]:
        """Plain data for pages: dates as ISO text, middle with the 10 and 90 % points."""
        layers = _numbers(spread(self.layer_ph, axis=1), _PH_PLACES)
        drained = (
            None if self.drain.day is None else _numbers(spread(self.drain.gathered_ml), _ML_PLACES)
        )
        return {
            "began": self.began.isoformat(),
            "today": self.today.isoformat(),
            "members": self.members,
            "full_on": None if self.resting else self._days(self.full_day),
            "finished_on": self._days(self.finish_day),
            "next_drain_on": self._drain_days(),
            "next_drain_ml": drained,
            "chance_of_failing": self.chance_of_failing,
            "chance_of_failing_range": self._failing(),
            "level_now": _numbers(spread(self.level[:, self.now]), _SHARE_PLACES),
            "sump_share": round(self.drain.sump_share, _SHARE_PLACES),
            "layer_ph_now": layers["median"],
            "layer_ph_range_now": {key: layers[key] for key in ("low", "high")},
            "ph_newest_now": _newest(layers),
            "level": self._band(self.level, _SHARE_PLACES),
            "contents_kg": self._band(self.contents_kg, _SHARE_PLACES),
            "liquid_ml": self._band(self.liquid_ml, _ML_A_DAY_PLACES),
            "ph_newest": self._band(self.ph_newest, _PH_PLACES),
            "bran_layer_g": round(self.bran_layer_g),
            "bran_left_kg": _numbers(spread(self.bran_left_kg), _SHARE_PLACES),
            "scraps_kg_by_weekday": _numbers(spread(self.scraps_kg), _SHARE_PLACES),
            "movers": [{"what": m.what, "share": round(m.share, 2)} for m in self.movers],
            "surprises": [one.as_dict() for one in self.surprises],
            "notes": [*self.notes, *(one.sentence for one in self.surprises)],
        }

    def _drain_days(self) -> dict[str, str | None] | None:
        """The day to drain, and between which days members would have it."""
        if self.drain.day is None:
            return None
        points, day = spread(self.drain.days), float(self.drain.day)
        ends = (min(float(points.low), day), day, max(float(points.high), day))
        dates = [self._date(end) for end in ends]
        return {k: None if d is None else d.isoformat() for k, d in zip(_KEYS, dates, strict=True)}

    def _failing(self) -> dict[str, float]:
        low, high = self.failing
        chance = float(self.fails.mean())
        ends = (min(low, chance), chance, max(high, chance))
        return {key: round(end, _CHANCE_PLACES) for key, end in zip(_KEYS, ends, strict=True)}

    def _days(self, days: Floats) -> dict[str, str | None]:
        points = spread(days)
        dates = (self._date(float(getattr(points, key))) for key in _KEYS)
        return {k: None if d is None else d.isoformat() for k, d in zip(_KEYS, dates, strict=True)}

    def _band(self, series: Floats, places: int) -> dict[str, Sequence[Any]]:
        return {
            "days": [day.isoformat() for day in self.dates()],
            **_numbers(spread(series), places),
        }


_KEYS = ("low", "median", "high")


def _numbers(points: Spread, places: int) -> dict[str, Any]:
    return {key: np.round(getattr(points, key), places).tolist() for key in _KEYS}


def _newest(layers: dict[str, Any]) -> dict[str, Any] | None:
    """The points of the last layer; None where there is none."""
    return {key: layers[key][-1] for key in _KEYS} if layers["median"] else None
