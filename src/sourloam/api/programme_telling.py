"""From what a programme reckons to what the API answers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from sourloam.api import programme_shapes as shapes
from sourloam.api.caller import Programming
from sourloam.logbook.models import ProgrammeEntry, ProgrammePlace
from sourloam.logbook.saving import SavedThere
from sourloam.numerics import Range
from sourloam.programme import (
    Figures,
    Fleet,
    Help,
    Morning,
    PlaceFacts,
    Risk,
    Round,
    Silence,
    Stayed,
    Three,
    VesselFacts,
)


def of_three(three: Three, unit: str) -> Range:
    """A range as every contract writes it."""
    low, median, high = three
    return Range(median=median, low=low, high=high, unit=unit)


def _chance(three: Three | None) -> Range | None:
    return None if three is None else of_three(three, "1")


def clock(seconds: int) -> str:
    """A time of the day; what is later than midnight begins anew."""
    hours, minutes = divmod(round(seconds / 60), 60)
    return f"{hours % 24:02d}:{minutes:02d}"


def _hours(at: dt.time | None) -> str | None:
    return None if at is None else f"{at:%H:%M}"


def programme_told(found: Programming) -> shapes.Programme:
    """A programme as the token sees it."""
    row = found.row
    return shapes.Programme(
        id=found.id,
        name=row.name,
        zone=row.zone,
        role=found.role,
        today=found.today,
        hub=row.hub,
        latitude=row.latitude,
        longitude=row.longitude,
        room=row.room,
        payload_kg=row.payload_kg,
        starts=f"{row.starts:%H:%M}",
        ends=f"{row.ends:%H:%M}",
        bran_kg=row.bran_kg,
        round_days=row.round_days,
    )


def place_told(
    row: ProgrammePlace, facts: PlaceFacts | None, risks: Sequence[Risk], quiet: Silence | None
) -> shapes.ProgrammePlace:
    """A place as its programme sees it."""
    one = facts or PlaceFacts(row.place_id, row.place.name, "other", row.joined)
    return shapes.ProgrammePlace(
        id=row.place_id,
        name=row.place.name,
        kind=one.kind,
        joined=row.joined,
        latitude=row.latitude,
        longitude=row.longitude,
        opens=_hours(row.opens),
        closes=_hours(row.closes),
        how=row.how,
        as_of=None if facts is None else facts.on,
        vessels=tuple(map(_vessel, one.vessels)),
        kg=one.kg,
        sound=one.sound,
        failed=one.failed,
        spare=one.spare,
        bran_kg=None if one.bran is None else one.bran.left_kg,
        risks=tuple(map(_risk, risks)),
        silence=None if quiet is None else _silence(quiet),
    )


def _vessel(one: VesselFacts) -> shapes.PlacedVessel:
    low, middle, high = one.full_on or (None, None, None)
    return shapes.PlacedVessel(
        id=one.id,
        name=one.name,
        stage=one.stage,
        kg=one.kg,
        full_on_low=low,
        full_on=middle,
        full_on_high=high,
        finished_on=one.finished_on,
        failing=_chance(one.failing),
        fetched_on=one.fetched_on,
    )


def _risk(one: Risk) -> shapes.ReasonToGo:
    return shapes.ReasonToGo(
        what=one.what,
        chance=_chance(one.chance),
        why=one.why.english,
        helps=one.helps.english,
        on=one.on,
    )


def _silence(quiet: Silence) -> shapes.Silence:
    return shapes.Silence(
        last=quiet.last,
        days=quiet.days,
        usual_days=quiet.usual_days,
        stopped=of_three(quiet.chance, "1"),
        began=quiet.began,
    )


def _help(one: Help) -> shapes.PlaceWanting:
    return shapes.PlaceWanting(
        place=one.place.id,
        name=one.place.name,
        visit=one.visit,
        long_quiet=one.long_quiet,
        risks=tuple(map(_risk, one.risks)),
    )


def morning_told(
    found: Morning, waiting: int, next_round: dt.date | None, known: Iterable[str]
) -> shapes.Morning:
    """A coordinator's morning."""
    need = found.bran
    return shapes.Morning(
        today=found.today,
        places=found.places,
        waiting=waiting,
        help=tuple(map(_help, found.help)),
        full=tuple(
            shapes.FullBy(day=row.day, vessels=of_three(row.vessels, "1")) for row in found.full
        ),
        soon=tuple(
            shapes.Soon(
                place=place.id,
                name=place.name,
                vessel=vessel.id,
                full_on=vessel.full_on[1] if vessel.full_on else None,
                chance=chance,
            )
            for place, vessel, chance in found.soon
        ),
        bran=shapes.BranToMake(
            days=need.days,
            asked=of_three(need.asked_kg, "kg"),
            stock_kg=need.stock_kg,
            make=of_three(need.make_kg, "kg"),
            unknown=need.unknown,
            take=of_three(need.take_kg, "kg"),
        ),
        beds=tuple(
            shapes.BedShort(
                place=row.place.id,
                name=row.place.name,
                due_kg=row.due_kg,
                lacking=of_three(row.lacking_m2, "m2"),
                held=row.held,
            )
            for row in found.beds
        ),
        fetched=found.fetched,
        next_round=next_round,
        known=tuple(known),
    )


def round_told(day: dt.date, found: Round) -> shapes.Round:
    """A planned round."""
    return shapes.Round(
        day=day,
        stops=tuple(
            shapes.Stop(
                place=stop.call.id,
                name=stop.call.name,
                arrive=clock(stop.arrive_s),
                full=stop.call.full,
                clean=stop.call.clean,
                kg=stop.call.kg,
                bran_kg=stop.call.bran_kg,
                pressing=stop.call.pressing,
                how=stop.call.how,
                trip=stop.trip,
                full_on_board=stop.full_on_board,
                kg_on_board=stop.kg_on_board,
            )
            for stop in found.stops
        ),
        leaves=clock(found.sets_out_s),
        back=clock(found.back_s),
        trips=found.trips,
        way=of_three(found.way_km, "km"),
        hours=of_three(found.hours, "h"),
        left_out=tuple(
            shapes.LeftOut(place=call.id, name=call.name, why=why) for call, why in found.left_out
        ),
    )


def line_told(row: ProgrammeEntry) -> shapes.ProgrammeLine:
    """A line of the log."""
    return shapes.ProgrammeLine(
        id=row.pk,
        kind=row.kind,
        day=row.day,
        written_at=row.written_at,
        by=row.by,
        place=row.place_id,
        body=row.body,
    )


def figures_told(
    found: Figures, there: SavedThere, stays: Iterable[Stayed]
) -> shapes.ProgrammeFigures:
    """Figures with the climate beside them."""
    return shapes.ProgrammeFigures(
        places=found.places,
        kept=of_three(found.kept_kg, "kg"),
        weighed_share=found.weighed_share,
        by_month=tuple(shapes.ScrapsOfMonth(month=month, kg=kg) for month, kg in found.by_month),
        fetched_kg=found.fetched_kg,
        contamination_kg=found.contamination_kg,
        active=of_three(found.active, "1"),
        stayed=tuple(
            shapes.Stayed(after_months=one.after, places=one.places, active=one.active)
            for one in stays
        ),
        vessels=found.vessels,
        emptied=found.emptied,
        sound=found.sound,
        failed=found.failed,
        buried_kg=found.buried_kg,
        liquid_l=found.liquid_l,
        trainings=found.trainings,
        trained=found.trained,
        questions=found.questions,
        visits=found.visits,
        rounds=found.rounds,
        complaints=found.complaints,
        hours=found.hours,
        bran_out_kg=found.bran_out_kg,
        climate=_climate(there),
    )


def _climate(there: SavedThere) -> shapes.ClimateTogether:
    found = there.together
    return shapes.ClimateTogether(
        places=0 if found is None else found.places,
        waiting=there.waiting,
        first=there.first,
        last=there.last,
        scraps=None if found is None else found.scraps,
        ways=()
        if found is None
        else tuple(shapes.WayTogether(id=one.id, total=one.total) for one in found.routes),
        against=()
        if found is None
        else tuple(
            shapes.SavedTogether(
                id=one.id,
                saved=one.saved,
                saved_per_tonne=one.saved_per_tonne,
                chance=one.chance,
            )
            for one in found.comparisons
        ),
        movers=() if found is None else tuple(key for key, _r in found.movers),
    )


def exchange_told(found: Fleet) -> shapes.Exchange:
    """What an exchange takes."""
    return shapes.Exchange(
        vessels=of_three(found.vessels, "1"),
        resting=of_three(found.resting, "1"),
        floor=of_three(found.floor_m2, "m2"),
        weekly=found.weekly,
        water=of_three(found.water_l, "L"),
        hours=of_three(found.hours, "h"),
        at_home=found.at_home,
    )
