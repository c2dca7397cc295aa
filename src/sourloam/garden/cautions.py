"""Usual cautions, each with why it applies here. They never replace local rules."""

from __future__ import annotations

from collections.abc import Sequence

from sourloam.evidence import book
from sourloam.garden.burial import BurialPlan, freed_kg
from sourloam.garden.case import Case, gap_index, needs_kg
from sourloam.garden.ceilings import phosphorus_carried_kg_m2
from sourloam.garden.contract import GardenCaution
from sourloam.garden.crops import spoken
from sourloam.garden.finished import Finished
from sourloam.garden.place import Circumstances
from sourloam.garden.tub import Tubs
from sourloam.garden.wording import listed, said

_OURS = "our judgement"
_SPARE_KG = 0.002  # method: a spare gram or two is no matter
_FEW = 3


def garden_cautions(case: Case, plan: BurialPlan) -> tuple[GardenCaution, ...]:
    """The cautions that this garden calls for, the gravest first."""
    found = [
        *_raw_crops(case),
        *_contradiction(case),
        *_water(case, case.place),
        *_overfed(case, plan),
        *_phosphorus(case, plan),
        *_short_wait(case, plan),
        *_held(case, plan),
        _hands(),
        *_animals(case.vessels, case.place),
        *_winter(case, plan),
        *_sand(case),
        _local(),
    ]
    return tuple(found)


def tub_cautions(case: Tubs, place: Circumstances) -> tuple[GardenCaution, ...]:
    """The cautions for ferment that goes home through tubs of soil."""
    found = [_tub(case), _liquid(), _hands(), *_animals(case.vessels, place), _local()]
    return tuple(found)


def _tub(case: Tubs) -> GardenCaution:
    long, short = (f"{case.middle(f'beds.interval.{k}'):.0f}" for k in ("touching", "not_touching"))
    return GardenCaution(
        id="tub",
        text=(
            "Close the tub with fine mesh and a lid against rats and flies and stand it on a tray: "
            "what drips is as sour as the liquid. Turn it only outdoors or by an open window. Keep "
            "it from children and pets. Where the ferment held meat, fish, egg or dairy, its soil "
            f"goes to crops eaten raw {long} days before picking where the part eaten touches the "
            f"soil, {short} where it does not, as rules for raw manure ask."
        ),
        source=_source("beds.interval.touching"),
        standing="our judgement, by analogy",
    )


def _liquid() -> GardenCaution:
    """Where the liquid goes when there is no bed."""
    return GardenCaution(
        id="liquid",
        text=(
            "What drains has no bed here either. Give it, the same day and thinned, to people with "
            "plants in the ground; or, where your local rules allow, send it down the household "
            "drain with plenty of water, never into a storm drain or a stream."
        ),
        source="",
        standing=_OURS,
    )


def _raw_crops(case: Case) -> list[GardenCaution]:
    raw = sorted(name for name, grown in case.crops.items() if grown.eaten_raw)
    if not raw:
        return []
    names = ", ".join(spoken(name) for name in raw)
    long, short = (f"{case.middle(f'beds.interval.{k}'):.0f}" for k in ("touching", "not_touching"))
    days = f"{case.middle('feeding.stop_before_harvest'):.0f}"
    return [
        GardenCaution(
            id="raw",
            text=(
                f"Here grow crops that are eaten raw ({names}). Keep ferment under the soil and "
                "liquid off leaves and fruit; wash what you pick. With meat, fish, egg or dairy in "
                f"the ferment we keep {long} days from burying to picking where the part eaten "
                f"touches the soil, {short} where it does not, as rules for raw manure ask; "
                f"stop feeding liquid {days} days before picking."
            ),
            source=_source("beds.interval.touching"),
            standing="our judgement, by analogy",
        )
    ]


def _water(case: Case, place: Circumstances) -> list[GardenCaution]:
    stream, well = (case.middle(f"beds.distance.{k}") for k in ("stream", "well"))
    near = []
    if place.stream_m is not None and place.stream_m < stream:
        near.append(f"the stream, ditch or pond is {said(case, place.stream_m, 'length')} away")
    if place.well_m is not None and place.well_m < well:
        near.append(f"the well or spring is {said(case, place.well_m, 'length')} away")
    here = f" Here {' and '.join(near)}: nothing is buried or poured." if near else ""
    return [
        GardenCaution(
            id="water",
            text=(
                f"Bury and pour at least {said(case, stream, 'length')} from streams, ditches and "
                f"ponds and {said(case, well, 'length')} from wells and springs, never on flooded, "
                "waterlogged or frozen ground. The liquid robs water of oxygen and kills fish."
                f"{here}"
            ),
            source=_source("beds.distance.stream"),
            standing="published",
        )
    ]


def _contradiction(case: Case) -> list[GardenCaution]:
    if not case.place.animal_food_barred or not any(v.with_meat for v in case.vessels):
        return []
    return [
        GardenCaution(
            id="animal_food",
            text=(
                "You say that no animal food comes in, yet the mix of scraps holds some: here the "
                "mix counts, and crops eaten raw are kept apart. Mend whichever is wrong."
            ),
            source="",
            standing=_OURS,
        )
    ]


def _overfed(case: Case, plan: BurialPlan) -> list[GardenCaution]:
    """Crops that get far more nitrogen than they want."""
    needs, far = needs_kg(case), case.middle("beds.far_more")
    freed, found = freed_kg(case, plan), []
    for b, bed in enumerate(case.beds):
        for i, planting in enumerate(bed.plantings):
            gap = gap_index(case, b, i)
            given = float(freed[gap])
            if given - needs[gap] > _SPARE_KG and given > far * needs[gap]:
                grams = [said(case, kg, "small_mass") for kg in (given, needs[gap])]
                found.append(f"{spoken(planting.crop)} in {bed.name} {grams[0]} for {grams[1]}")
    if not found:
        return []
    return [
        GardenCaution(
            id="overfed",
            text=(
                "Some crops get far more nitrogen than they want: "
                f"{listed(found[:_FEW])}{' and others' if len(found) > _FEW else ''}. They grow "
                "leaf instead of fruit, and what is spare washes out: spread the ferment over more "
                "ground if you have it, and give such beds no other manure."
            ),
            source="",
            standing=_OURS,
        )
    ]


def _phosphorus(case: Case, plan: BurialPlan) -> list[GardenCaution]:
    """Beds that get more phosphorus than harvests carry away: no ceiling, but told."""
    found, years = [], 0.0
    for b, bed in enumerate(case.beds):
        here = [x for x in plan.buried if x.offer.option.bed == b]
        given = sum(x.offer.option.phosphorus_kg * x.parts for x in here)
        carried = phosphorus_carried_kg_m2(bed, case.crops, case.parameters) * bed.area_m2
        if given > carried + _SPARE_KG:
            grams = [said(case, kg, "small_mass") for kg in (given, carried)]
            found.append(f"{bed.name} {grams[0]} for {grams[1]}")
            years = max(years, given / carried)
    if not found:
        return []
    return [
        GardenCaution(
            id="phosphorus",
            text=(
                "More phosphorus is buried in this year than a year's harvests carry away: "
                f"{listed(found[:_FEW])}{' and others' if len(found) > _FEW else ''}, enough for "
                f"{years:.1f} years where it is most. It stays in the soil and later crops use it, "
                "so give such beds no other manure, compost or bone meal, bury elsewhere in the "
                "years between, and test the soil every few years. Where a rule binds you, write "
                "phosphorus_limit under [[bed]], and the plan keeps to it."
            ),
            source=_source("beds.phosphorus.limit"),
            standing=_OURS,
        )
    ]


def _winter(case: Case, plan: BurialPlan) -> list[GardenCaution]:
    """Burials into ground that is too cold to work, which rest until spring."""
    least = case.middle("beds.workable_chance")
    resting = [
        b
        for b in plan.buried
        if case.warm[case.beds[b.offer.option.bed].texture][b.offer.option.week] < least
    ]
    if not resting:
        return []
    return [
        GardenCaution(
            id="winter_rest",
            text=(
                "Ferment buried into cold ground rests until it is warmer. Nitrate that is freed "
                "before the cold and after the thaw can wash out before anything grows: bury late "
                "rather than early in autumn, and not where water stands."
            ),
            source="",
            standing=_OURS,
        )
    ]


def _short_wait(case: Case, plan: BurialPlan) -> list[GardenCaution]:
    usual = case.middle("ground.wait.warm")
    if all(b.offer.wait_range[1] >= usual for b in plan.buried):
        return []
    return [
        GardenCaution(
            id="short_wait",
            text=(
                f"Some waits here are shorter than the usual advice of {usual:.0f} days or more, "
                "because little ferment lies on each metre of trench. No trial has measured them. "
                "If you can, wait the usual time; or sow cress in soil from over the trench and in "
                "soil from beside it, and plant when both grow alike."
            ),
            source="",
            standing=_OURS,
        )
    ]


def _held(case: Case, plan: BurialPlan) -> list[GardenCaution]:
    longest = max(
        (b.offer.day - case.vessels[b.offer.option.vessel].ready_day for b in plan.buried),
        default=0,
    )
    limit = case.middle("beds.hold.longest")
    if longest > limit:
        which = f"Some vessels are kept sealed for more than {limit:.0f} days. Keep them"
    elif plan.stored:
        which = "Whoever keeps a vessel sealed because no bed has a place for it: keep it"
    else:
        return []
    them = "them" if longest > limit else "it"
    return [
        GardenCaution(
            id="held",
            text=(
                f"{which} airtight and frost-free; test smell and pH before burying, and open "
                f"{them} outdoors, face away, because gas may have gathered."
            ),
            source="",
            standing=_OURS,
        )
    ]


def _hands() -> GardenCaution:
    return GardenCaution(
        id="hands",
        text=(
            "Wear gloves, cover cuts and wash hands: ferment and soil carry germs, and sourness "
            "is no proof of safety. The liquid is as sour as vinegar; keep it out of eyes. Mix it "
            "with nothing but water: never with chlorine bleach, lime or ash."
        ),
        source="",
        standing=_OURS,
    )


def _animals(vessels: Sequence[Finished], place: Circumstances) -> list[GardenCaution]:
    cautions = []
    if any(v.with_meat for v in vessels):
        cautions.append(
            GardenCaution(
                id="diggers",
                text=(
                    "Foxes, rats and dogs dig for meat and fish: cover fully, tread down, and lay "
                    "mesh or boards over the place for a week."
                ),
                source="",
                standing="common practice, no source",
            )
        )
    if place.farmed_animals_near:
        cautions.append(
            GardenCaution(
                id="farmed_animals",
                text=(
                    "Farmed animals, hens and pet pigs too, must not reach ferment, liquid or "
                    "freshly buried ground; in many countries the law forbids it. Ask your "
                    "authority."
                ),
                source="",
                standing="from memory, unverified",
            )
        )
    return cautions


def _sand(case: Case) -> list[GardenCaution]:
    if not any(bed.texture == "sand" for bed in case.beds):
        return []
    cold = case.middle("beds.leaching.cold")
    return [
        GardenCaution(
            id="leaching",
            text=(
                "On sand, nitrate from an autumn burial washes out by spring: sow a catch crop, or "
                f"bury once the soil is below {said(case, cold, 'temperature')}. Put "
                "burying off when heavy rain is forecast."
            ),
            source="",
            standing=_OURS,
        )
    ]


def _local() -> GardenCaution:
    return GardenCaution(
        id="local",
        text=(
            "These are usual cautions, not law: local rules on kitchen scraps, burying and water "
            "come first. Ask where you are unsure."
        ),
        source="",
        standing=_OURS,
    )


def _source(key: str) -> str:
    rows = book()
    return rows.citation(rows[key])
