"""What is known of a place before its log: how much comes when, how warm it is, what it lays."""

from __future__ import annotations

import copy
import datetime as dt
from collections import Counter
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Generic, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from sourloam import climate, scraps
from sourloam.climate import Daily
from sourloam.evidence import Parameters, book
from sourloam.forecast.belief import Belief
from sourloam.forecast.coordinates import Mix
from sourloam.forecast.souring import Souring, Usual, evidence_ids, souring_of
from sourloam.site import Site, Supply
from sourloam.vessel import Pieces

Floats = NDArray[np.float64]
Thing = TypeVar("Thing")
_MEMBERS = 200  # method: draws behind a place's prior
_YEAR_DAYS = 365
_SEED = 1


@dataclass(frozen=True)
class Kitchen:
    """A place by day from ``first``: kg of scraps expected and °C where the vessels stand.

    ``day_to_day`` is the coefficient of variation of single days; ``usual`` what its layers are;
    ``before`` what is believed of it before any log.
    """

    first: dt.date
    expected_kg: Floats
    room_c: Floats
    day_to_day: float
    usual: Usual
    mix: Mix
    souring: Souring
    before: Belief

    def window(self, began: dt.date, days: int, beyond: int = 0) -> tuple[Floats, Floats]:
        """Expected kg of so many days from a date, and °C of those and as many of ``beyond`` more
        as are known; ValueError where the days aren't covered."""
        start = (began - self.first).days
        if start < 0 or start + days > len(self.expected_kg):
            raise ValueError(f"{began} with {days} days lies outside the days of this place")
        end = start + days
        return self.expected_kg[start:end], self.room_c[start : end + beyond]


def kitchen(site: Site, first: dt.date, days: int) -> Kitchen:
    """The place of a site over so many days from ``first``; remembered for the same answers."""
    return _kitchen(site.model_dump_json(), _Held(site), first, days)


class _Held(Generic[Thing]):
    """Carries a thing past a cache, whose key says all that is in it."""

    def __init__(self, thing: Thing) -> None:
        self.thing = thing

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Held)

    def __hash__(self) -> int:
        return 1


@lru_cache(maxsize=64)  # method: places remembered
def _kitchen(_: str, held: _Held[Site], first: dt.date, days: int) -> Kitchen:
    site = held.thing
    parameters, rng = _drawn()
    supplies = site.to_streams(first, first + dt.timedelta(days=days))
    dates = np.datetime64(first, "D") + np.arange(days)
    expected, rate, day_to_day = _masses(supplies, dates, parameters, rng)
    usual = usual_of(site, supplies)
    souring = souring_of(usual)
    sound = ~souring.troubled
    return Kitchen(
        first=first,
        expected_kg=expected,
        room_c=_room(site, dates, parameters),
        day_to_day=day_to_day,
        usual=usual,
        mix=Mix.fitted(
            souring.dry_share[sound], souring.loose[sound], float(np.median(souring.loose[sound]))
        ),
        souring=souring,
        before=Belief.before_any_log(rate),
    )


def _drawn() -> tuple[Parameters, np.random.Generator]:
    """Draws of the evidence, the same for every place, and where its own chances go on."""
    parameters, rng = _drawn_once()
    return parameters, copy.deepcopy(rng)


@cache
def _drawn_once() -> tuple[Parameters, np.random.Generator]:
    rng = np.random.default_rng(_SEED)
    return book().sample(_ids(), _MEMBERS, rng), rng


def _ids() -> tuple[str, ...]:
    more = book().ids(*climate.EVIDENCE)
    return tuple(dict.fromkeys((*evidence_ids(), *more)))


def _masses(
    supplies: list[Supply],
    dates: NDArray[np.datetime64],
    parameters: Parameters,
    rng: np.random.Generator,
) -> tuple[Floats, tuple[float, float], float]:
    """Expected kg by day; mean and s.d. of the logarithm of a place's own level over it; the
    variation of single days."""
    central = book().central(parameters.ids)
    expected = np.sum(
        [scraps.daily_mass_kg(s.stream, s.calendar, dates, central, None)[0] for s in supplies],
        axis=0,
    )
    drawn = np.sum(
        [scraps.daily_mass_kg(s.stream, s.calendar, dates, parameters, rng) for s in supplies],
        axis=0,
    )
    level = np.log(drawn.sum(axis=1) / expected.sum())
    days = expected > 0
    share = drawn[:, days] / expected[days]
    variation = float(np.median(share.std(axis=1) / share.mean(axis=1)))
    return expected, (float(level.mean()), float(level.std())), variation


def _room(site: Site, dates: NDArray[np.datetime64], parameters: Parameters) -> Floats:
    """The middle of the years that could be, °C, without what is unsure of the room."""
    days = max(len(dates), _YEAR_DAYS + 1)
    daily = site.to_climate()
    known = (daily.mean_c.tobytes(), daily.dates[0].item(), daily.smooth)
    air = _air(known, _Held(daily), dates[0].item(), days)
    sure = parameters.with_values({"climate.room.unsure": 0.0})
    room = climate.room_temperature(site.to_room(), air, sure)
    return np.asarray(room.mean(axis=0)[: len(dates)])


@lru_cache(maxsize=4)  # method: climates remembered, as neighbours share one
def _air(_: tuple[bytes, dt.date, bool], held: _Held[Daily], first: dt.date, days: int) -> Floats:
    """Years that could be, °C, (members, days): the same for all places of one climate."""
    parameters, rng = _drawn()
    start = np.datetime64(first, "D")
    air = climate.year_ensemble(held.thing, start, days, parameters.members, rng, parameters)
    air.flags.writeable = False
    return air


def usual_of(site: Site, supplies: list[Supply]) -> Usual:
    """The usual layer: the first source's mix, the commonest cut, the bran that the site names."""
    mix = supplies[0].mix
    dose = site.bran.dose
    if dose is None:
        dose = book()["bran.dose.share"].value / 1000
    pieces = Counter(supply.pieces for supply in supplies).most_common(1)[0][0]
    shares = mix if isinstance(mix, str) else tuple(sorted(mix.items()))
    return Usual(shares, dose, site.bran.carrier, site.bran.strength, cast(Pieces, pieces))
