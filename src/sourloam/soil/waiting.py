"""How long to wait: by warmth, dose and the rate of the acids' end; and what moves it most."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sourloam.evidence import Parameters
from sourloam.soil.course import bury
from sourloam.soil.ferment import Buried, Portion
from sourloam.soil.ground import Soil
from sourloam.soil.readiness import REASONS
from sourloam.soil.trench import Burial

#: Evidence that bounds the rate of the acids' end.
ACID_RATE = ("soil.acid.uptake", "soil.acid.in_the_ground", "soil.biomass_share")


@dataclass(frozen=True)
class Wait:
    """One row of the table; days from burial, ``inf`` beyond the horizon."""

    temperature_c: float
    kg_per_m: float
    acid_rate: str
    sow_day: float
    tender_day: float
    tolerant_day: float
    held_by: str
    anaerobic_days: float


@dataclass(frozen=True)
class Shift:
    """Sowing day when one value stands at the low and at the high end of its range."""

    id: str
    low: float
    high: float
    sow_at_low: float
    sow_at_high: float

    @property
    def span_days(self) -> float:
        """How far the sowing day moves; 0 where both are beyond the horizon."""
        if self.sow_at_low == self.sow_at_high:
            return 0.0
        return abs(self.sow_at_high - self.sow_at_low)


def usual_burial(ferment: Buried, length_m: float, p: Parameters) -> Burial:
    """A trench of the usual width, mixing zone and cover that stands alone."""
    width, zone, cover = (float(p["soil.trench." + k][0]) for k in ("width", "zone", "cover"))
    return Burial(ferment, length_m, width, zone, cover)


def waiting_table(
    soil: Soil,
    doses_kg_per_m: Sequence[float],
    temperatures_c: Sequence[float],
    days: int,
    central: Parameters,
    ends: Mapping[str, tuple[float, float]],
) -> tuple[Wait, ...]:
    """Waits of a typical ferment at steady soil temperatures, for slow, central and fast acids.

    ``central`` has one member; ``ends`` gives (low, high) of each id in ``ACID_RATE``.
    """
    speeds = {
        "slow": {k: ends[k][0] for k in ACID_RATE},
        "central": {},
        "fast": {k: ends[k][1] for k in ACID_RATE},
    }
    rows = []
    for name, changes in speeds.items():
        p = central.with_values(changes)
        for dose in doses_kg_per_m:
            burial = usual_burial(Portion.typical(dose, p), 1, p)
            for celsius in temperatures_c:
                course = bury(burial, soil, np.full(days, celsius), p)
                rows.append(
                    Wait(
                        temperature_c=float(celsius),
                        kg_per_m=float(dose),
                        acid_rate=name,
                        sow_day=float(course.sow_day[0]),
                        tender_day=float(course.transplant_tender_day[0]),
                        tolerant_day=float(course.transplant_tolerant_day[0]),
                        held_by=REASONS[course.sow_held_by[0]],
                        anaerobic_days=float(course.anaerobic_days[0]),
                    )
                )
    return tuple(rows)


def waiting_sensitivity(
    burial: Burial,
    soil: Soil,
    temperature_c: Sequence[float],
    central: Parameters,
    ends: Mapping[str, tuple[float, float]],
) -> tuple[Shift, ...]:
    """How far the sowing day moves with each value of ``ends`` alone, widest first.

    ``central`` and the burial's ferment have one member; ``ends`` gives (low, high) by id.
    """
    ids = list(ends)
    members = 2 * len(ids) + 1
    values = {key: np.repeat(central[key], members) for key in central}
    for i, key in enumerate(ids):
        values[key][1 + 2 * i], values[key][2 + 2 * i] = ends[key]
    course = bury(burial, soil, temperature_c, Parameters(values, members))
    days = course.sow_day[1:].reshape(-1, 2)
    shifts = [
        Shift(key, *ends[key], float(low), float(high))
        for key, (low, high) in zip(ids, days, strict=True)
    ]
    return tuple(sorted(shifts, key=lambda shift: -shift.span_days))


@dataclass(frozen=True)
class Assumed:
    """Sowing days under one set of assumptions, one for each case of the table."""

    name: str
    sow_days: tuple[float, ...]


def waits_by_assumption(
    changes: Mapping[str, Mapping[str, float]],
    cases: Sequence[tuple[float, float]],
    soil: Soil,
    days: int,
    central: Parameters,
) -> tuple[Assumed, ...]:
    """Sowing day of a typical ferment when some values are set otherwise.

    ``changes`` maps a name to values by id, ``cases`` are (kg per m, steady soil °C); ``central``
    has one member. Days from burial, ``inf`` beyond the horizon.
    """
    found = []
    for name, values in changes.items():
        p = central.with_values(dict(values))
        sown = tuple(
            float(
                bury(
                    usual_burial(Portion.typical(kg, p), 1, p), soil, np.full(days, celsius), p
                ).sow_day[0]
            )
            for kg, celsius in cases
        )
        found.append(Assumed(name, sown))
    return tuple(found)
