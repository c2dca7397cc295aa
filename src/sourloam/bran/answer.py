"""One page about a batch, from its course."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from sourloam.bran import contract as c
from sourloam.bran.carriers import (
    ALLERGENS,
    INOCULA,
    SWEETS,
    Mixture,
    loose_density,
    sweet_kg,
)
from sourloam.bran.cautions import cautions
from sourloam.bran.costing import costing
from sourloam.bran.keeping import MONTH_DAYS, dose_kg_per_kg, least_strength
from sourloam.bran.labelling import label, warning
from sourloam.bran.making import Batch
from sourloam.bran.measures import cups
from sourloam.bran.moving import movers
from sourloam.bran.ranges import range_of
from sourloam.bran.recipe import containers
from sourloam.bran.steps import Setting, packing_day, steps
from sourloam.bran.tested import condemned, held_back, results
from sourloam.bran.trials import KINDS, Trial, how_to
from sourloam.evidence import Parameters, book
from sourloam.numerics import Range, spread
from sourloam.units import percent, show, spoons

Floats = NDArray[np.float64]
_GRAMS, _LITRES, _HUNDRED = 1000.0, 1000.0, 100.0
_MONTHS = (0, 1, 2, 3, 6, 9, 12)  # method: ages that are told
_NOTES = (
    "No isotherm of bran, no count on slowly dried, soured bran and no buffering of bran was "
    "found: wheat, dried cultures and cereals stand for them, with wide ranges. Your own test "
    "tells more than this forecast.",
    "That bran keeps a year is often said; counts of living cells support weeks to months, the "
    "longer the cooler and drier.",
    "Souring is that of the vessel model, with the carrier's own starch and sugar: more sugar "
    "makes it start faster, hardly sourer.",
)


def answer(
    made: Batch,
    setting: Setting,
    prices: Mapping[str, float],
    seed: int,
    supply: c.Supply | None = None,
    measures: tuple[str, str] = ("metric_cup", "metric_tablespoon"),
    trials: Sequence[Trial] = (),
    own_dose: float | None = None,
) -> c.Answer:
    """All that a coordinator asks of a batch; sentences in the reader's units.

    ``made`` is the batch as it is after the ``trials`` (``after_tests``); ``own_dose`` kg/kg is
    given while it is strong, in place of the usual. ``measures`` are the reader's cup and spoon.
    """
    packed = setting.start + dt.timedelta(days=packing_day(made))
    wish = made.case.wish
    best = packed + dt.timedelta(days=made.usual_good_days)
    allergens = _allergens(made)
    ages = _ages(made, packed, trials, own_dose)
    held = held_back(trials, made.parameters)
    text = label(made, setting, packed, ages[0].advised, allergens)
    return c.Answer(
        title=f"{show(wish.dry_kg, 'mass', setting.system)} of inoculated {wish.mixture.words}",
        wanted_kg=wish.dry_kg,
        carriers=wish.mixture.words,
        supply=supply,
        weighed=tuple(_weighed(made, measures[0])),
        moisture=range_of(_HUNDRED * made.recipe.moisture, "%"),
        cells=range_of(made.recipe.log10_cells_per_g, "log10 cfu/g"),
        steps=steps(made, setting),
        souring=_souring(made, setting),
        drying=_drying(made, setting),
        product=range_of(made.product_kg, "kg"),
        ready=packed + dt.timedelta(days=1),
        ages=ages,
        spoon=measures[1],
        spoons=_spoons(made, ages[0].advised, measures[1]),
        good_for=range_of(made.good_days, "days"),
        good_for_cool=range_of(made.good_days_cool, "days"),
        store_c=made.case.store_c,
        best_before=best,
        movers=movers(made, setting.system),
        cost=costing(made, prices),
        label=warning(setting) if held else text,
        tested=results(trials, made.parameters),
        held_back=held,
        tests=tuple(how_to(kind, made.parameters, setting.system) for kind in KINDS),
        cautions=cautions(allergens, made.dried is not None, _open_trays(made)),
        notes=_NOTES,
        members=made.parameters.members,
        seed=seed,
        evidence=made.parameters.ids,
    )


def usual_dose(own: float | None = None) -> float:
    """The dose given while the bran is strong, kg/kg: the person's own, else the usual."""
    return book()["bran.dose.share"].value / _GRAMS if own is None else own


def advised_dose(
    strength: Floats, parameters: Parameters, own: float | None = None
) -> float | None:
    """Dose, kg/kg, for a lot of this strength (members,), log10 cfu/g: the usual one, more where
    the count asks for it, None where the middle of the members is too weak for any."""
    need = float(np.median(dose_kg_per_kg(strength, parameters)))
    return max(need, usual_dose(own)) if np.isfinite(need) else None


def _weighed(made: Batch, cup: str) -> list[c.Weighed]:
    weighed, wish, parameters = made.recipe, made.case.wish, made.parameters
    lines = list(_carriers(made, cup))
    water = range_of(np.maximum(weighed.water_kg, 0), "kg")
    if water.median:
        volume = range_of(np.maximum(weighed.water_kg, 0), "L")
        lines.append(c.Weighed(name="water", mass=water, volume=volume))
    if sweet_kg(wish.sweet, parameters).fresh_kg.any():
        by = parameters[f"bran_carriers.{wish.sweet}.density"]
        lines.append(
            c.Weighed(
                name=SWEETS[wish.sweet],
                mass=range_of(_GRAMS * weighed.sweet_kg, "g"),
                volume=range_of(1e6 * weighed.sweet_kg / by, "mL"),
            )
        )
    dry = wish.inoculum == "batch"
    lines.append(
        c.Weighed(
            name=INOCULA[wish.inoculum],
            mass=range_of(_GRAMS * weighed.inoculum_kg, "g"),
            volume=None if dry else range_of(_GRAMS * weighed.inoculum_kg, "mL"),
        )
    )
    return lines


def _carriers(made: Batch, cup: str) -> Iterator[c.Weighed]:
    """Each carrier of a mix by itself, the largest share first: nobody can weigh out "and"."""
    for name, share in made.case.wish.mixture.ordered:
        mass = share * made.recipe.carrier_kg
        density = loose_density(Mixture({name: 1.0}), made.parameters)
        each = np.array([cups(1.0, float(d), cup) for d in density])
        yield c.Weighed(
            name=made.case.wish.mixture.called(name),
            mass=range_of(mass, "kg"),
            volume=range_of(_LITRES * mass / density, "L"),
            cups=range_of(mass * each, "cups"),
        )


def _spoons(made: Batch, dose_g_per_kg: float | None, spoon: str) -> Range | None:
    """Level spoons for a kg of scraps, by the loose density of the carrier."""
    if dose_g_per_kg is None:
        return None
    density = loose_density(made.case.wish.mixture, made.parameters)
    return range_of([spoons(dose_g_per_kg / _GRAMS, float(d), spoon) for d in density], "spoons")


def _souring(made: Batch, setting: Setting) -> c.Souring:
    sour, weighed = made.soured, made.recipe
    boxes = None
    if setting.container_m3:
        count = containers(weighed.packed_m3, setting.container_m3, made.parameters)
        boxes = range_of(count, "containers")
    passing = sour.ph <= made.parameters["bran_making.ph.pass"]
    return c.Souring(
        room_c=made.case.room_c,
        closed_days=sour.closed_days,
        usual_days=sour.usual_days,
        steady=range_of(sour.steady_day, "days"),
        ph=range_of(sour.ph, "pH"),
        gas=range_of(sour.gas_l_per_kg * weighed.wet_kg, "L"),
        chance_sour=float(passing.mean()),
        ph_sour=float(np.median(made.parameters["bran_making.ph.pass"])),
        containers=boxes,
        packed=range_of(_LITRES * weighed.packed_m3, "L"),
    )


def _drying(made: Batch, setting: Setting) -> c.Drying | None:
    if made.dried is None:
        return None
    dry, wet = made.dried, made.recipe.wet_kg
    return c.Drying(
        method=made.case.drying.method,
        days=range_of(dry.days, "days"),
        damp_days=range_of(dry.damp_days, "days"),
        moisture_before=range_of(_HUNDRED * made.recipe.moisture, "%"),
        moisture_after=range_of(_HUNDRED * made.end_moisture, "%"),
        weight_after=range_of(made.product_kg, "kg"),
        activity=range_of(made.activity, "1"),
        chance_dry=float(made.reaches_goal.mean()),
        trays=range_of(dry.trays_m2 * wet, "m2"),
        energy=range_of(dry.energy_kwh * wet, "kWh"),
        text=_how_dry(made, setting),
    )


def _how_dry(made: Batch, setting: Setting) -> str:
    """Whether this way of drying is good enough, and what would help."""
    assert made.dried is not None
    marks = {
        n: float(made.parameters[f"bran_keeping.activity.{n}"][0])
        for n in ("goal", "warn", "refuse")
    }
    activity, end = float(np.median(made.activity)), float(np.median(made.end_moisture))
    gentle = show(
        float(made.parameters["bran_keeping.heat.gentle"][0]), "temperature", setting.system
    )
    help_ = f"Finish it with gentle warmth (up to {gentle}) or beside a drying agent."
    parts = []
    if activity > marks["refuse"]:
        parts.append(
            f"This air dries it only to {percent(end)} moisture (water activity {activity:.2f}): "
            f"too damp to pack as dry, moulds can grow above {marks['refuse']:.2f}. {help_}"
        )
    elif activity > marks["warn"]:
        parts.append(
            f"This air dries it to {percent(end)} moisture (water activity {activity:.2f}): safe "
            f"from moulds, but the cells die fast. {help_}"
        )
    elif made.reaches_goal.mean() < 0.9:
        parts.append(f"On damp days this way stops short of the aim. {help_}")
    else:
        parts.append(
            f"Dry at {percent(end)} moisture, water activity {activity:.2f} (aim "
            f"{marks['goal']:.2f}; nothing grows below {marks['refuse']:.2f})."
        )
    longest = float(made.parameters["bran_keeping.open_days"][0])
    if float(spread(made.dried.damp_days).high) > longest:
        parts.append(
            f"It may lie damp for more than {longest:g} days, long enough for moulds: spread it "
            "thinner, or move more air."
        )
    return " ".join(parts)


def _ages(
    made: Batch, packed: dt.date, trials: Sequence[Trial], own: float | None
) -> tuple[c.Age, ...]:
    least = least_strength(made.parameters)
    told = []
    for months in _MONTHS:
        day = round(months * MONTH_DAYS)
        if day > made.longest_days + 1:
            continue
        strength = made.strength[:, min(day, made.strength.shape[1] - 1)]
        failed = condemned(trials, day, made.parameters)
        advised = None if failed else advised_dose(strength, made.parameters, own)
        told.append(
            c.Age(
                months=months,
                date=packed + dt.timedelta(days=day),
                strength=range_of(strength, "log10 cfu/g"),
                dose=range_of(_GRAMS * dose_kg_per_kg(strength, made.parameters), "g/kg"),
                advised=None if advised is None else round(_GRAMS * advised, 1),
                chance_good=float((strength >= least).mean()),
            )
        )
    return tuple(told)


def _allergens(made: Batch) -> tuple[str, ...]:
    wish = made.case.wish
    parts = (*wish.mixture.shares, wish.sweet, wish.inoculum)
    return tuple(dict.fromkeys(ALLERGENS[part] for part in parts if part in ALLERGENS))


def _open_trays(made: Batch) -> bool:
    return made.case.drying.method in ("air", "sun", "fan")
