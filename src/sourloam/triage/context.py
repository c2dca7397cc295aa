"""What the log or the model knows of a vessel or a bed before anybody looks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from sourloam.evidence import book

Setting = Literal["trained", "new", "programme"]


@dataclass(frozen=True)
class Context:
    """Numbers where they are known, None where not; shares lie between 0 and 1.

    ``setting``: people with practice, people new to it, or a school, café or hub.
    ``chance_of_failing`` is what a forecast or a run of the vessel model says.
    """

    setting: Setting = "new"
    chance_of_failing: float | None = None
    room_c: float | None = None
    outdoors_c: float | None = None
    bran_share: float | None = None
    bran_months: float | None = None
    bran_failed: bool | None = None
    animal_share: float | None = None
    water_share: float | None = None
    sugar_share: float | None = None
    filling_days: float | None = None
    rest_days: float | None = None
    undrained_days: float | None = None
    openings_a_day: float | None = None
    filled_share: float | None = None
    leaky: bool | None = None
    cover_m: float | None = None
    layer_m: float | None = None
    soil_c: float | None = None
    planted_after_days: float | None = None
    parts_of_water: float | None = None
    paper_share: float | None = None
    batch_failed: bool | None = None


@dataclass(frozen=True)
class _Hint:
    """A number beyond its limit raises causes; ``asked`` is the sign it stands in for."""

    field: str
    row: str
    over: bool
    causes: tuple[str, ...]
    asked: str = ""


_HINTS = (
    _Hint("room_c", "cold", False, ("cold",), "stands_cold"),
    _Hint("room_c", "hot", True, ("hot",), "stands_hot"),
    _Hint("bran_share", "thin_bran", False, ("thin_bran",), "bran_thin"),
    _Hint("bran_months", "old_bran", True, ("weak_bran",)),
    _Hint("animal_share", "animal", True, ("animal_food", "animals_drawn"), "much_animal"),
    _Hint("animal_share", "animal", True, ("ammonia_burst",), "animal_buried"),
    _Hint("water_share", "wet", True, ("too_wet",), "wet_scraps"),
    _Hint("water_share", "dry", False, ("too_dry",)),
    _Hint("sugar_share", "low_sugar", False, ("low_sugar",), "poor_scraps"),
    _Hint("filling_days", "slow", True, ("slow_filling",), "long_filled"),
    _Hint("rest_days", "young", False, ("too_early",), "short_rest"),
    _Hint("undrained_days", "undrained", True, ("standing_liquid",), "rarely_drained"),
    _Hint("undrained_days", "undrained", True, ("too_wet",)),
    _Hint("openings_a_day", "openings", True, ("air",), "opened_often"),
    _Hint("filled_share", "overfull", True, ("air",)),
    _Hint("outdoors_c", "flies", True, ("flies_got_in",)),
    _Hint("cover_m", "cover", False, ("thin_cover",), "cover_thin"),
    _Hint("layer_m", "layer", True, ("thick_lump",), "buried_thick"),
    _Hint("soil_c", "soil_cold", False, ("cold_or_dry_soil",)),
    _Hint("planted_after_days", "planted", False, ("planted_too_soon",), "planted_early"),
    _Hint("parts_of_water", "dilution", False, ("strong_liquid",), "fed_strong"),
    _Hint("paper_share", "paper", True, ("nitrogen_tied_up",), "paper_in_batch"),
)
_FAULTS: Mapping[str, tuple[tuple[str, ...], str]] = MappingProxyType(
    {
        "leaky": (("air", "broken_vessel"), "lid_loose"),
        "bran_failed": (("weak_bran",), "bran_off"),
        "batch_failed": (("failed_batch_buried",), "batch_was_bad"),
    }
)
#: Causes by which the model's vessels fail; it knows nothing of lids, taps, flies and the like.
FORESEEN = frozenset({"thin_bran", "weak_bran", "too_wet", "animal_food", "low_sugar", "cold"})
Say = Callable[[str], float]


def odds_of(context: Context) -> dict[str, float]:
    """By how many times the context makes a cause likelier (or less); causes not named: 1."""
    times: dict[str, float] = {}
    for causes, by in _moves(context, _row):
        for cause in causes:
            times[cause] = times.get(cause, 1.0) * by
    return times


def answered(context: Context) -> frozenset[str]:
    """Signs of what was done that the context already answers; they are not asked or counted."""
    known = {h.asked for h in _HINTS if h.asked and getattr(context, h.field) is not None}
    known |= {asked for name, (_c, asked) in _FAULTS.items() if getattr(context, name) is not None}
    return frozenset(known)


def _moves(context: Context, say: Say) -> Iterator[tuple[tuple[str, ...], float]]:
    done_well = say("context.done.times")
    for hint in _HINTS:
        value = getattr(context, hint.field)
        if value is None:
            continue
        limit = say(f"context.{hint.row}.limit")
        beyond = value > limit if hint.over else value < limit
        if beyond:
            yield hint.causes, say(f"context.{hint.row}.times")
        elif hint.asked:
            yield hint.causes, done_well
    for name, (causes, _asked) in _FAULTS.items():
        fault = getattr(context, name)
        if fault is not None:
            yield causes, say("context.fault.times") if fault else done_well


def _row(name: str) -> float:
    return book()[f"triage.{name}"].value
