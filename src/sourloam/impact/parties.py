"""A place with its amounts, from its site file or its log, ready to be reckoned."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sourloam.evidence import Parameters, book
from sourloam.impact import from_log, from_site
from sourloam.impact.asked import Asked
from sourloam.impact.reckoning import Party
from sourloam.impact.turnaround import Turnaround, turnaround
from sourloam.ledger import PlaceState
from sourloam.site import Site


@dataclass(frozen=True)
class Read:
    """A place with its amounts."""

    site: Site
    amounts: from_site.Amounts
    party: Party
    turnaround: Turnaround


def read_site(site: Site, number: int, how: Asked, places: int) -> Read:
    """The first year as a site file foresees it; a car's ways are shared by so many ``places``."""
    p = from_site.draw(from_site.texture_of(site), how.members, how.seed, number)
    rng = np.random.default_rng([how.seed, number])
    amounts = from_site.first_year(site, p, rng)
    return _read(site, amounts, p, rng, how.local.driven_km / places)


def read_log(
    state: PlaceState, site: Site | None, how: Asked, period: from_log.Period | None
) -> Read:
    """What a log says went in, within a period; ``from_log.LogError`` where nothing can be told."""
    return _read(*_logged(state, site, how, 0, period), how.local.driven_km)


def party_of_log(state: PlaceState, how: Asked, number: int) -> Party:
    """What a log says went in, as a party to reckonings; ``number`` tells places apart, whose own
    facts are drawn by it. ``from_log.LogError`` as with ``impact_of_log``."""
    return _party(*_logged(state, None, how, number, None), how.local.driven_km)


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


def _read(
    site: Site,
    amounts: from_site.Amounts,
    p: Parameters,
    rng: np.random.Generator,
    driven_km: float,
) -> Read:
    party = _party(site, amounts, p, rng, driven_km)
    return Read(site, amounts, party, turnaround(site, p, rng, amounts.rests, amounts.burials))


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
