"""The tables of what was achieved: every figure with its range, every table with its footnotes."""

from __future__ import annotations

from sourloam.documents.achieved_contract import Row, Table
from sourloam.documents.achieved_teller import Teller
from sourloam.impact.contract import RouteAnswer

_TOLD_YEARS = (0, 1, 2, 5, 10, 20, 50, 100)
#: Rows behind what the scraps hold.
HOLDS = ("scraps.carbon.fibre", "scraps.nitrogen_of_protein")


def compared(t: Teller) -> Table:
    """What fermenting saves against each other way, and how sure that is."""
    ton = (
        t.say("For a tonne of scraps") if t.speech.system == "metric" else t.say("For a short ton")
    )
    rows = tuple(
        Row(
            t.way(c.id),
            (
                t.three(c.saved, unit=False),
                t.three(c.saved_per_tonne, unit=False),
                t.chance(c.chance),
                t.chance(c.chance_with_credits),
            ),
        )
        for c in t.answer.comparisons
    )
    head = (
        t.say("Against"),
        t.say("Saved, {unit}", unit=t.unit("kg CO2e")),
        ton,
        t.say("Fermenting is better in"),
        t.say("the same with credits"),
    )
    credits = ("impact.fertiliser.making", "impact_waste.burn.power")
    return Table(t.say("What it saves"), head, rows, t.notes(credits))


def garden(t: Teller) -> Table:
    """Nutrients that reach garden soil on each way."""
    rows = tuple(
        Row(
            t.way(r.id),
            tuple(
                t.three(x, unit=False)
                for x in (
                    r.nitrogen_to_garden,
                    r.usable_nitrogen,
                    r.phosphorus_to_garden,
                    r.potassium_to_garden,
                )
            ),
        )
        for r in t.answer.routes
        if r.nitrogen_to_garden.high
    )
    keys = [
        *HOLDS,
        "impact.vessel.nitrogen_kept",
        "impact.vessel.liquid_used",
        "impact.fertiliser.available",
        "impact_waste.compost_nitrogen_available",
        *(f"impact_waste.compost_keeps.{x}" for x in ("nitrogen", "phosphorus", "potassium")),
    ]
    head = (
        t.say("Way"),
        t.say("Nitrogen, {unit}", unit=t.unit("kg")),
        t.say("of it usable in a year"),
        t.say("Phosphorus"),
        t.say("Potassium"),
    )
    return Table(t.say("Nutrients of the scraps that reach garden soil"), head, rows, t.notes(keys))


def soil_carbon(t: Teller) -> Table:
    """Carbon that is left after some years on each way."""
    shown = [r for r in t.answer.routes if r.soil_carbon[0].amount.high]
    spans = [left.years for left in shown[0].soil_carbon]
    keys = (
        "turnover.rate.dpm",
        "turnover.share.decomposable",
        "impact.soil.moisture",
        "impact_waste.compost_keeps.carbon",
        "impact_waste.compost_humus",
    )
    rows = tuple(
        Row(t.way(r.id), tuple(t.three(left.amount, unit=False) for left in r.soil_carbon))
        for r in shown
    )
    head = (
        t.say("Way"),
        *(t.speech.many("after {n} year", "after {n} years", span) for span in spans),
    )
    title = t.say(
        "Carbon still in the soil or the landfill, {unit}; not counted as saved",
        unit=t.unit("kg"),
    )
    return Table(title, head, rows, t.notes(keys))


def parts(t: Teller, route: RouteAnswer) -> Table:
    """What one way gives off, part by part."""
    rows = tuple(
        Row(t.part(p.name), (t.three(p.amount, unit=False),), t.notes(p.sources))
        for p in route.parts
        if p.amount.high
    )
    return Table(t.way(route.id), (t.say("Part"), t.unit("kg CO2e")), rows)


def ends(t: Teller) -> Table:
    """Where carbon and nitrogen end up on each way."""
    rows = tuple(
        Row(
            t.way(route.id),
            (t.say(what), t.speech.known(where.name), t.three(where.amount, unit=False)),
        )
        for route in t.answer.routes
        for what, wheres in (("carbon", route.carbon), ("nitrogen", route.nitrogen))
        for where in wheres
        if where.amount.high
    )
    head = (t.say("Way"), "", t.say("Where"), t.unit("kg"))
    keys = (*HOLDS, "impact.vessel.nitrogen_kept", "impact_waste.compost_keeps.nitrogen")
    return Table(
        t.say("Where carbon and nitrogen of scraps and bran end up"), head, rows, t.notes(keys)
    )


def years(t: Teller) -> Table:
    """What is given off year by year."""
    shown = [t.answer.route(id_) for id_ in ("landfill", "ferment")]
    years = [y for y in _TOLD_YEARS if y <= t.answer.provenance.years]
    rows = tuple(
        Row(str(year), tuple(t.three(r.by_year[year].amount, unit=False) for r in shown))
        for year in years
    )
    keys = [k for r in shown for p in r.parts for k in p.sources]
    head = (t.say("Year after"), *(t.way(r.id) for r in shown))
    title = t.say(
        "Given off in single years, {unit}; composting and burning give off all in year 0",
        unit=t.unit("kg CO2e"),
    )
    return Table(title, head, rows, t.notes(keys))


def handling(t: Teller) -> Table:
    """Water and ways."""
    it = t.answer.handling
    rows = (
        Row(t.say("Rinsing water"), (t.three(it.rinsing),), t.notes(["impact.vessel.rinse"])),
        Row(t.say("Water of the scraps back to soil"), (t.three(it.water_to_soil),)),
        Row(t.say("Not hauled"), (t.three(it.not_hauled),), t.notes(["impact_waste.haul_km"])),
    )
    return Table(t.say("Water and ways"), ("", ""), rows)


def money(t: Teller) -> Table | None:
    """The account in the person's own prices; None without prices."""
    money = t.answer.money
    if money is None:
        return None
    rows = (
        *(Row(t.speech.known(x.name), (t.three(x.amount, unit=False),)) for x in money.lines),
        Row(t.say("Balance"), (t.three(money.balance, unit=False),)),
    )
    head = (t.say("Saved, or spent (below 0)"), money.currency)
    return Table(t.say("Money, in your own prices"), head, rows)
