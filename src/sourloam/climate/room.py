"""How warm a vessel stands: in a lived-in room, a shed, a cellar, or in the open."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sourloam.climate.daily import ClimateError
from sourloam.climate.ground import LEAST_DAYS, Ground, ground_temperature_c
from sourloam.evidence import Parameters

KINDS = ("indoors", "shed", "cellar", "outdoors")
EVIDENCE = (
    "climate.room.unsure",
    "climate.room.follows_outdoors",
    "climate.shed.lag",
    "climate.shed.above_air",
    "climate.cellar.depth",
    "climate.cellar.above_ground",
)
_YEAR_DAYS = 365.25


@dataclass(frozen=True)
class Room:
    """Where the vessels stand.

    ``stated_c``: what the person says of the room, °C: needed indoors, in a cellar the mean of
    the year where it is known; a shed and the open follow the record. ``winter_c``: indoors, the
    room at the coldest time of the year; ``stated_c`` then holds at the warmest.
    Raises ClimateError when these do not go together.
    """

    kind: str
    stated_c: float | None = None
    winter_c: float | None = None

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ClimateError(f"room kind {self.kind!r}; right would be {', '.join(KINDS)}")
        if self.kind == "indoors" and self.stated_c is None:
            raise ClimateError("room indoors: say how warm it is, in °C")
        if self.kind in ("shed", "outdoors") and self.stated_c is not None:
            raise ClimateError(f"room {self.kind}: follows the outdoor record; state no warmth")
        if self.kind != "indoors" and self.winter_c is not None:
            raise ClimateError(f"room {self.kind}: a winter temperature is for indoors only")


def room_temperature(
    room: Room, outdoor_c: ArrayLike, parameters: Parameters
) -> NDArray[np.float64]:
    """Daily mean temperature where the vessels stand, °C, shape ``(members, days)``.

    ``outdoor_c`` is ``(days,)`` or ``(members, days)`` with at least 365 days, because the
    season is read from it (ClimateError otherwise). Indoors and in a cellar never below 0 °C.
    """
    air = np.atleast_2d(np.asarray(outdoor_c, dtype=np.float64))
    if air.shape[-1] < LEAST_DAYS:
        raise ClimateError(f"{air.shape[-1]} days of air temperature; a room needs at least a year")
    if room.kind == "indoors":
        return np.maximum(_indoors(room, air, parameters), 0)
    if room.kind == "cellar":
        return np.maximum(_cellar(room, air, parameters), 0)
    if room.kind == "shed":
        return _shed(air, parameters)
    return np.broadcast_to(air, (max(parameters.members, air.shape[0]), air.shape[1])).copy()


def _indoors(room: Room, air: NDArray[np.float64], parameters: Parameters) -> NDArray[np.float64]:
    assert room.stated_c is not None
    season = _season_wave(air)
    unsure = parameters["climate.room.unsure"][:, None]
    if room.winter_c is None:
        return (
            room.stated_c + unsure + parameters["climate.room.follows_outdoors"][:, None] * season
        )
    peak = np.abs(season).max(axis=-1, keepdims=True)
    share = (1 - season / np.where(peak > 0, peak, 1)) / 2
    return np.asarray(room.stated_c + unsure + (room.winter_c - room.stated_c) * share)


def _cellar(room: Room, air: NDArray[np.float64], parameters: Parameters) -> NDArray[np.float64]:
    deep = ground_temperature_c(air, parameters["climate.cellar.depth"], Ground(), parameters)
    if room.stated_c is None:
        return deep + parameters["climate.cellar.above_ground"][:, None]
    shift = room.stated_c - deep.mean(axis=-1, keepdims=True)
    return np.asarray(deep + shift + parameters["climate.room.unsure"][:, None])


def _shed(air: NDArray[np.float64], parameters: Parameters) -> NDArray[np.float64]:
    """First-order lag of the outdoor air, exact for air that is steady within each day."""
    keep = np.exp(-1 / parameters["climate.shed.lag"])
    inside = np.empty((max(parameters.members, air.shape[0]), air.shape[1]))
    inside[:, 0] = air[:, 0]
    for day in range(1, air.shape[1]):
        inside[:, day] = keep * inside[:, day - 1] + (1 - keep) * air[:, day]
    return inside + parameters["climate.shed.above_air"][:, None]


def _season_wave(air: NDArray[np.float64]) -> NDArray[np.float64]:
    """The year's wave of the outdoor air about its mean, K: least squares, period one year."""
    angle = 2 * np.pi * np.arange(air.shape[-1]) / _YEAR_DAYS
    base = np.column_stack([np.ones_like(angle), np.cos(angle), np.sin(angle)])
    weights = np.linalg.lstsq(base, air.T, rcond=None)[0]
    return np.asarray((base[:, 1:] @ weights[1:]).T)
