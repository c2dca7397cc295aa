"""Proving forecasts on invented truths: vessels run by the full model with inputs drawn from the
evidence, logs with the errors that forecasts reckon with, and the score of what was foreseen.

Today is the day of the first fill mark that reads half or more: a day that the log itself names,
so that ranks are uniform if and only if forecasts hold what they promise.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sourloam import scraps, vessel
from sourloam.evidence import Parameters, book
from sourloam.forecast.kitchen import Kitchen
from sourloam.forecast.logged import Layer, Logged, Look, Reading, Strip
from sourloam.forecast.outlook import VesselForecast
from sourloam.forecast.souring import class_shares, evidence_ids
from sourloam.forecast.vessel import Question, forecast_vessel
from sourloam.scraps import Batch

Floats = NDArray[np.float64]
_DAYS = 110  # method: days in which layers are held out
_AFTER = 45  # method: days followed after them
_MARKS, _DRAINS, _STRIPS = 4, 3, 10  # method: days between readings in the invented logs
_AHEAD = 7
_ML_PER_M3 = 1e6
#: What is scored, by name.
QUANTITIES = ("full_day", "finish_day", "liquid_week_ml", "level_in_a_week", "ph_newest_layer")


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
    expected, room_c = kitchen.window(kitchen.first, _DAYS + _AFTER)
    rate = kitchen.before.rate_mean + kitchen.before.rate_sd * rng.standard_normal(count)
    variance = np.log1p(kitchen.day_to_day**2)
    noise = np.sqrt(variance) * rng.standard_normal((count, _DAYS)) - variance / 2
    laid = expected[:_DAYS] * np.exp(rate[:, None] + noise)
    warm = room_c + parameters["climate.room.unsure"][:, None]
    feeding = vessel.Feeding(
        np.arange(_DAYS, dtype=np.float64),
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
    inside = feeding.day <= _longest()
    return replace(feeding, day=feeding.day[inside], batch=Batch(feeding.batch.amounts[:, inside]))


def _layers(
    kitchen: Kitchen, laid: Floats, parameters: Parameters, rng: np.random.Generator
) -> Batch:
    evidence, usual = book(), kitchen.usual
    troubled = rng.random(parameters.members) < evidence["forecast.trouble"].value
    shares = class_shares(usual.shares, parameters)
    for name in ("meat_fish", "dairy_egg", "shells_bones"):
        shares[troubled, scraps.CLASSES.index(name)] += evidence["forecast.trouble.animal"].value
    shares /= shares.sum(axis=1, keepdims=True)
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
    end = int(min(full, _longest() + 1))
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


def _longest() -> float:
    """Days after which one that does not fill is set aside."""
    return book()["planning.longest_fill"].value


def _mean_ph(layers: Floats, laid: Floats) -> float:
    """Mean over the layers that are there, by mass; layers of no mass were never laid."""
    there = np.isfinite(layers)
    kg = laid[laid > 0][: int(there.sum())]
    return float(np.average(layers[there], weights=kg))


def _readings(days: NDArray[np.int64], values: Floats) -> tuple[Reading, ...]:
    return tuple(Reading(int(d), float(v)) for d, v in zip(days, values, strict=True))


def half_day(log: Logged) -> int | None:
    """Day of the first fill mark that reads half or more while it fills; None if none does."""
    days = [mark.day for mark in log.marks if mark.value >= 0.5]
    return days[0] if days else None


def crps(members: Floats, truth: float) -> float:
    """Continuous ranked probability score of members against what came; in their unit."""
    ordered = np.sort(members)
    count = len(ordered)
    weights = 2 * np.arange(1, count + 1) - count - 1
    return float(np.abs(ordered - truth).mean() - (weights * ordered).sum() / count**2)


def rank_share(members: Floats, truth: float, rng: np.random.Generator) -> float:
    """Share of the members below what came; ties are broken by chance."""
    below, equal = (members < truth).sum(), (members == truth).sum()
    return float((below + rng.random() * (equal + 1)) / (len(members) + 1))


@dataclass(frozen=True)
class Trial:
    """One truth foreseen: ranks and scores by quantity, and the scores of naive forecasts."""

    ranks: dict[str, float]
    scores: dict[str, float]
    so_far: float
    last_rate: float
    truth: float
    now: int


def trial(
    kitchen: Kitchen,
    shape: vessel.Vessel,
    all_of: Truths,
    which: int,
    members: int,
    rng: np.random.Generator,
) -> Trial | None:
    """Foresee one truth on the day on which its log says half full; None if it never does."""
    log = log_of(kitchen, all_of, which, rng)
    now = half_day(log)
    if now is None or now + 1 >= min(all_of.full_day[which], _longest()):
        return None
    today = kitchen.first + dt.timedelta(days=now)
    question = Question(today, _DAYS + _AFTER - now - 1, members)
    seen = forecast_vessel(log, shape, kitchen, kitchen.before, question, rng)
    came, foreseen = _came(all_of, which, now), _foreseen(seen, now)
    ranks = {q: rank_share(foreseen[q], came[q], rng) for q in QUANTITIES}
    scores = {q: crps(foreseen[q], came[q]) for q in QUANTITIES}
    return Trial(ranks, scores, *_naive(log, now, shape), came["full_day"], now)


def _came(all_of: Truths, which: int, now: int) -> dict[str, float]:
    limit = float(_DAYS + _AFTER)
    return {
        "full_day": float(min(all_of.full_day[which], _DAYS)),
        "finish_day": float(min(all_of.finish_day[which], limit)),
        "liquid_week_ml": float(all_of.liquid_ml[which, now + 1 : now + 1 + _AHEAD].sum()),
        "level_in_a_week": float(all_of.level[which, now + _AHEAD]),
        "ph_newest_layer": float(all_of.ph_newest[which, now]),
    }


def _foreseen(seen: VesselForecast, now: int) -> dict[str, Floats]:
    limit = float(_DAYS + _AFTER)
    return {
        "full_day": np.minimum(seen.full_day, _DAYS),
        "finish_day": np.minimum(seen.finish_day, limit),
        "liquid_week_ml": seen.liquid_ml[:, now + 1 : now + 1 + _AHEAD].sum(axis=1),
        "level_in_a_week": seen.level[:, now + _AHEAD],
        "ph_newest_layer": seen.ph_newest[:, now],
    }


def _naive(log: Logged, now: int, shape: vessel.Vessel) -> tuple[float, float]:
    """Day of being full by the fill marks' rate so far, and by that of the last two marks."""
    marks = [mark for mark in log.marks if mark.day <= now]
    so_far = now / min(max(marks[-1].value, 0.1), 1.0)
    rate = marks[-1].value / now
    if len(marks) > 1:
        rate = max((marks[-1].value - marks[-2].value) / (marks[-1].day - marks[-2].day), rate / 5)
    return so_far, now + max(1 - marks[-1].value, 0.0) / rate
