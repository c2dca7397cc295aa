"""What people write down about their beds: burials, plantings, harvests, liquid; and their bran."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from sourloam.demo.diary import Diary, bed_id
from sourloam.demo.truth import TurnTruth
from sourloam.evidence import book
from sourloam.site import Site, spans_within
from sourloam.site.beds import Bed

_LEAST_TRENCH_M = 0.3
_HARVEST_EVERY = 9
_REST = 0.08  # of a vessel, that goes into the last trench with the rest
_MOST_TRENCHES = 8


def write_burials(diary: Diary, turns: Iterable[TurnTruth]) -> None:
    """Every emptied vessel goes to the bed whose turn it is, in one trench or several."""
    beds = diary.place.site.beds
    if not beds:
        return
    dug = {bed.name: 0 for bed in beds}
    done = [t for t in turns if t.emptied_day is not None]
    for turn in sorted(done, key=lambda t: t.began + (t.emptied_day or 0)):
        day = turn.began + (turn.emptied_day or 0)
        kg = float(turn.contents_kg[turn.last_day])
        free = [bed for bed in beds if _is_free(bed, diary.place.date(day))] or beds[-1:]
        bed = min(free, key=lambda b: (dug[b.name] / b.length_m, b.name))
        dug[bed.name] += _trenches(diary, turn, bed, day, kg, dug[bed.name])


def _trenches(diary: Diary, turn: TurnTruth, bed: Bed, day: int, kg: float, before: int) -> int:
    site = diary.place.site
    load = book()[f"ground.load.{bed.texture or site.ground.texture or 'loam'}"].value
    left, number = kg, 0
    while left > _REST * kg and number < _MOST_TRENCHES:
        length = min(max(left / load, _LEAST_TRENCH_M), bed.width_m)
        spacing = site.ground.trench_spacing_m or book()["ground.trench.spacing"].value
        strips = max(1, int(bed.length_m / spacing))
        body = {
            "vessel": turn.vessel,
            "bed": bed_id(bed.name),
            "depth_m": site.ground.trench_depth_m or book()["ground.trench.depth"].value,
            "width_m": site.ground.trench_width_m or book()["ground.trench.width"].value,
            "length_m": round(length, 1),
            "cover_m": book()["ground.trench.cover"].value,
            "along_m": round(((before + number) % strips + 0.5) * spacing, 1),
            "mass_kg": round(min(left, length * load) + 0.05, 1),
        }
        diary.write(day + 0.51 + number * 1e-3, "buried", body, by="gardener")
        left -= length * load
        number += 1
    return number


def _is_free(bed: Bed, on: dt.date) -> bool:
    return not any(
        first <= on <= last for p in bed.plantings for first, last in spans_within(p, on, on)
    )


def write_crops(diary: Diary) -> None:
    """Crops as the site describes them, planted on time and picked towards their end."""
    site = diary.place.site
    for bed in site.beds:
        for planting in bed.plantings:
            for first, last in _spans(planting, diary, site):
                _crop(diary, bed, planting.crop, (first - diary.place.first).days,
                      (last - diary.place.first).days)  # fmt: skip


def _spans(planting: object, diary: Diary, site: Site) -> list[tuple[dt.date, dt.date]]:
    first, last = diary.place.first, diary.place.date(diary.until)
    return [
        span
        for bed in site.beds
        for one in bed.plantings
        if one is planting
        for span in spans_within(one, first, last)
    ]


def _crop(diary: Diary, bed: Bed, crop: str, first: int, last: int) -> None:
    if last - first > 300:
        return  # what stands there always is not planted anew
    bed_of = bed_id(bed.name)
    if first >= 0:
        diary.write(first + 0.6, "planted", {"bed": bed_of, "crop": crop}, by="gardener")
    for day in range(max(last - 3 * _HARVEST_EVERY, first + 20, 1), last, _HARVEST_EVERY):
        kg = round(0.3 * bed.length_m * bed.width_m * (0.5 + float(diary.rng.random())), 1)
        body = {"bed": bed_of, "crop": crop, "mass_kg": max(kg, 0.1)}
        diary.write(day + 0.62, "harvested", body, by="gardener")


def write_liquid(diary: Diary) -> None:
    """Liquid that was let out for plants goes to a bed, thinned, a little later."""
    beds = diary.place.site.beds
    for entry in [e for e in diary.entries if e.kind == "drained"]:
        told = entry.body.model_dump()
        if told["use"] != "plants" or told["volume_ml"] < 30:
            continue
        bed = beds[int(diary.rng.integers(len(beds)))]
        body = {
            "bed": bed_id(bed.name),
            "litres": round(told["volume_ml"] / 1000, 2),
            "parts_of_water": float(diary.rng.choice([100, 200, 500])),
        }
        midnight = dt.datetime.combine(diary.place.first, dt.time(), dt.UTC)
        day = (entry.at - midnight) / dt.timedelta(days=1)
        diary.write(day + 0.02, "liquid_fed", body, by="gardener")
