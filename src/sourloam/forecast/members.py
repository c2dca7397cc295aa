"""Members of a vessel as arrays for the compiled kernels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.forecast.coordinates import Hidden, Mix, hidden, water_let_go
from sourloam.forecast.kernel import MEMBER
from sourloam.forecast.logged import Layer, Logged
from sourloam.vessel import Vessel

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_FEW = 5  # method: layers too few to read a rhythm from
_MOST_LAYERS = 24  # method: older layers are put together beyond so many


@dataclass(frozen=True)
class Lumps:
    """Logged layers put together: day, kg as told (bran left out), relative error of each."""

    day: Ints
    kg: Floats
    error: Floats
    by_eye: Floats

    @classmethod
    def of(cls, layers: Sequence[Layer]) -> Lumps:
        """Neighbouring layers together, so that few remain; masses add up, errors even out."""
        groups = np.array_split(np.arange(len(layers)), min(len(layers), _MOST_LAYERS) or 1)
        rows = [_together([layers[i] for i in group]) for group in groups if len(group)]
        day, kg, error, by_eye = np.array(rows, dtype=np.float64).reshape(-1, 4).T
        return cls(np.round(day).astype(np.int64), kg, error, by_eye)

    def masses(self, inside: Hidden, errors: Floats, mix: Mix) -> Floats:
        """kg of scraps really laid, (members, lumps); their mean is what was told, less what
        readings that err by a factor are too high by."""
        by_eye = self.by_eye * np.log(inside.loose / mix.loose_usual)[:, None]
        noise = self.error * errors - self.error**2 / 2
        return np.asarray(self.kg * inside.scale[:, None] * np.exp(noise + by_eye))


def _together(group: Sequence[Layer]) -> tuple[float, float, float, float]:
    kg = np.array([layer.kg * np.exp(-(layer.error**2) / 2) for layer in group])
    day = float(np.average([layer.day for layer in group], weights=kg))
    error = np.sqrt(((kg * [layer.error for layer in group]) ** 2).sum()) / kg.sum()
    by_eye = np.average([layer.way == "by_eye" for layer in group], weights=kg)
    return day, float(kg.sum()), float(error), float(by_eye)


def amount_error(layers: Sequence[Layer]) -> float:
    """Shared relative error of the way in which most layers were told."""
    ways = [layer.way for layer in layers] or ["counted"]
    way = max(set(ways), key=lambda w: (ways.count(w), w))
    return book()[f"forecast.amount.{way}"].value


def sharing(logged: Logged) -> float:
    """How many layers share their water: those within the window of days around a usual one."""
    window = book()["liquid.window"].value
    days = np.array([layer.day for layer in logged.layers])
    if len(days) < _FEW:
        return 1 + 2 * float(np.floor(window))
    near = np.abs(days[:, None] - days[None, :]) <= window
    return float(np.median(near.sum(axis=1)))


@dataclass(frozen=True)
class Scene:
    """What all members share: vessel, mix, dose, warmth by day of the turn, lumps of the log."""

    vessel: Vessel
    mix: Mix
    dose: float
    room_c: Floats
    lumps: Lumps
    amount_error: float
    sharing: float

    @classmethod
    def of(cls, vessel: Vessel, mix: Mix, dose: float, room_c: Floats, logged: Logged) -> Scene:
        """The scene of a log."""
        return cls(
            vessel,
            mix,
            dose,
            room_c,
            Lumps.of(logged.layers),
            amount_error(logged.layers),
            sharing(logged),
        )

    def inside(self, z: Floats) -> Hidden:
        """Hidden inputs at coordinates (members, COUNT)."""
        return hidden(z, self.mix, self.amount_error)

    def held(self, inside: Hidden, days: int) -> Floats:
        """Share of a first layer's water yet to drain on each morning, (members, days)."""
        evidence = book()
        q10, base = evidence["ferment.q10"].value, evidence["ferment.q10_base"].value
        daily = q10 ** ((self.room_c[:days] - base) / 10)
        passed = np.concatenate([[0.0], np.cumsum(daily)])[:days]
        rate = inside["liquid.seepage"] * q10 ** (inside["climate.room.unsure"] / 10)
        return np.asarray(np.exp(-rate[:, None] * passed))

    def softening(self, inside: Hidden, days: int) -> Floats:
        """Gain of density by age in days, (members, days)."""
        age = np.arange(days) / inside["vessel.creep_days"][:, None]
        return np.asarray(1 + inside["vessel.creep"][:, None] * (1 - np.exp(-age)))

    def rows(self, inside: Hidden) -> Floats:
        """What describes each member to the kernels, (members, MEMBER)."""
        evidence = book()
        spread = inside["liquid.day_spread"] / 1000 / np.sqrt(self.sharing)
        let_go = water_let_go(inside.dry_share, spread, inside["liquid.yield_factor"])
        columns = {
            "loose_density": inside.loose,
            "density_most": inside["vessel.density_most"],
            "stiffness": inside["vessel.packing"],
            "press_pa": inside["vessel.press"],
            "liquid_share": let_go * evidence["forecast.liquid_of_seepage"].value,
            "left_share": np.full(len(let_go), 1 - evidence["forecast.gas_share"].value),
        }
        return np.ascontiguousarray(np.stack([columns[name] for name in MEMBER], axis=1))

    def shared(self) -> Floats:
        """The vessel as the kernels take it, (5,): usable m3, section m2, plate Pa, gravity m/s2,
        densest packing kg/m3."""
        evidence = book()
        gravity = evidence["vessel.gravity"].value
        plate = self.vessel.plate_mass_kg * gravity / self.vessel.section_m2
        ceiling = evidence["vessel.density_ceiling"].value
        return np.array([self.vessel.usable_m3, self.vessel.section_m2, plate, gravity, ceiling])
