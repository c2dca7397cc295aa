"""The closed days: souring of the wetted carrier by the same kinetics as a vessel's layer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam import vessel
from sourloam.evidence import Parameters
from sourloam.scraps.batch import Batch
from sourloam.vessel.chemistry import molar_masses

Floats = NDArray[np.float64]
EVIDENCE: tuple[str, ...] = (
    *vessel.EVIDENCE,
    "bran_making.days",
    "bran_making.at",
    "bran_making.coldest",
    "bran_making.hottest",
    "bran_making.steady",
    "bran_making.ph",
    "bran_making.most_cells",
)
_HORIZON = 60  # method: days followed
_SPAN = 3
_LITRES = 1000.0


@dataclass(frozen=True)
class Soured:
    """The batch after its closed days; arrays (members,) but ``ph_daily`` (members, days).

    ``usual_days`` is what practice says at this warmth, ``closed_days`` what is advised: the
    longer of it and of the day by which most members are steady. ``steady_day`` is infinite
    where souring is not done within the time followed. ``gas_l_per_kg`` is carbon dioxide at
    20 °C from a kg of wet bran, ``kept_dry`` the share of dry matter left.
    """

    usual_days: int
    closed_days: int
    steady_day: Floats
    ph: Floats
    ph_daily: Floats
    log10_cells_per_g_dry: Floats
    gas_l_per_kg: Floats
    kept_dry: Floats


def soured(
    batch: Batch, temperature_c: float, parameters: Parameters, days: int | None = None
) -> Soured:
    """Sour a closed, pressed batch at one warmth; ``days`` overrides the closed days.

    ValueError where it is too cold or too hot to make bran.
    """
    bearable(temperature_c, parameters)
    one_kg = batch.times(1 / batch.fresh_kg)
    warmth = np.full(_HORIZON, temperature_c)
    series = vessel.souring_series(one_kg, warmth, parameters, "minced")
    steady = _steady_day(series.ph, parameters)
    usual = usual_days(temperature_c, parameters)
    closed = days or int(max(usual, min(np.median(steady), _HORIZON)))
    closed = min(closed, _HORIZON)
    course = _course(one_kg, warmth[:closed], parameters)
    grown = series.log10_lactic_cfu_per_g[:, closed] - np.log10(one_kg.dry_kg)
    gas_mol = course.co2_kg / molar_masses(parameters).carbon_dioxide
    return Soured(
        usual_days=usual,
        closed_days=closed,
        steady_day=steady,
        ph=series.ph[:, closed],
        ph_daily=series.ph[:, : closed + 1],
        log10_cells_per_g_dry=np.minimum(grown, parameters["bran_making.most_cells"]),
        gas_l_per_kg=_LITRES * gas_mol * parameters["vessel.molar_volume"],
        kept_dry=course.ferment.dry_kg / one_kg.dry_kg,
    )


def usual_days(temperature_c: float, parameters: Parameters) -> int:
    """Days closed that practice gives at a warmth: between its marks, longer where colder."""
    marks = [
        (float(parameters[f"bran_making.at.{n}"][0]), float(parameters[f"bran_making.days.{n}"][0]))
        for n in ("cool", "room", "warm")
    ]
    (cool, cool_days), (room, room_days), (warm, warm_days) = marks
    if temperature_c < room:
        slope = (cool_days - room_days) / (room - cool)
        return int(np.ceil(room_days + slope * (room - temperature_c)))
    days = np.interp(temperature_c, (room, warm), (room_days, warm_days))
    return int(np.ceil(days))


def bearable(temperature_c: float, parameters: Parameters) -> None:
    """ValueError where it is too cold or too hot to make bran."""
    least, most = (float(parameters[f"bran_making.{n}"][0]) for n in ("coldest", "hottest"))
    if not least <= temperature_c <= most:
        raise ValueError(
            f"room of {temperature_c:g} °C: bran sours between {least:g} and {most:g} °C; "
            "choose another place or season"
        )


def _steady_day(ph: Floats, parameters: Parameters) -> Floats:
    """First day with no more than a small fall of pH over three days, once it is sour."""
    change = ph[:, :-_SPAN] - ph[:, _SPAN:]
    sour = ph[:, _SPAN:] <= parameters["bran_making.ph.doubt"][:, None]
    done = sour & (change < parameters["bran_making.steady"][:, None])
    return np.where(done.any(axis=1), done.argmax(axis=1) + float(_SPAN), np.inf)


def _course(one_kg: Batch, warmth: Floats, parameters: Parameters) -> vessel.Course:
    """One kg in a tight pail of its own, for the gas and the dry matter lost."""
    pail = vessel.Vessel.of_volume(
        "pail",
        0.005,  # method: m3, holds a kg of any carrier
        1.0,
        1.0,
        0.0,
        0.01,  # method: m, little room on top
        0.0,
    )
    feeding = vessel.Feeding(np.zeros(1), Batch(one_kg.amounts[:, None, :]), "minced")
    return vessel.run(pail, feeding, warmth, parameters)
