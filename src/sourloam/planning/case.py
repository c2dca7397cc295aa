"""One site seen through many possible years: what comes, how warm it is, when the ground opens.

Every part of a plan reads the same members from here, so that a member who makes much has full
vessels, more bran, more liquid and more to bury, all at once.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import cast, get_args

import numpy as np
from numpy.typing import NDArray

from sourloam import climate, scraps, soil, vessel
from sourloam.evidence import Parameters, book
from sourloam.planning import free_beds, waiting
from sourloam.planning.free_beds import BedRoom
from sourloam.planning.raining import wet_ground
from sourloam.planning.trenches import air_and_room, trench_of
from sourloam.planning.waiting import Waiting
from sourloam.scraps import Batch
from sourloam.site import Site, Supply, spans_within

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

YEAR_DAYS = 365
ANIMAL = ("meat_fish", "dairy_egg")
TEXTURE_IF_NONE = "loam"
_OWN = (
    "bran.dose",
    "ground.soil_per_ferment",
    "ground.ferment_density",
    "ground.load",
    *waiting.EVIDENCE,
    "site.vessel.plate_mass",
    "site.vessel.opened_per_day",
)


@dataclass(frozen=True)
class Kind:
    """One kind of vessel as the site has it; what is not known there differs between members."""

    vessel: vessel.Vessel
    volume_m3: float
    owned: int
    most: int | None
    opened_per_day: float
    plate_known: bool = True
    opened_known: bool = True


@dataclass(frozen=True)
class Stop:
    """A span of days (last included) with a name: a holiday, or busy beds."""

    name: str
    start: dt.date
    end: dt.date
    share: float = 0.0


@dataclass(frozen=True)
class Case:
    """The site and its members; arrays are (members, days) from ``dates[0]`` on.

    The window holds one year to warm up, the planned years, and one more so that what begins
    late can be followed to its end. ``mix`` is (members, COLUMNS) for one kg of fresh scraps.
    ``waiting`` is by texture; ``busy`` (days,) holds where no bed at all is free.
    """

    site: Site
    members: int
    years: int
    seed: int
    dates: NDArray[np.datetime64]
    kinds: tuple[Kind, ...]
    supplies: tuple[Supply, ...]
    parameters: Parameters
    scraps_kg: Floats
    mix: Batch
    shares: Floats
    pieces: vessel.Pieces
    room_c: Floats
    soil_c: Floats
    open_ground: Bools
    busy: Bools
    months: tuple[str, ...]
    closures: tuple[Stop, ...]
    busy_spans: tuple[Stop, ...]
    beds: tuple[BedRoom, ...]
    waiting: dict[str, Waiting]

    def load_kg_m(self, texture: str) -> Floats:
        """Ferment laid on a metre of trench, kg, per member: thinner where the wait asks for it."""
        share = self.waiting[texture].load_share if texture in self.waiting else 1.0
        return loads(self.site, texture, self.parameters) * share

    @property
    def first(self) -> int:
        """Index of the first planned day."""
        return YEAR_DAYS

    @property
    def planned(self) -> slice:
        """The planned years on the day axis."""
        return slice(self.first, self.first + YEAR_DAYS * self.years)

    @property
    def coming_year(self) -> slice:
        """The first planned year on the day axis."""
        return slice(self.first, self.first + YEAR_DAYS)

    @property
    def seasons(self) -> tuple[str, ...]:
        """Names of the seasons that occur, in the order of the year's months."""
        ordered = [name for name in climate.seasons.SEASONS if name in self.months]
        return tuple(ordered) or (climate.seasons.ALL_YEAR,)

    def pick(self, members: NDArray[np.int64]) -> Case:
        """The same case with some of its members, by number ``(picked,)``; one may come twice."""
        return replace(
            self,
            members=len(members),
            parameters=Parameters(
                {key: values[members] for key, values in self.parameters.items()}, len(members)
            ),
            scraps_kg=self.scraps_kg[members],
            mix=Batch(self.mix.amounts[members]),
            shares=self.shares[members],
            room_c=self.room_c[members],
            soil_c=self.soil_c[members],
            open_ground=self.open_ground[members],
        )

    def days_in(self, season: str) -> NDArray[np.int64]:
        """Indices of the days of a season in the coming year."""
        month = self.dates[self.coming_year].astype("datetime64[M]").astype(int) % 12
        mine = np.array([self.months[m] == season for m in range(12)])
        return np.flatnonzero(mine[month]) + self.first

    def season_on(self, day: int) -> str:
        """Season of a day by its index."""
        return self.months[int(self.dates[day].astype("datetime64[M]").astype(int)) % 12]

    def date(self, day: int) -> dt.date:
        """Calendar date of a day by its index."""
        value = self.dates[day].astype(dt.date)
        assert isinstance(value, dt.date)
        return value


def evidence_ids() -> tuple[str, ...]:
    """Every evidence id that a plan draws."""
    prefixes = (*climate.EVIDENCE, *scraps.EVIDENCE, *vessel.EVIDENCE, *_OWN)
    return book().ids(*prefixes)


def foresee(
    site: Site,
    years: int,
    members: int,
    seed: int,
    waits: dict[str, Waiting] | None = None,
) -> Case:
    """Draw the members of a site: parameters, weather, scraps, ground.

    ``waits``: of an earlier case with the same climate, ground, beds, members and seed; the slow
    part that people, vessels and rooms do not move.
    """
    rng = np.random.default_rng(seed)
    parameters = book().sample(evidence_ids(), members, rng)
    parameters = _with_own_bran(site, parameters)
    start = np.datetime64(site.place.start, "D")
    dates = (start - YEAR_DAYS) + np.arange(YEAR_DAYS * (years + 2))
    first, last = dates[0].astype(dt.date), dates[-1].astype(dt.date)
    daily = site.to_climate()
    air = climate.year_ensemble(daily, dates[0], len(dates), members, rng, parameters)
    supplies = tuple(site.to_streams(first, last))
    masses = [scraps.daily_mass_kg(s.stream, s.calendar, dates, parameters, rng) for s in supplies]
    shares = _shares(supplies, masses, parameters)
    trench_c, diggable = _ground(site, air, parameters)
    if waits is None:
        waits = _waiting(site, (air, trench_c), parameters, seed)
    named = tuple(
        Stop(span.name or "beds busy", a, b)
        for span in site.busy
        for a, b in spans_within(span, first, last)
    )
    digging = free_beds.digger(site, *animal_food(shares))
    rooms = free_beds.bed_rooms(site, (first, len(dates)), digging, waits)
    rooms = free_beds.with_busy(rooms, _covered(dates, named))
    busy = ~np.any([room.free for room in rooms], axis=0) if rooms else _covered(dates, named)
    return Case(
        site=site,
        members=members,
        years=years,
        seed=seed,
        dates=dates,
        kinds=tuple(_kinds(site)),
        supplies=supplies,
        parameters=parameters,
        scraps_kg=np.sum(masses, axis=0),
        mix=scraps.mix(shares, scraps.class_table(parameters)),
        shares=shares,
        pieces=_pieces(supplies, masses),
        room_c=climate.room_temperature(site.to_room(), air, parameters),
        soil_c=trench_c,
        open_ground=diggable & ~busy,
        busy=busy,
        months=climate.season_of(climate.monthly_means_c(daily), parameters),
        closures=tuple(
            Stop(span.name or "closed", a, b, span.share)
            for span in site.closed
            for a, b in spans_within(span, first, last)
        ),
        busy_spans=(*named, *_planted(dates, busy & ~_covered(dates, named))),
        beds=rooms,
        waiting=waits,
    )


def _with_own_bran(site: Site, parameters: Parameters) -> Parameters:
    """A strength that the person knows takes the place of the usual one."""
    if site.bran.strength is None:
        return parameters
    key = f"scraps.{site.bran.carrier}.lactic"
    return parameters.with_values({key: site.bran.strength})


def _kinds(site: Site) -> Iterable[Kind]:
    for given, shape in zip(site.vessels, site.to_vessels(), strict=True):
        volume = given.volume_m3 if given.volume_m3 is not None else shape.brim_m3
        yield Kind(
            shape,
            volume,
            given.owned,
            given.most,
            given.opened_per_day,
            plate_known=given.plate_kg is not None,
            opened_known="opened_per_day" in given.model_fields_set,
        )


def _shares(supplies: tuple[Supply, ...], masses: list[Floats], parameters: Parameters) -> Floats:
    """Shares of the classes in the whole mix, (members, classes), weighted by mass."""
    weights = np.stack([mass.mean(axis=-1) for mass in masses])
    total = weights.sum(axis=0)
    even = np.full_like(weights, 1 / len(masses))
    weights = np.divide(weights, total, out=even, where=total > 0)
    return np.asarray(
        sum(w[:, None] * _of_one(s, parameters) for w, s in zip(weights, supplies, strict=True))
    )


def _of_one(supply: Supply, parameters: Parameters) -> Floats:
    if isinstance(supply.mix, str):
        return scraps.preset(supply.mix, parameters)
    row = np.array([supply.mix.get(name, 0.0) for name in scraps.CLASSES])
    return np.broadcast_to(row, (parameters.members, len(row))).copy()


def _pieces(supplies: tuple[Supply, ...], masses: list[Floats]) -> vessel.Pieces:
    """The way in which most of the mass is cut."""
    ways = get_args(vessel.Pieces)
    by_way = {
        way: sum(float(m.mean()) for s, m in zip(supplies, masses, strict=True) if s.pieces == way)
        for way in ways
    }
    return cast(vessel.Pieces, max(ways, key=lambda way: by_way[way]))


def _ground(site: Site, air: Floats, parameters: Parameters) -> tuple[Floats, Bools]:
    """Soil temperature at the trench and whether the ground can be dug; a tub always takes.

    In ground that is only too cold for soil life a ferment rests: the wait counts with that.
    """
    ground = climate.Ground(site.ground.texture or TEXTURE_IF_NONE)
    depth = site.ground.trench_depth_m or book()["ground.trench.depth"].value
    trench = climate.ground_temperature_c(air, depth, ground, parameters)
    if site.ground.none:
        return trench, np.ones(trench.shape, dtype=bool)
    spade = climate.ground_temperature_c(
        air, parameters["climate.digging.spade_depth"], ground, parameters
    )
    return trench, ~climate.ground_frozen(spade, parameters)


def _waiting(
    site: Site, warmth: tuple[Floats, Floats], parameters: Parameters, seed: int
) -> dict[str, Waiting]:
    """The soil room's wait for each texture of the site, or the person's own.

    ``warmth``: of the air and of the soil at the trench.
    """
    textures, own = free_beds.textures(site), site.ground.wait_days
    if own is not None:
        return {t: waiting.stated(own, YEAR_DAYS, parameters.members) for t in textures}
    days = slice(0, 2 * YEAR_DAYS + waiting.FORESEEN_DAYS)
    air, trench_c = (degrees[: waiting.MEMBERS, days] for degrees in warmth)
    few = parameters.members_in(slice(0, waiting.MEMBERS))
    first = np.datetime64(site.place.start, "D") - YEAR_DAYS
    wet = wet_ground(site, textures, air, few, (first, seed))
    ph = float(np.median(few["beds.usual_ph"]))
    return {
        t: waiting.ask_soil(
            soil.Soil(t, ph),
            _usual_load(site, t, parameters),
            trench_of(site),
            (trench_c, wet.water[t]),
            few,
        )
        for t in textures
    }


def _usual_load(site: Site, texture: str, parameters: Parameters) -> float:
    """Ferment on a metre of trench, kg, of the middle member."""
    return float(np.median(loads(site, texture, parameters)))


def loads(site: Site, texture: str, parameters: Parameters) -> Floats:
    """Ferment on a metre of trench, kg: what air can reach, and what fits under the cover."""
    trench = trench_of(site)
    by_air, by_room = air_and_room(trench, texture, parameters)
    return np.minimum(by_air, by_room)


def animal_food(shares: Floats) -> tuple[bool, bool]:
    """Whether any animal food goes in, and whether much of it: the mix decides, whatever is ruled.

    ``shares`` (members, classes) of the mix.
    """

    def share(names: tuple[str, ...]) -> float:
        return float(np.median(shares[:, [scraps.CLASSES.index(n) for n in names]].sum(axis=1)))

    much = share(ANIMAL) > book()["bran.dose.animal_share"].value
    return share((*ANIMAL, "plate_waste")) > 0, much


def _planted(dates: NDArray[np.datetime64], flags: Bools) -> Iterable[Stop]:
    """Spans in which every bed is planted, or will be too soon."""
    edges = np.flatnonzero(np.diff(flags.astype(int), prepend=0, append=0)).reshape(-1, 2)
    for first, after in edges:
        start, end = dates[first].astype(dt.date), dates[after - 1].astype(dt.date)
        yield Stop("every bed planted, or to be planted too soon", start, end)


def _covered(dates: NDArray[np.datetime64], spans: Iterable[Stop]) -> Bools:
    inside = np.zeros(len(dates), dtype=bool)
    for span in spans:
        inside |= (dates >= np.datetime64(span.start)) & (dates <= np.datetime64(span.end))
    return inside
