"""From places, by their site files or their log, to the whole answer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

import numpy as np

import sourloam
from sourloam.evidence import book
from sourloam.impact import contract, from_log
from sourloam.impact.answer_ways import TONNE, Array, comparison_with, route_answer
from sourloam.impact.asked import Asked
from sourloam.impact.claims import Case, claims
from sourloam.impact.driving import tornadoes
from sourloam.impact.money import Bought, account
from sourloam.impact.parties import Read, read_log, read_site
from sourloam.impact.reckoning import Party, Reckoned, reckon
from sourloam.impact.route import Weights
from sourloam.impact.saying import CAUTIONS, NOTES, headline
from sourloam.impact.sourcing import footnotes
from sourloam.impact.summing import range_of
from sourloam.impact.turnaround import together
from sourloam.ledger import PlaceState
from sourloam.numerics.progress import Progress, untold
from sourloam.site import Site

_MOST_DRIVERS = 8  # method: inputs told for each comparison
_AFTER_VESSELS, _AFTER_WAYS = 0.6, 0.9  # method: shares of the whole computing time
_YEAR = 365.25


def impact_of_sites(
    sites: Sequence[Site], asked: Asked | None = None, progress: Progress | None = None
) -> contract.Impact:
    """What the first year of one or several places brings, as their site files foresee it.

    ValueError for no site, for fewer than 20 members, or for unknown weights.
    """
    if not sites:
        raise ValueError("no place given")
    how, tell = asked or Asked(), progress or untold
    read = []
    for number, site in enumerate(sites):
        tell("filling vessels", _AFTER_VESSELS * number / len(sites))
        read.append(read_site(site, number, how, len(sites)))
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
    how, tell = asked or Asked(), progress or untold
    tell("reading the log", 0.0)
    return _answer([read_log(state, site, how, period)], how, tell)


def _answer(read: Sequence[Read], how: Asked, tell: Progress) -> contract.Impact:
    tell("every way for the same scraps", _AFTER_VESSELS)
    parties = tuple(one.party for one in read)
    weights = Weights.of(how.report, how.years, parties[0].parameters)
    bin_ = how.local.to_bin()
    reckoned = reckon(parties, bin_, weights)
    routes = tuple(route_answer(route, reckoned) for route in (reckoned.ferment, *reckoned.others))
    comparisons = tuple(comparison_with(other, reckoned) for other in reckoned.others)
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


def _kept(read: Sequence[Read]) -> contract.Kept:
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


def _whole(read: Sequence[Read], name: str) -> Array:
    return np.asarray(np.sum([getattr(x.party.kept, name) for x in read], axis=0))


def _shared(read: Sequence[Read], share: str) -> Array:
    """A share of the fresh mass of scraps and bran, kg."""
    each = [
        (x.party.kept.scraps_kg + x.party.kept.bran_kg) * getattr(x.party.kept.shares, share)
        for x in read
    ]
    return np.asarray(np.sum(each, axis=0))


def _once(said: Iterable[contract.Said]) -> tuple[contract.Said, ...]:
    """Each sentence once."""
    return tuple({one.model_dump_json(): one for one in said}.values())


def _handling(read: Sequence[Read], how: Asked) -> contract.Handling:
    kept = [x.party.kept for x in read]
    water = np.sum([(k.scraps_kg - k.dry_kg) * (1 - k.binned) for k in kept], axis=0)
    km = how.local.bin.haul_km
    way = read[0].party.parameters["impact_waste.haul_km"] if km is None else km
    tonnes = np.sum([k.scraps_kg * (1 - k.binned) for k in kept], axis=0) / TONNE
    return contract.Handling(
        rinsing=range_of(_rinsing_l(read), "L"),
        water_to_soil=range_of(water, "kg"),
        not_hauled=range_of(tonnes * way, "t km"),
    )


def _rinsing_l(read: Sequence[Read]) -> Array:
    each = [x.party.kept.washed * x.party.parameters["impact.vessel.rinse"] for x in read]
    return np.asarray(np.sum(each, axis=0))


def _money(
    read: Sequence[Read], reckoned: Reckoned, how: Asked, period: tuple[dt.date, dt.date]
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
