"""Usual cautions, picked by what the site says, with the reason why each applies here."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from functools import cache
from importlib.resources import files

import numpy as np

from sourloam.evidence import book
from sourloam.planning.contract import Caution
from sourloam.planning.dosing import animal_share
from sourloam.planning.parts.day_words import listed, vessels
from sourloam.planning.parts.weeks import weeks_of
from sourloam.planning.parts.year import year_of
from sourloam.planning.ranges import range_of, words
from sourloam.planning.work import Work
from sourloam.scraps import CLASSES
from sourloam.units import percent, show, show_on_bed

_NEAR_WELL_M, _NEAR_WATER_M = "planning.near.well", "planning.near.water"
_NEAR_LINE_M = "planning.near.line"
_ANIMAL_CLASSES = ("meat_fish", "dairy_egg", "plate_waste", "shells_bones")
_TRACE = 0.005  # method: shares smaller than this are not told


def cautions_part(work: Work) -> tuple[Caution, ...]:
    """Every caution that applies: those of this case first, then those for everybody."""
    found = []
    for entry in sorted(texts(), key=lambda one: one["when"] == "always"):
        why = CONDITIONS[entry["when"]](work)
        if why:
            found.append(
                Caution.model_validate(
                    {
                        "applies": why,
                        **{k: entry[k] for k in ("id", "title", "standing")},
                        **{k: in_units(entry[k], work.system) for k in ("text", "source")},
                    }
                )
            )
    return tuple(found)


@cache
def texts() -> tuple[Mapping[str, str], ...]:
    """The cautions as written in ``cautions.toml``."""
    text = (files("sourloam.planning") / "cautions.toml").read_text(encoding="utf-8")
    return tuple(tomllib.loads(text)["caution"])


def in_units(text: str, system: str) -> str:
    """A caution with each of its figures in the reader's units."""
    return re.sub(r"\{([^|{}]+)\|([^|{}]+)\}", r"\2" if system == "us" else r"\1", text)


def _always(work: Work) -> str:
    return "for everybody"


def _meat(work: Work) -> str:
    if work.case.site.rules.animal_food == "yes":
        return "you say that animal food comes in"
    columns = [CLASSES.index(name) for name in _ANIMAL_CLASSES]
    share = float(np.median(work.case.shares[:, columns].sum(axis=1)))
    if share <= _TRACE:
        return ""
    why = (
        f"about {percent(share)} of your mix is or holds meat, fish, dairy, egg or cooked leftovers"
    )
    if work.case.site.rules.animal_food == "no":
        why += ', although animal_food under [rules] says "no": change mix, or the answer'
    return why


def _school(work: Work) -> str:
    return "this is a school" if work.case.site.place.kind == "school" else ""


def _raw_crops(work: Work) -> str:
    if not work.case.site.ground.raw_crops:
        return ""
    animal = float(np.median(animal_share(work.case)))
    extra = " and animal food goes in" if animal > _TRACE else ""
    return f"you grow crops that are eaten raw{extra}"


def _heavy(work: Work) -> str:
    limit = book()["planning.lift"].value
    for kind in work.case.kinds:
        mass = range_of(
            np.concatenate([one.taken_kg for one in work.filled[kind.vessel.name]]), "kg"
        )
        if (mass.high or 0) > limit:
            return (
                f"a full {kind.vessel.name} holds {words(mass, work.system)}, "
                f"and {show(limit, 'mass', work.system)} is a usual cap for one person"
            )
    return ""


def _many(work: Work) -> str:
    least = book()["planning.many_vessels"].value
    return f"you would have {work.number} vessels" if work.number >= least else ""


def _cold_room(work: Work) -> str:
    limit = book()["planning.room.cold"].value
    coldest = np.median(work.case.room_c[:, work.case.coming_year].min(axis=1))
    if coldest >= limit:
        return ""
    return f"the coldest day there is about {show(float(coldest), 'temperature', work.system)}"


def _hot_room(work: Work) -> str:
    limit = book()["planning.room.hot"].value
    warmest = np.median(work.case.room_c[:, work.case.coming_year].max(axis=1))
    if warmest <= limit:
        return ""
    return f"the hottest day there is about {show(float(warmest), 'temperature', work.system)}"


def _answered(key: str, yes: str, unknown: str = "") -> Callable[[Work], str]:
    """Condition on one of the site's yes, no or unknown answers."""

    def condition(work: Work) -> str:
        return {"yes": yes, "unknown": unknown}.get(getattr(work.case.site.rules, key), "")

    return condition


def _food_business(work: Work) -> str:
    kind = work.case.site.place.kind
    return f"this is a {kind} kitchen" if kind in ("cafe", "school") else ""


def _law_unknown(work: Work) -> str:
    rules = work.case.site.rules
    open_questions = {
        "burial_allowed": "whether burying is allowed",
        "notification_needed": "whether somebody must be told",
        "same_property": "whether everything stays on one property",
        "pest_rules": "whether there are rules about animals that scraps draw",
    }
    unknown = [text for key, text in open_questions.items() if getattr(rules, key) == "unknown"]
    if rules.burial_allowed == "no" and not work.case.site.ground.none:
        return "you say that burying is not allowed, yet the plan buries: use a tub, or ask"
    if not unknown:
        return ""
    return "you do not know yet " + ", ".join(unknown)


def _off_site(work: Work) -> str:
    rules = work.case.site.rules
    if rules.same_property == "no":
        return "not everything is made, fermented and used on one property"
    if rules.carried_by_others == "yes":
        return "scraps or ferment go over public roads"
    return "ferment or soil goes to other people" if rules.given_away == "yes" else ""


def _over_limit(work: Work) -> str:
    limit = work.case.site.rules.limit_kg_per_day
    weekly = work.case.scraps_kg[:, work.case.planned].mean(axis=1)
    if limit is None or np.quantile(weekly, 0.9) <= limit:
        return ""
    return f"you gave {show(limit, 'mass_rate', work.system)} as the most that is allowed"


def _water_near(work: Work) -> str:
    rules, near = work.case.site.rules, []
    for what, value, row in (
        ("a well", rules.distance_to_well_m, _NEAR_WELL_M),
        ("water", rules.distance_to_water_m, _NEAR_WATER_M),
    ):
        if value is not None and value < book()[row].value:
            near.append(f"{what} is {show(value, 'length', work.system)} away")
    if near:
        return " and ".join(near)
    if rules.distance_to_well_m is None and rules.distance_to_water_m is None:
        return "you gave no distance to water or a well" if not work.case.site.ground.none else ""
    return ""


def _line_near(work: Work) -> str:
    away = work.case.site.rules.distance_to_boundary_m
    if away is None or away >= book()[_NEAR_LINE_M].value or work.case.site.ground.none:
        return ""
    return f"the neighbours' land is {show(away, 'length', work.system)} from your beds"


def _trench(work: Work) -> str:
    return "" if work.case.site.ground.none else "ferment is buried in open ground"


def _beds_full(work: Work) -> str:
    if work.case.site.ground.none:
        return ""
    weeks = weeks_of(work, year_of(work))
    parted, passed_on = (sum(getattr(w, key) for w in weeks) for key in ("parted", "passed_on"))
    found = [vessels(passed_on)] if passed_on else []
    if parted:
        found.append(f"a part of {vessels(parted)}")
    if not found:
        return ""
    return (
        f"in the calendar your beds have no place for {listed(found)} of the coming year's ferment"
    )


def _phosphorus(work: Work) -> str:
    if work.case.site.ground.none:
        return ""
    brought = range_of(work.burying.phosphorus_g_m2, "g/m2")
    carried = work.burying.carried_g_m2
    if (brought.median or 0) <= carried or all(np.isfinite(r.phosphorus_kg) for r in
                                               work.case.beds):  # fmt: skip
        return ""
    middle, low, high, usual = (
        show_on_bed((grams or 0.0) / 1000, work.system)
        for grams in (brought.median, brought.low, brought.high, carried)
    )
    return (
        f"your beds would get about {middle} of phosphorus a year ({low} to {high}), and harvests "
        f"carry away about {usual}"
    )


CONDITIONS: Mapping[str, Callable[[Work], str]] = {
    "always": _always,
    "meat": _meat,
    "school": _school,
    "raw_crops": _raw_crops,
    "heavy": _heavy,
    "many": _many,
    "cold_room": _cold_room,
    "hot_room": _hot_room,
    "farmed_animals": _answered(
        "farmed_animals_near",
        "you say that farmed animals are near",
        "you do not say whether farmed animals are near",
    ),
    "food_business": _food_business,
    "law_unknown": _law_unknown,
    "off_site": _off_site,
    "over_limit": _over_limit,
    "sold": _answered("produce_sold", "you say that produce is sold or certified"),
    "drain": _answered("liquid_to_drain", "you say that liquid goes to a drain"),
    "water_near": _water_near,
    "line_near": _line_near,
    "trench": _trench,
    "beds_full": _beds_full,
    "phosphorus": _phosphorus,
}
