"""From places to the whole answer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

import sourloam
from sourloam.evidence import Parameters, book
from sourloam.impact import contract, from_log, from_site
from sourloam.impact.claims import Case, claims
from sourloam.impact.driving import tornadoes
from sourloam.impact.field import SPANS
from sourloam.impact.money import Bought, Local, account
from sourloam.impact.reckoning import Party, Reckoned, reckon
from sourloam.impact.route import Route, Weights
from sourloam.impact.saying import CAUTIONS, NOTES, comparison_words, headline
from sourloam.impact.sourcing import footnotes
from sourloam.impact.summing import range_of
from sourloam.impact.turnaround import Turnaround, together, turnaround
from sourloam.ledger import PlaceState
from sourloam.site import Site

Array = NDArray[np.float64]
Progress = Callable[[str, float], None]
REPORTS = ("ar5", "ar6")
HORIZONS = (20, 100)  # method: those for which the reports give weights
_MOST_DRIVERS = 8  # method: inputs told for each comparison
_LEAST_MEMBERS = 20  # method: fewer give no 10 and 90 % points
_AFTER_VESSELS, _AFTER_WAYS = 0.6, 0.9  # method: shares of the whole computing time
_TONNE = 1000.0
_YEAR = 365.25


@dataclass(frozen=True)
class Asked:
    """How to reckon: members, seed, report of the weights, horizon in years, local facts."""

    members: int = 500  # method: steadies the 10 and 90 % points to a few parts in a hundred
    seed: int = 1
    report: str = "ar6"
    years: int = 100
    local: Local = field(default_factory=Local)

    def __post_init__(self) -> None:
        if self.members < _LEAST_MEMBERS:
            raise ValueError(f"members {self.members}: give at least {_LEAST_MEMBERS}")
        if self.report not in REPORTS or self.years not in HORIZONS:
            raise ValueError(
                f"{self.report}, {self.years} years: give one of {', '.join(REPORTS)} and "
                f"{' or '.join(str(y) for y in HORIZONS)} years"
            )


@dataclass(frozen=True)
class _Read:
    """A place with its amounts."""

    site: Site
    amounts: from_site.Amounts
    party: Party
    turnaround: Turnaround


def impact_of_sites(
    sites: Sequence[Site], asked: Asked | None = None, progress: Progress | None = None
) -> contract.Impact:
    """What the first year of one or several places brings, as their site files foresee it.

    ValueError for no site, for fewer than 20 members, or for unknown weights.
    """
    if not sites:
        raise ValueError("no place given")
    how, tell = asked or Asked(), progress or _silent
    read = []
    for number, site in enumerate(sites):
        tell("filling vessels", _AFTER_VESSELS * number / len(sites))
        read.append(_from_site(site, number, how, len(sites)))
    return _answer(read, how, tell)


def impact_of_log(
    state: PlaceState,
    site: Site | None = None,
    asked: Asked | None = None,
    progress: Progress | None = None,
    period: from_log.Period | None = None,
) -> contract.Impact:
    """What was really kept from the bin, by a folded log; ``site`` where the log describes none.

    ``period``: first and last day whose layers count, all of the log if left out.
    ``from_log.LogError`` where there is no site, or no layer that can be weighed.
    """
    how, tell = asked or Asked(), progress or _silent
    tell("reading the log", 0.0)
    place, amounts, p, rng = _logged(state, site, how, 0, period)
    return _answer([_read(place, amounts, p, rng, how.local.driven_km)], how, tell)


def party_of_log(state: PlaceState, how: Asked, number: int) -> Party:
    """What a log says went in, as a party to reckonings; ``number`` tells places apart, whose own
    facts are drawn by it. ``from_log.LogError`` as with ``impact_of_log``."""
    place, amounts, p, rng = _logged(state, None, how, number, None)
    return _party(place, amounts, p, rng, how.local.driven_km)


def _logged(
    state: PlaceState,
    site: Site | None,
    how: Asked,
    number: int,
    period: from_log.Period | None,
) -> tuple[Site, from_site.Amounts, Parameters, np.random.Generator]:
    place = site or state.site()
    if place is None:
        raise from_log.LogError(from_log.NO_SITE)
    p = from_site.draw(from_site.texture_of(place), how.members, how.seed, number)
    more = [key for key in from_log.evidence_ids() if key not in p]
    extra = book().sample(more, how.members, np.random.default_rng(how.seed))
    p = Parameters({**p.values_by_id, **extra.values_by_id}, how.members)
    rng = np.random.default_rng([how.seed, number])
    return place, from_log.logged(state, place, p, rng, period), p, rng


def _silent(stage: str, share: float) -> None:
    """No progress wanted."""


def _from_site(site: Site, number: int, how: Asked, places: int) -> _Read:
    p = from_site.draw(from_site.texture_of(site), how.members, how.seed, number)
    rng = np.random.default_rng([how.seed, number])
    amounts = from_site.first_year(site, p, rng)
    return _read(site, amounts, p, rng, how.local.driven_km / places)


def _read(
    site: Site,
    amounts: from_site.Amounts,
    p: Parameters,
    rng: np.random.Generator,
    driven_km: float,
) -> _Read:
    party = _party(site, amounts, p, rng, driven_km)
    return _Read(site, amounts, party, turnaround(site, p, rng, amounts.rests, amounts.burials))


def _party(
    site: Site,
    amounts: from_site.Amounts,
    p: Parameters,
    rng: np.random.Generator,
    driven_km: float,
) -> Party:
    kept = from_site.kept_of(site, amounts, p, rng, driven_km)
    there = from_site.surroundings_of(site, p)
    return Party(kept, there, p, from_site.monthly_c(site).tolist())


def _answer(read: Sequence[_Read], how: Asked, tell: Progress) -> contract.Impact:
    tell("every way for the same scraps", _AFTER_VESSELS)
    parties = tuple(one.party for one in read)
    weights = Weights.of(how.report, how.years, parties[0].parameters)
    bin_ = how.local.to_bin()
    reckoned = reckon(parties, bin_, weights)
    routes = tuple(_route(route, reckoned) for route in (reckoned.ferment, *reckoned.others))
    comparisons = tuple(_comparison(other, reckoned) for other in reckoned.others)
    tell("what moves the saving", _AFTER_WAYS)
    found = tuple(tornadoes(parties, bin_, weights, _MOST_DRIVERS))
    desk = claims(Case(parties, reckoned, together([one.turnaround for one in read])))
    kept = _kept(read)
    start, end = min(x.amounts.start for x in read), max(x.amounts.end for x in read)
    system = "us" if read[0].site.place.units == "us" else "metric"
    name = read[0].site.name if len(read) == 1 else f"{len(read)} places together"
    return contract.Impact(
        name=name,
        places=tuple(one.site.name for one in read),
        start=start,
        end=end,
        units="us" if system == "us" else "metric",
        headline=headline(kept, comparisons, how.years, how.members, system),
        kept=kept,
        routes=routes,
        comparisons=comparisons,
        tornadoes=found,
        handling=_handling(read, how),
        money=_money(read, reckoned, how, (start, end)),
        claims=desk,
        cautions=CAUTIONS,
        sources=footnotes(routes, found, desk, weights),
        provenance=_provenance(parties, how, weights),
    )


def _route(route: Route, reckoned: Reckoned) -> contract.RouteAnswer:
    weights, scraps = reckoned.weights, reckoned.scraps_kg
    total = route.total(weights)
    years = route.by_year(weights)
    garden = route.to_garden
    return contract.RouteAnswer(
        id=route.id,
        name=route.name,
        total=range_of(total, "kg CO2e"),
        total_with_credits=range_of(route.total(weights, credits=True), "kg CO2e"),
        per_tonne=range_of(_TONNE * total / scraps, "kg CO2e/t"),
        parts=tuple(
            contract.Part(
                name=e.name,
                gas=e.gas,
                amount=range_of(e.weighed(weights).sum(axis=1), "kg CO2e"),
                sources=e.sources,
            )
            for e in route.emissions
        ),
        by_year=tuple(
            contract.YearAmount(year=y, amount=range_of(years[:, y], "kg CO2e"))
            for y in range(years.shape[1])
        ),
        carbon=_wheres(route.carbon),
        nitrogen=_wheres(route.nitrogen),
        soil_carbon=tuple(
            contract.SoilCarbon(years=span, amount=range_of(route.soil_carbon[:, i], "kg"))
            for i, span in enumerate(SPANS)
        ),
        nitrogen_to_garden=range_of(garden["nitrogen"], "kg"),
        phosphorus_to_garden=range_of(garden["phosphorus"], "kg"),
        potassium_to_garden=range_of(garden["potassium"], "kg"),
        usable_nitrogen=range_of(route.usable_nitrogen_kg, "kg"),
    )


def _wheres(amounts: Mapping[str, Array]) -> tuple[contract.Where, ...]:
    return tuple(contract.Where(name=n, amount=range_of(v, "kg")) for n, v in amounts.items())


def _comparison(other: Route, reckoned: Reckoned) -> contract.Comparison:
    saved, credited = reckoned.saved_kg(other), reckoned.saved_kg(other, credits=True)
    own = reckoned.fair(other)
    chance = float(np.mean(saved > 0))
    plain = range_of(saved, "kg CO2e")
    return contract.Comparison(
        id=other.id,
        against=other.name,
        saved=plain,
        saved_per_tonne=range_of(_TONNE * saved / reckoned.scraps_kg, "kg CO2e/t"),
        chance=chance,
        saved_with_credits=range_of(credited, "kg CO2e"),
        chance_with_credits=float(np.mean(credited > 0)),
        nitrogen_more=range_of(own.to_garden["nitrogen"] - other.to_garden["nitrogen"], "kg"),
        carbon_more_after_20=range_of(own.soil_carbon[:, -1] - other.soil_carbon[:, -1], "kg"),
        words=comparison_words(other.name, chance, saved.size),
    )


def _whole(read: Sequence[_Read], name: str) -> Array:
    return np.asarray(np.sum([getattr(x.party.kept, name) for x in read], axis=0))


def _shared(read: Sequence[_Read], share: str) -> Array:
    """A share of the fresh mass of scraps and bran, kg."""
    each = [
        (x.party.kept.scraps_kg + x.party.kept.bran_kg) * getattr(x.party.kept.shares, share)
        for x in read
    ]
    return np.asarray(np.sum(each, axis=0))


def _kept(read: Sequence[_Read]) -> contract.Kept:
    scraps = _whole(read, "scraps_kg")
    binned = np.sum([x.party.kept.scraps_kg * x.party.kept.binned for x in read], axis=0)
    return contract.Kept(
        scraps=range_of(scraps, "kg"),
        binned=range_of(binned, "kg"),
        bran=range_of(_whole(read, "bran_kg"), "kg"),
        carbon=range_of(_whole(read, "carbon_kg"), "kg"),
        nitrogen=range_of(_whole(read, "nitrogen_kg"), "kg"),
        ferment=range_of(_shared(read, "ferment"), "kg"),
        liquid=range_of(_shared(read, "liquid"), "kg"),
        measured=_once(said for x in read for said in x.amounts.measured),
        drained_l=read[0].amounts.drained_l if len(read) == 1 else None,
    )


def _once(said: Iterable[contract.Said]) -> tuple[contract.Said, ...]:
    """Each sentence once."""
    return tuple({one.model_dump_json(): one for one in said}.values())


def _rinsing_l(read: Sequence[_Read]) -> Array:
    each = [x.party.kept.washed * x.party.parameters["impact.vessel.rinse"] for x in read]
    return np.asarray(np.sum(each, axis=0))


def _handling(read: Sequence[_Read], how: Asked) -> contract.Handling:
    kept = [x.party.kept for x in read]
    water = np.sum([(k.scraps_kg - k.dry_kg) * (1 - k.binned) for k in kept], axis=0)
    km = how.local.bin.haul_km
    way = read[0].party.parameters["impact_waste.haul_km"] if km is None else km
    tonnes = np.sum([k.scraps_kg * (1 - k.binned) for k in kept], axis=0) / _TONNE
    return contract.Handling(
        rinsing=range_of(_rinsing_l(read), "L"),
        water_to_soil=range_of(water, "kg"),
        not_hauled=range_of(tonnes * way, "t km"),
    )


def _money(
    read: Sequence[_Read], reckoned: Reckoned, how: Asked, period: tuple[dt.date, dt.date]
) -> contract.Money | None:
    if how.local.prices is None:
        return None
    diverted = np.sum([x.party.kept.scraps_kg * (1 - x.party.kept.binned) for x in read], axis=0)
    bought = Bought(
        diverted_kg=diverted,
        bran_kg=_whole(read, "bran_kg"),
        water_l=_rinsing_l(read),
        usable_nitrogen_kg=reckoned.ferment.usable_nitrogen_kg,
        driven_km=how.local.driven_km,
        years=((period[1] - period[0]).days + 1) / _YEAR,
    )
    return account(how.local.prices, bought)


def _provenance(parties: Sequence[Party], how: Asked, weights: Weights) -> contract.Provenance:
    ids = {key for party in parties for key in party.parameters}
    claims_ids = book().ids("impact_claims")
    return contract.Provenance(
        version=sourloam.__version__,
        members=how.members,
        seed=how.seed,
        report=how.report,
        years=how.years,
        methane_weight=weights.ch4,
        nitrous_weight=weights.n2o,
        evidence=tuple(sorted({*ids, *claims_ids})),
        notes=NOTES,
    )
