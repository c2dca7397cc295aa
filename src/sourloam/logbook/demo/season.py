"""The invented season of the demo, put into an empty store."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from django.contrib.auth.models import User
from django.db import transaction

from sourloam.logbook.demo.ids import demo_id
from sourloam.logbook.models import Membership, Place
from sourloam.logbook.recording import store_all


def load_season(person: User | None, today: dt.date, seed: int = 1) -> int:
    """All places of the invented season and their programme with ``person`` as coordinator; the
    number of entries.

    Without a person they wait for the first keeper.
    """
    from sourloam import demo
    from sourloam.logbook.demo.row import load_row

    number = 0
    with transaction.atomic():
        places = demo.season(today, seed).places
        for one in places:
            fresh = demo_id(one.id)
            place = Place.objects.create(id=fresh, name=one.name, zone=one.zone, units=one.units)
            if person is not None:
                Membership.objects.create(place=place, person=person, role="coordinator")
            store_all((replace(entry, place=fresh) for entry in one.entries), None, place)
            number += len(one.entries)
        load_row(person, places, today, seed)
    return number
