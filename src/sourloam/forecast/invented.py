"""Invented truths to prove forecasts on: vessels run by the full model with inputs drawn from the
evidence, and logs with the errors that forecasts reckon with."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps, vessel
from sourloam.evidence import Parameters, book
from sourloam.forecast.kitchen import Kitchen
from sourloam.forecast.logged import Layer, Logged, Look, Reading, Strip
from sourloam.forecast.souring import evidence_ids, shares_with_trouble
from sourloam.scraps import Batch

Floats = NDArray[np.float64]
DAYS = 110  # method: days in which layers are held out
AFTER = 45  # method: days followed after them
_MARKS, _DRAINS, _STRIPS = 4, 3, 10  # method: days between readings in the invented logs
_ML_PER_M3 = 1e6


@dataclass(frozen=True)
class Truths:
    """Invented vessels (truths, days): what was laid, how full, mL a day, pH of the newest layer;
    the shared error of amounts; day of being full if fed on; day of being finished if set aside
    when full, or after the longest usual filling."""

    laid_kg: Floats
    scale: Floats
    level: Floats
    liquid_ml: Floats
    ph_newest: Floats
    ph_layers: Floats
    full_day: Floats
    finish_day: Floats
    failed: NDArray[np.bool_]
    room_c: Floats


def truths(kitchen: Kitchen, shape: vessel.Vessel, count: int, rng: np.random.Generator) -> Truths:
    """So many vessels of one place as it could be, run by the full vessel model."""
    evidence = book()
    ids = tuple(dict.fromkeys((*evidence_ids(), "climate.room.unsure")))
    parameters = evidence.sample(ids, count, rng)
    expected, room_c = kitchen.window(kitchen.first, DAYS + AFTER)
    rate = kitchen.before.rate_mean + kitchen.before.rate_sd * rng.standard_normal(count)
    variance = np.log1p(kitchen.day_to_day**2)
    noise = np.sqrt(variance) * rng.standard_normal((count, DAYS)) - variance / 2
    laid = expected[:DAYS] * np.exp(rate[:, None] + noise)
    warm = room_c + parameters["climate.room.unsure"][:, None]
    feeding = vessel.Feeding(
        np.arange(DAYS, dtype=np.float64),
        _layers(kitchen, laid, parameters, rng),
        kitchen.usual.pieces,
    )
    course = vessel.run(shape, feeding, warm, parameters, vessel.Settings(keep_layers=True))
    given_up = vessel.run(shape, _until_given_up(feeding), warm, parameters)
    error = evidence["forecast.amount.counted"].value
    return Truths(
        laid_kg=laid,
        scale=np.exp(
            np.log1p(evidence["forecast.unlogged"].value) + error * rng.standard_normal(count)
        ),
        level=course.level_share,
        liquid_ml=_ML_PER_M3 * course.liquid_m3,
        ph_newest=course.ph_newest,
        ph_layers=course.ph_layers,
        full_day=course.full_day,
        finish_day=given_up.finish_day,
        failed=given_up.failed,
        room_c=warm,
    )


def _until_given_up(feeding: vessel.Feeding) -> vessel.Feeding:
    """What is fed where one that does not fill is set aside after the longest usual filling."""
    inside = feeding.day <= longest_filling()
    return replace(feeding, day=feeding.day[inside], batch=Batch(feeding.batch.amounts[:, inside]))


def _layers(
    kitchen: Kitchen, laid: Floats, parameters: Parameters, rng: np.random.Generator
) -> Batch:
    evidence, usual = book(), kitchen.usual
    troubled = rng.random(parameters.members) < evidence["forecast.trouble"].value
    shares = shares_with_trouble(usual, parameters, troubled)
    mixed = scraps.mix(shares, scraps.class_table(parameters))
    own = parameters[f"scraps.{usual.carrier}.lactic"] if usual.strength is None else usual.strength
    cfu = np.where(troubled, evidence["forecast.trouble.strength"].value, own)
    bran = scraps.bran_batch(np.full(len(laid), usual.dose), usual.carrier, cfu, parameters)
    return Batch((mixed + bran).amounts[:, None, :]).times(laid)


def log_of(kitchen: Kitchen, all_of: Truths, which: int, rng: np.random.Generator) -> Logged:
    """What the people of one truth would have written, with the errors reckoned with."""
    evidence = book()

    def error(row: str, size: int) -> Floats:
        tails = evidence["forecast.tails"].value
        return np.asarray(evidence[row].value * rng.standard_t(tails, size))

    full = all_of.full_day[which]
    end = int(min(full, longest_filling() + 1))
    each = evidence["ledger.amount.count"].value
    told = all_of.laid_kg[which, :end] / all_of.scale[which]
    told = told * np.exp(each * rng.standard_normal(end))
    marks = np.arange(_MARKS, end, _MARKS)
    drains = np.arange(_DRAINS, end, _DRAINS)
    strips = np.arange(_STRIPS, end, _STRIPS)
    floor = evidence["forecast.drain.floor"].value
    gathered = np.concatenate([[0.0], np.cumsum(all_of.liquid_ml[which])])
    let_out = np.diff(gathered[np.concatenate([[0], drains])])
    read_ml = (let_out + floor) * np.exp(error("forecast.drain.error", len(drains))) - floor
    read_level = all_of.level[which, marks] + error("forecast.mark.error", len(marks))
    layers = all_of.ph_layers[which]
    with np.errstate(invalid="ignore"):
        mean = [_mean_ph(layers[:, d], all_of.laid_kg[which]) for d in strips]
    read_ph = np.array(mean) + error("forecast.strip.error", len(strips))
    warm = all_of.room_c[which, 5] + error("forecast.warmth.error", 1)
    return Logged(
        began=kitchen.first,
        layers=tuple(Layer(d, float(kg), each, "counted") for d, kg in enumerate(told) if kg > 0),
        drains=_readings(drains, np.maximum(read_ml, 0.0)),
        marks=_readings(marks, read_level),
        strips=tuple(Strip(int(d), float(ph)) for d, ph in zip(strips, read_ph, strict=True)),
        warmths=(Reading(5, float(warm[0])),),
        looks=tuple(Look(int(d)) for d in marks),
        set_aside=end,
    )


def longest_filling() -> float:
    """Days after which one that does not fill is set aside."""
    return book()["planning.longest_fill"].value


def _mean_ph(layers: Floats, laid: Floats) -> float:
    """Mean over the layers that are there, by mass; layers of no mass were never laid."""
    there = np.isfinite(layers)
    kg = laid[laid > 0][: int(there.sum())]
    return float(np.average(layers[there], weights=kg))


def _readings(days: NDArray[np.int64], values: Floats) -> tuple[Reading, ...]:
    return tuple(Reading(int(d), float(v)) for d, v in zip(days, values, strict=True))
