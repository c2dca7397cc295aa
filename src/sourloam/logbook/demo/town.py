"""The invented programme, put into an empty store."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from django.db import transaction

from sourloam.demo import town as demo
from sourloam.logbook import programmes
from sourloam.logbook.demo.ids import TOWN, demo_id
from sourloam.logbook.models import Place, Programme, ProgrammeEntry, ProgrammePlace
from sourloam.logbook.recording import store_all

_NAME, _HUB = "Alder Town exchange", "Yard behind the mill"
_BRAN_KG = 6.0
_WEEK = dt.timedelta(days=7)


def load_town(today: dt.date, places: int, report: Callable[[str, float], None]) -> int:
    """All places and the programme; the number of entries. Whoever becomes the first keeper
    coordinates them."""
    latitude, longitude = demo.hub()
    number = 0
    with transaction.atomic():
        programme = Programme.objects.create(
            id=TOWN,
            name=_NAME,
            hub=_HUB,
            latitude=latitude,
            longitude=longitude,
            bran_kg=_BRAN_KG,
        )
        handed: list[tuple[str, demo.Handed]] = []
        for done, one in enumerate(demo.town(today, places), start=1):
            fresh = demo_id(one.id)
            place = Place.objects.create(id=fresh, name=one.name)
            store_all((replace(entry, place=fresh) for entry in one.entries), None, place)
            _settle(programme, place, one)
            handed += [(fresh, turn) for turn in one.handed]
            number += len(one.entries)
            report(f"{done} of {places} places written", done / places)
        _tell(programme, today, handed)
    return number


def _settle(programme: Programme, place: Place, one: demo.TownPlace) -> None:
    opens, closes = one.hours or (None, None)
    ProgrammePlace.objects.create(
        programme=programme,
        place=place,
        joined=one.joined,
        latitude=one.spot[0],
        longitude=one.spot[1],
        opens=None if opens is None else dt.time(opens),
        closes=None if closes is None else dt.time(closes),
        how="Back door" if one.kind == "cafe" else "",
    )


def _tell(programme: Programme, today: dt.date, handed: Sequence[tuple[str, demo.Handed]]) -> None:
    """A year of the programme's own log: a class each month, questions, a round each week that
    fetches what places then log as handed on."""
    rng = np.random.default_rng(7)
    places = ProgrammePlace.objects.filter(programme=programme).order_by("joined", "place_id")
    joined = list(places.values_list("place_id", "joined"))

    def there(ago: int) -> list[str]:
        """Places that had joined a month before."""
        day = today - dt.timedelta(days=ago + 30)
        return [place for place, since in joined if since <= day]

    rows = []

    def write(ago: int, kind: str, place: str | None = None, **body: object) -> None:
        day = today - dt.timedelta(days=ago)
        rows.append(
            ProgrammeEntry(
                programme=programme, place_id=place, kind=kind, day=day, by="keeper", body=body
            )
        )

    for ago in range(355, 0, -30):
        write(ago, "training", people=int(rng.integers(4, 12)), hours=2.0)
    for ago in range(350, 0, -7):
        write(
            ago,
            "round",
            hours=round(float(rng.uniform(3.5, 5)), 1),
            km=round(float(rng.uniform(14, 26))),
        )
        day = today - dt.timedelta(days=ago)
        for place, turn in handed:
            if turn.full <= day <= turn.on < day + _WEEK:
                stray = round(float(rng.uniform(0, 0.2)), 2)
                body = {"kg": round(turn.kg, 1), "clean": 1, "contamination_kg": stray}
                write(ago, "fetched", place, **body)
    for ago in range(310, 0, -17):
        known = there(ago)
        if not known:
            continue
        write(
            ago,
            "question",
            str(rng.choice(known)),
            note="Is white film normal?",
            answer="Yes; dry and white is.",
        )
        write(ago, "visit", str(rng.choice(known)), hours=0.5)
    for place in there(120)[:1]:
        write(120, "complaint", place, note="Small flies at the lid.")
    ProgrammeEntry.objects.bulk_create(rows, batch_size=500)


def plan_tomorrow() -> None:
    """The round of today for the invented programme."""
    programme = Programme.objects.get(pk=TOWN)
    programmes.plan_for(programme, programmes.today(programme))
