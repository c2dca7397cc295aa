"""From a garden to its plan: asks the soil, chooses places, feeds, and says it all in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

import sourloam
from sourloam import soil
from sourloam.evidence import Parameters
from sourloam.garden import refusals, sentences
from sourloam.garden.beds import Bed
from sourloam.garden.burial import BurialPlan, freed_kg, plan_burials
from sourloam.garden.burial_answer import bed_answers, burial_answers
from sourloam.garden.case import WEEK, Case, spot_of
from sourloam.garden.cautions import garden_cautions
from sourloam.garden.contract import (
    Burials,
    Feeding,
    GardenPlan,
    GardenProvenance,
    GroundWeek,
    LeftOver,
    WayOut,
)
from sourloam.garden.crops import crop_evidence
from sourloam.garden.feeding import Can, plan_feeding
from sourloam.garden.feeding_answer import feeding_answer, spread_of
from sourloam.garden.finished import Finished, makes_of
from sourloam.garden.foresight import Foresight, Question, Spot, ask_soil
from sourloam.garden.liquid import Liquid
from sourloam.garden.options import later_weeks, weeks_of_work
from sourloam.garden.place import Circumstances, Further, Hands
from sourloam.garden.trench import Digging, air_load_kg_m, usual_trench
from sourloam.garden.tub import Tubs, tub_answer
from sourloam.numerics.progress import Progress, untold

Array = NDArray[np.float64]
EVIDENCE = ("beds", "feeding", "ground", *soil.EVIDENCE)
BUCKET_KG = 1.5  # method: the least that is worth carrying to another bed
FEWEST_PARTS, MOST_PARTS = 4, 32  # method: a vessel is shared out at least in quarters
LONGEST_WEEKS = 53  # method: limits are a year's, so a plan is for a year at most
_ASKED = 0.85  # method: share of the computing time that the soil takes
ASK_EVERY_DAYS = 28  # method: waits change slowly with the day of burial
FORESEEN_DAYS = 240  # method: from an autumn burial to a late spring


@dataclass(frozen=True)
class Rain:
    """What rain does in the beds. ``water`` by texture, days as of ``soil_c``; ``said`` how the
    rain was taken, a sentence; ``snow_lies`` whether snow lies, ``(members, days)``."""

    water: Mapping[str, soil.Water]
    said: str
    snow_lies: NDArray[np.bool_]


@dataclass(frozen=True)
class GardenInput:
    """One garden for some weeks (a year at most) from ``start``.

    ``soil_c`` by texture: daily mean soil temperature at the trench, °C, ``(members, days)``, at
    least ``weeks`` and ``FORESEEN_DAYS`` long. ``diggable`` by texture: whether the ground can be
    opened, ``(members, days)``; ``warm`` whether it is also warm enough to go on with what is
    buried (None: always). ``busy`` ``(weeks,)``: weeks in which no bed may be dug, ``away``: in
    which nobody is there to dig. ``later``: vessels finished too late in the year to be part of
    this plan. ``hands`` for
    digging, ``least_wait_days`` the gardener's own wait. ``rain``: what falls and drains over the
    same days; None: not counted, so that salt is overstated. ``liquid`` and ``supply_l``
    ``(members, weeks)``: what drains; None for none. ``jar_c`` is the temperature where the liquid
    stands, ``tap_ds_m`` the salt of the water that thins it, dS/m; None for usual values.
    ``digging`` is how the gardener digs, where that differs from the usual; ``further`` ground of
    the site beside these beds; ``system`` the reader's units, "metric" or "us".
    """

    name: str
    start: date
    weeks: int
    beds: tuple[Bed, ...]
    vessels: tuple[Finished, ...]
    soil_c: Mapping[str, Array]
    diggable: Mapping[str, NDArray[np.bool_]]
    rain: Rain | None = None
    liquid: Liquid | None = None
    supply_l: Array | None = None
    jar_c: float | None = None
    tap_ds_m: float | None = None
    circumstances: Circumstances = field(default_factory=Circumstances)
    digging: Digging = field(default_factory=Digging)
    further: Further = field(default_factory=Further)
    system: str = "metric"
    warm: Mapping[str, NDArray[np.bool_]] | None = None
    busy: NDArray[np.bool_] | None = None
    away: NDArray[np.bool_] | None = None
    later: int = 0
    hands: Hands = field(default_factory=Hands)
    least_wait_days: float = 0.0

    def __post_init__(self) -> None:
        if not 1 <= self.weeks <= LONGEST_WEEKS:
            raise ValueError(f"weeks: {self.weeks}; a plan is for 1 to {LONGEST_WEEKS} weeks")
        if not self.beds:
            raise ValueError("no bed; give at least one")
        if len({b.name for b in self.beds}) < len(self.beds):
            raise ValueError("two beds have the same name; give each its own")


def garden_evidence(beds: tuple[Bed, ...], all_ids: tuple[str, ...]) -> tuple[str, ...]:
    """Ids that a plan of these beds needs, out of all there are."""
    names = tuple(sorted({p.crop for bed in beds for p in bed.plantings}))
    under = tuple(f"{prefix}." for prefix in EVIDENCE)
    return (*(i for i in all_ids if i.startswith(under)), *crop_evidence(names))


def garden_plan(
    garden: GardenInput,
    parameters: Parameters,
    seed: int = 1,
    foresight: Foresight | None = None,
    tell: Progress | None = None,
) -> GardenPlan:
    """Where each vessel goes and when, what the liquid feeds, and what to beware of.

    ``foresight`` None asks the soil room. ``seed`` is only passed on to the provenance: all
    that is random is drawn in ``parameters`` and the temperatures before. ``tell`` is called
    with what is being done and the share done.
    """
    say = tell or untold
    case = _case(garden, parameters, foresight, say)
    say("choosing places", _ASKED)
    plan = plan_burials(case)
    return GardenPlan(
        site=garden.name,
        start=garden.start,
        until=garden.start + timedelta(days=garden.weeks * WEEK - 1),
        beds=bed_answers(case, plan, garden.start),
        burials=_burials(case, plan, garden),
        feeding=_feeding(garden, case, plan),
        tub=tub_answer(_tubs(case), _tub_c(garden, case)),
        ground=_ground(garden),
        cautions=garden_cautions(case, plan),
        provenance=GardenProvenance(
            version=sourloam.__version__,
            seed=seed,
            members=parameters.members,
            evidence=tuple(sorted(parameters)),
            notes=(*_NOTES, *_hands_note(case), *_weather_notes(garden)),
        ),
    )


def _hands_note(case: Case) -> tuple[str, ...]:
    """That not every later week was looked at, where hands are short."""
    looked, work = later_weeks(case), weeks_of_work(case)
    if looked >= work:
        return ()
    return (
        f"All the digging is {work} weeks of work for these hands; for each vessel {looked} later "
        "weeks were looked at beside the first, so that a plan with longer delays is not found.",
    )


def _weather_notes(garden: GardenInput) -> tuple[str, ...]:
    """How rain was taken, and what snow does to the answer."""
    if garden.rain is None:
        return (_NO_RAIN,)
    snowy = bool((_by_week(garden.rain.snow_lies, garden.weeks) > 0.5).any())  # method: mostly
    return (*((_SNOW,) if snowy else ()), garden.rain.said)


def _case(
    garden: GardenInput,
    parameters: Parameters,
    foresight: Foresight | None,
    tell: Progress = untold,
) -> Case:
    open_ground = {t: _by_week(days, garden.weeks) for t, days in garden.diggable.items()}
    warm = garden.warm or garden.diggable
    return Case(
        beds=garden.beds,
        vessels=garden.vessels,
        parts=_parts(garden.vessels),
        workable=open_ground,
        warm={t: _by_week(days, garden.weeks) for t, days in warm.items()},
        foresight=foresight or _ask(garden, parameters, tell),
        parameters=parameters,
        start=garden.start,
        digging=garden.digging,
        further=garden.further,
        system=garden.system,
        place=garden.circumstances,
        hands=garden.hands,
        busy=garden.busy,
        away=garden.away,
        least_wait_days=garden.least_wait_days,
    )


def _parts(vessels: tuple[Finished, ...]) -> int:
    """Into how many equal parts each vessel may go: about a bucket each."""
    largest = max((vessel.fresh_kg for vessel in vessels), default=0.0)
    return int(np.clip(np.ceil(largest / BUCKET_KG), FEWEST_PARTS, MOST_PARTS))


def _spots(garden: GardenInput, parameters: Parameters) -> dict[Spot, soil.Buried]:
    """Every make of ferment in every sort of ground that the beds have."""
    makes = {
        make: v.ferment for make, v in zip(makes_of(garden.vessels), garden.vessels, strict=True)
    }
    usual_ph = float(np.median(parameters["beds.usual_ph"]))
    return {
        spot_of(make, bed, usual_ph): ferment
        for make, ferment in makes.items()
        for bed in garden.beds
    }


def _ask(garden: GardenInput, parameters: Parameters, tell: Progress = untold) -> Foresight:
    textures = sorted({bed.texture for bed in garden.beds})
    last = garden.weeks * WEEK
    much_meat = any(v.much_meat for v in garden.vessels)
    trench = usual_trench(parameters, much_meat, garden.digging)
    question = Question(
        ferments=_spots(garden, parameters),
        trench=trench,
        load_kg_m={t: air_load_kg_m(t, trench, parameters) for t in textures},
        days=(*range(0, last, ASK_EVERY_DAYS), last),
        horizon_days=FORESEEN_DAYS,
    )
    water = garden.rain.water if garden.rain else None
    return ask_soil(
        question,
        {t: garden.soil_c[t] for t in textures},
        parameters,
        water,
        lambda share: tell("following what is buried", share * _ASKED),
    )


def _by_week(diggable: NDArray[np.bool_], weeks: int) -> Array:
    """Share of members in which most days of a week can be dug, ``(weeks,)``."""
    days = diggable[:, : weeks * WEEK].reshape(diggable.shape[0], weeks, WEEK)
    return np.asarray((days.mean(axis=2) > 0.5).mean(axis=0))


def _burials(case: Case, plan: BurialPlan, garden: GardenInput) -> Burials:
    closed = refusals.closed_beds(case, plan)
    least = case.middle("beds.workable_chance")
    shut, cold = (
        refusals.spans(np.min(list(chance.values()), axis=0) < least, garden.start)
        for chance in (case.workable, case.warm)
    )
    winter = refusals.winter_sentence(case, plan, shut, cold)
    barred = bool(sentences.barred(case))
    ways = sentences.ways_out(case, plan.ways_out) if plan.ways_out and not barred else []
    return Burials(
        answer=f"{sentences.answer(case, plan)} {sentences.later(garden.later)}".strip(),
        possible=plan.ways_out is None,
        plan=burial_answers(case, plan, garden.start),
        stored=tuple(case.vessels[v].name for v in plan.stored),
        left_over=tuple(
            LeftOver(vessel=case.vessels[v].name, mass=float(kg))
            for v, kg in enumerate(plan.left_kg)
            if kg > 0 and v not in plan.stored
        ),
        ways_out=tuple(WayOut(kind=k, amount=a, unit=u, text=t) for k, a, u, t in ways),
        refusals=(*((winter,) if winter and not barred else ()), *closed.values()),
    )


def _tubs(case: Case) -> Tubs:
    return Tubs(case.vessels, case.beds[0].texture, case.parameters, case.system)


def _tub_c(garden: GardenInput, case: Case) -> float:
    """Warmth of a tub: that of the room where the vessels stand."""
    return case.middle("feeding.ageing.reference") if garden.jar_c is None else garden.jar_c


def _feeding(garden: GardenInput, case: Case, burials: BurialPlan) -> Feeding | None:
    if garden.liquid is None or garden.supply_l is None:
        return None
    can = Can(garden.liquid, case.parameters, garden.tap_ds_m)
    shut = refusals.no_pouring(case)
    plan = plan_feeding(garden.beds, case.crops, can, garden.supply_l, shut)
    return feeding_answer(case, can, plan, _tub_c(garden, case), freed_kg(case, burials))


def _ground(garden: GardenInput) -> tuple[GroundWeek, ...]:
    texture = garden.beds[0].texture
    chance = _by_week(garden.diggable[texture], garden.weeks)
    warm = _by_week((garden.warm or garden.diggable)[texture], garden.weeks)
    warmth = garden.soil_c[texture]
    snow = _by_week(garden.rain.snow_lies, garden.weeks) if garden.rain else np.zeros(garden.weeks)
    return tuple(
        GroundWeek(
            week=garden.start + timedelta(days=week * WEEK),
            chance=float(chance[week]),
            warm=float(warm[week]),
            temperature=spread_of(warmth[:, week * WEEK : (week + 1) * WEEK].mean(axis=1), "°C"),
            snow=float(snow[week]),
        )
        for week in range(garden.weeks)
    )


_NOTES = (
    "Vessels are shared out by the bucket; all that is in one vessel goes in the same week.",
    "Nitrogen, phosphorus and masses count with their medians; waits with the length that nine "
    "members in ten need at most.",
    "Waits are simulated every four weeks at three loads, for each make of ferment in each bed's "
    "own ground, and read off between; they count from the last day of the week of burying.",
    "The ground around ferment is taken to be moist: in a drought, water the trench.",
)
_SNOW = (
    "Snow lies for weeks in most years here: under it the ground freezes later and less deep than "
    "computed."
)
_NO_RAIN = "No rain is counted: where rain falls, salt goes sooner than said."
