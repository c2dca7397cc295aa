"""The forecast of one vessel: members that agree with its log, carried on to the horizon."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sourloam.evidence import book
from sourloam.forecast import acids
from sourloam.forecast.agreement import Agreement, Seen
from sourloam.forecast.belief import Belief
from sourloam.forecast.coordinates import Hidden
from sourloam.forecast.draining import next_drain
from sourloam.forecast.failing import chance_between
from sourloam.forecast.kernel import through_days
from sourloam.forecast.kitchen import Kitchen
from sourloam.forecast.logged import Logged
from sourloam.forecast.members import Scene
from sourloam.forecast.movers import movers
from sourloam.forecast.outlook import VesselForecast
from sourloam.forecast.rate import future_kg, level_of
from sourloam.forecast.sampling import sample
from sourloam.forecast.surprise import surprises
from sourloam.numerics.resampling import systematic
from sourloam.vessel import Vessel

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_BEYOND = 120  # method: days past the horizon in which it may still become sour
_LATELY = 21  # method: days whose mean warmth tells how sour layers are by now
_IDLE = 14  # method: days without a layer after which an old filling counts as ended
_ML_PER_M3 = 1e6
_WEEK = 7
_RIDGE = 1e-4  # method: a belief never becomes certain

WHY_ILL = (
    "In {percent} of 100 runs that agree with the log it fails: strips or smells fit bran that has "
    "died, or too much meat, fish and dairy, better than a sound ferment."
)
WHY_COLD = (
    "In {percent} of 100 runs that agree with the log it is not sour in time: it stands at about "
    "{warmth} °C, and sours slowly or only when it gets warmer."
)

#: Prefixes and ids of the evidence that the forecast reads, beside those of scraps and vessel.
EVIDENCE: tuple[str, ...] = (
    "forecast",
    "practice.drain",
    "planning.drain",
    "planning.longest_fill",
)


@dataclass(frozen=True)
class Question:
    """Up to when the log goes, how many days of the turn are foreseen, by how many members; any
    ``seed`` but 0 gives other members."""

    today: dt.date
    horizon_days: int = 75  # method: a default
    members: int = 500  # method: a default
    seed: int = 0


@dataclass(frozen=True)
class _Members:
    z: Floats
    errors: Floats
    draw: Ints
    inside: Hidden
    seen: Seen


def forecast_vessel(
    logged: Logged,
    vessel: Vessel,
    kitchen: Kitchen,
    belief: Belief,
    question: Question,
    rng: np.random.Generator,
) -> VesselForecast:
    """Foresee the filling in ``logged``, of which everything up to ``question.today`` counts.

    ``belief`` is what is held of the place before this vessel. ValueError where today lies
    before the log begins, or the turn outside the days that the kitchen knows.
    """
    now = (question.today - logged.began).days
    if now < 0:
        raise ValueError(f"today {question.today} lies before the log begins on {logged.began}")
    log = logged.until(now)
    days = now + question.horizon_days + 1
    expected, room_c = kitchen.window(log.began, days, beyond=_BEYOND)
    scene = Scene.of(vessel, kitchen.mix, kitchen.usual.dose, room_c, log)
    agreement = Agreement(scene, log, book()["liquid.density"].value)
    members = _agreeing(agreement, kitchen, belief, question.members, rng)
    return _carried_on(agreement, members, kitchen, belief, expected, now, rng)


def _agreeing(
    agreement: Agreement, kitchen: Kitchen, belief: Belief, count: int, rng: np.random.Generator
) -> _Members:
    """Members by level and liquid, then by their acids."""
    lumps = agreement.scene.lumps.day.size
    sampled = sample(agreement, belief, lumps, count, rng)
    inside = agreement.scene.inside(sampled.z)
    log = agreement.logged
    read = [*(strip.day for strip in log.strips), *(look.day for look in log.looks)]
    now = max(read, default=log.last_layer)
    matched = acids.match(
        kitchen.souring, inside.dry_share, _lately(agreement.scene, inside, now), log
    )
    fit = matched.log_evidence
    weights = np.exp(fit - fit.max())
    chosen = systematic(weights / weights.sum(), count, rng)
    draw = matched.draw(rng)[chosen]
    z, errors = sampled.z[chosen], sampled.layers[chosen]
    return _Members(z, errors, draw, *agreement.seen(z, errors))


def _lately(scene: Scene, inside: Hidden, now: int) -> Floats:
    """Mean °C of the days before, in which the layers soured that are there now, (members,)."""
    window = scene.room_c[max(now - _LATELY, 0) : now + 1]
    return np.asarray(window.mean() + inside["climate.room.unsure"])


def _carried_on(
    agreement: Agreement,
    members: _Members,
    kitchen: Kitchen,
    belief: Belief,
    expected: Floats,
    now: int,
    rng: np.random.Generator,
) -> VesselForecast:
    scene, log, inside = agreement.scene, agreement.logged, members.inside
    days = len(expected)
    past = scene.lumps.masses(inside, members.errors, scene.mix)
    level = level_of(log, past.sum(axis=1), expected, now, belief, kitchen.day_to_day)
    rate = level.draw(rng)
    added, kg = scene.lumps.day, past
    if log.set_aside is None:
        first = max(now, log.last_layer) + 1
        coming = future_kg(expected[first:], rate, kitchen.day_to_day, rng)
        added = np.concatenate([added, np.arange(first, days)])
        kg = np.concatenate([past, coming], axis=1)
    full, last, course = through_days(
        added, kg * (1 + scene.dose), now + 1, days, scene.held(inside, days),
        scene.softening(inside, days), scene.rows(inside), scene.shared(),
    )  # fmt: skip
    last = _last_layer(log, full, last, now, days)
    warmth = _lately(scene, inside, now)
    finish = _finish(scene, inside, kitchen, members.draw, last)
    curves = kitchen.souring.at(kitchen.souring.ph, warmth, members.draw)
    liquid = _daily_ml(course[2], agreement.density_kg_m3)
    fails = _fails(finish - last, kitchen, warmth, members.draw)
    resting = log.set_aside is not None
    troubled = kitchen.souring.troubled[members.draw]
    drain = next_drain(log, np.cumsum(liquid, axis=1), now, scene.vessel)
    return VesselForecast(
        began=log.began,
        today=log.began + dt.timedelta(days=now),
        resting=resting,
        full_day=full if log.set_aside is None else np.full_like(full, float(log.set_aside)),
        finish_day=finish,
        fails=fails,
        level=course[0],
        contents_kg=course[1],
        liquid_ml=liquid,
        ph_newest=_newest(curves, log, last, now, days),
        layer_ph=_layers_now(curves, log, now),
        drain=drain,
        failing=chance_between(fails, troubled, rng),
        bran_layer_g=_layer_bran_g(log, kitchen.usual.dose, expected, rate),
        bran_left_kg=kitchen.usual.dose * _still_to_come(kg, added, last, now),
        surprises=surprises(agreement, members.seen, _strips_away(kitchen, members, log, warmth)),
        posterior=_learned(members.z, rate, belief),
        scraps_kg=_by_weekday(log, expected, rate),
        movers=movers(
            finish if resting else full, members.z, rate, kitchen.souring.usual_days(members.draw)
        ),
        notes=_why(fails, troubled, warmth),
    )


def _last_layer(log: Logged, full: Floats, last: Floats, now: int, days: int) -> Floats:
    """Day of the last layer. One that does not fill in time is set aside after the longest
    filling that goes well; one that nobody feeds any more rests since its last layer."""
    if log.set_aside is not None:
        return np.full_like(last, float(log.last_layer))
    longest = round(book()["planning.longest_fill"].value)
    forgotten = now > longest and log.last_layer < now - _IDLE
    end = log.last_layer if forgotten else max(longest, now)
    return np.asarray(np.where(np.isfinite(full), np.minimum(last, end), min(end, days)))


def _finish(scene: Scene, inside: Hidden, kitchen: Kitchen, draw: Ints, last: Floats) -> Floats:
    """Day by whose end the newest layer is sour and steady, (members,)."""
    warmth = scene.room_c + inside["climate.room.unsure"][:, None]
    return kitchen.souring.finish_day(last, warmth, draw)


def _fails(took: Floats, kitchen: Kitchen, warmth: Floats, draw: Ints) -> NDArray[np.bool_]:
    """Too late after its last layer, or the butyric or putrid way."""
    late = took > book()["ferment.failure_after"].value
    return np.asarray(late | kitchen.souring.spoils(warmth, draw))


def _why(fails: NDArray[np.bool_], troubled: NDArray[np.bool_], warmth: Floats) -> tuple[str, ...]:
    """Why it is likely to fail, where it is."""
    chance = float(fails.mean())
    if chance < book()["ledger.due.chance"].value:
        return ()
    if troubled[fails].mean() > 0.5:
        return (WHY_ILL.format(percent=round(100 * chance)),)
    return (WHY_COLD.format(percent=round(100 * chance), warmth=round(float(np.median(warmth)))),)


def _daily_ml(liquid_kg: Floats, density: float) -> Floats:
    """mL let go in the course of each day, the last one like the one before."""
    steps = np.diff(liquid_kg, axis=1)
    return np.asarray(np.concatenate([steps, steps[:, -1:]], axis=1) / density * _ML_PER_M3)


def _newest(curves: Floats, log: Logged, last: Floats, now: int, days: int) -> Floats:
    """pH of the newest layer at the end of each day, (members, days)."""
    day = np.arange(days)
    laid = np.array([layer.day for layer in log.layers] or [0])
    known = laid[np.maximum(np.searchsorted(laid, day, side="right") - 1, 0)]
    newest = np.where(day <= now, known, np.minimum(day, last[:, None]))
    age = np.clip(day - newest, 0, curves.shape[1] - 1).astype(np.int64)
    return np.asarray(np.take_along_axis(curves, np.broadcast_to(age, (len(curves), days)), 1))


def _layers_now(curves: Floats, log: Logged, now: int) -> Floats:
    """pH of each logged layer at the end of today, (layers, members)."""
    ages = [min(now - layer.day, curves.shape[1] - 1) for layer in log.layers]
    return np.asarray(curves[:, ages].T)


def _by_weekday(log: Logged, expected: Floats, rate: Floats) -> Floats:
    """kg of scraps on a day of each weekday from Monday, (members, 7), over the turn's days."""
    weekday = (log.began.weekday() + np.arange(len(expected))) % _WEEK
    days = np.maximum(np.bincount(weekday, minlength=_WEEK), 1)
    usual = np.bincount(weekday, expected, _WEEK) / days
    return np.asarray(np.exp(rate)[:, None] * usual)


def _layer_bran_g(log: Logged, dose: float, expected: Floats, rate: Floats) -> float:
    """Bran for a usual layer, g."""
    if log.layers:
        usual = float(np.median([layer.kg for layer in log.layers]))
    else:
        usual = float(np.median(expected) * np.exp(np.median(rate)))
    return 1000 * dose * usual


def _still_to_come(kg: Floats, added: Ints, last: Floats, now: int) -> Floats:
    """kg of scraps that go in after today, (members,)."""
    coming = (added > now) & (added <= last[:, None])
    return np.asarray((kg * coming).sum(axis=1))


def _strips_away(kitchen: Kitchen, members: _Members, log: Logged, warmth: Floats) -> Floats:
    """Strips less what the members' layers would show, in standard errors."""
    error = book()["forecast.strip.error"].value
    away = np.zeros((len(members.z), len(log.strips)))
    for i, strip in enumerate(log.strips):
        table = acids.read_ph(kitchen.souring, log, strip.day, strip.solid)
        away[:, i] = (strip.ph - kitchen.souring.at(table, warmth, members.draw)) / error
    return away


def _learned(z: Floats, rate: Floats, belief: Belief) -> Belief:
    """What is held of the place after this vessel."""
    covariance = np.cov(z.T) + _RIDGE * np.eye(z.shape[1])
    return Belief(
        z.mean(axis=0), covariance, float(rate.mean()), float(rate.std()), belief.turns + 1
    )
