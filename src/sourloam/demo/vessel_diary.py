"""What people write down about one filling of a vessel."""

from __future__ import annotations

from typing import Any

import numpy as np

from sourloam.demo.bran_diary import lot_of
from sourloam.demo.diary import Diary
from sourloam.demo.truth import TurnTruth

_SEEN_SOUND = ("sour_smell",)
_SEEN_WHITE = ("white_bloom", "sour_smell")
_SEEN_BAD = ("rotten_smell", "green_mould")
_WORTH_ML = 20.0  # less than this is a few drops that nobody measures
_NIGHT = 0.92  # after the last layer of the evening
_JUDGED_AFTER = 28  # days after which people give a vessel up


def write_turn(diary: Diary, turn: TurnTruth) -> None:
    """Everything about one turn, as far as the diary goes."""
    _layers(diary, turn)
    _drains(diary, turn)
    _looks(diary, turn)
    _strips(diary, turn)
    diary.write(turn.began + turn.aside_day + _NIGHT, "set_aside", {"vessel": turn.vessel})
    _end(diary, turn)


def _layers(diary: Diary, turn: TurnTruth) -> None:
    usual_g = float(np.median(turn.bran_g)) if len(turn.bran_g) else 0.0
    for i, day in enumerate(turn.layer_day):
        if day > turn.aside_day or (i and diary.chance(diary.habit.unlogged_layers)):
            continue
        when = diary.evening(turn.began + day)
        kg, density = float(turn.layer_kg[i]), float(turn.density_kg_m3[i])
        body: dict[str, Any] = {"vessel": turn.vessel, "amount": diary.amount(kg, density)}
        # Most people write the dose they always give.
        body["bran_g"] = float(round(usual_g if diary.chance(0.8) else turn.bran_g[i]))
        body["lot"] = lot_of(diary, turn.began + day)
        if diary.chance(0.1):
            warmth = turn.temperature_c[int(day)] + 0.5 * diary.rng.standard_normal()
            body["temperature_c"] = round(float(warmth))
        diary.layer(when, body)


def _drains(diary: Diary, turn: TurnTruth) -> None:
    """Every few days what has gathered is let out, until the vessel is emptied."""
    gathered = np.concatenate([[0.0], np.cumsum(turn.liquid_ml)])
    last = 0
    for day in range(diary.habit.drain_days, turn.last_day, diary.habit.drain_days):
        ml = float(gathered[day] - gathered[last])
        if ml < _WORTH_ML:
            continue
        last = day
        if diary.chance(diary.habit.unlogged_drains):
            continue
        told = max(round(ml * float(np.exp(0.07 * diary.rng.standard_normal())), -1), 10.0)
        when = diary.evening(turn.began + day) + 0.02
        garden = bool(diary.place.site.beds) and diary.chance(0.4)
        body = {"vessel": turn.vessel, "volume_ml": told, "use": "plants" if garden else "sink"}
        diary.write(when, "drained", body)


def _looks(diary: Diary, turn: TurnTruth) -> None:
    """Fill marks while it fills; then a look every week or so."""
    for day in range(diary.habit.mark_days, turn.aside_day, diary.habit.mark_days):
        seen = float(turn.level_share[day]) + 0.05 * diary.rng.standard_normal()
        body = {"vessel": turn.vessel, "fraction": float(np.clip(round(20 * seen) / 20, 0.05, 1))}
        diary.write(diary.evening(turn.began + day) + 0.03, "fill_marked", body)
    for day in range(turn.aside_day + 6, turn.last_day, 8):
        if diary.chance(0.7):
            body = {"vessel": turn.vessel, "signs": list(_signs(turn, day))}
            diary.write(diary.evening(turn.began + day), "looked", body)


def _signs(turn: TurnTruth, day: int) -> tuple[str, ...]:
    if not np.isfinite(turn.finish_day):
        return _SEEN_BAD if day > turn.aside_day + 12 else ("weak_smell",)
    return _SEEN_WHITE if turn.mouldy else _SEEN_SOUND


def _strips(diary: Diary, turn: TurnTruth) -> None:
    for day in range(diary.habit.strip_days, turn.last_day, diary.habit.strip_days):
        if diary.chance(0.3):
            continue
        solid = day > turn.aside_day
        ph = float(turn.ph_newest[day] if solid else turn.ph_mean[day])
        of = "solid" if solid else "liquid"
        body = {"vessel": turn.vessel, "ph": diary.strip(ph), "of": of}
        diary.write(diary.evening(turn.began + day) + 0.035, "ph_read", body)


def _end(diary: Diary, turn: TurnTruth) -> None:
    """Judged, emptied, washed; burials are written by the garden's diary."""
    if not np.isfinite(turn.finish_day):
        day = turn.began + turn.aside_day + _JUDGED_AFTER
        body = {"vessel": turn.vessel, "verdict": "failed", "cause": "weak_bran"}
        diary.write(diary.evening(day), "judged", body)
        return
    sure = turn.began + max(int(turn.finish_day), turn.aside_day + 7) + int(diary.rng.integers(4))
    if turn.emptied_day is None or sure < turn.began + turn.emptied_day:
        body = {"vessel": turn.vessel, "verdict": "sound"}
        diary.write(diary.evening(sure), "judged", body)
    if turn.emptied_day is None:
        return
    out = turn.began + turn.emptied_day
    none = diary.place.site.ground.none
    body = {"vessel": turn.vessel, "fate": "tub" if none else "buried"}
    diary.write(out + 0.5, "emptied", body)
    if turn.washed_day is not None:
        diary.write(turn.began + turn.washed_day + 0.4, "washed", {"vessel": turn.vessel})
