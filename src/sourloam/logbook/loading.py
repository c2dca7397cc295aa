"""The invented season of the demo, put into an empty store."""

from __future__ import annotations

import datetime as dt
import uuid
from dataclasses import replace

from django.contrib.auth.models import User
from django.db import transaction

from sourloam.logbook.models import Membership, Place
from sourloam.logbook.recording import store_all

_IDS = uuid.UUID("7d0a5a6e-4f0e-4f3a-9b57-6a0f5b1f3c11")


def load_season(person: User | None, today: dt.date, seed: int = 1) -> int:
    """All places of the invented season with ``person`` as coordinator; the number of entries.

    Without a person the places wait for the first keeper.
    """
    from sourloam import demo

    number = 0
    with transaction.atomic():
        for one in demo.season(today, seed).places:
            fresh = demo_id(one.id)
            place = Place.objects.create(id=fresh, name=one.name, zone=one.zone, units=one.units)
            if person is not None:
                Membership.objects.create(place=place, person=person, role="coordinator")
            store_all((replace(entry, place=fresh) for entry in one.entries), None, place)
            number += len(one.entries)
    return number


def is_demo(place_id: str) -> bool:
    """Whether a place of this id came with the demo: its id tells."""
    try:
        return uuid.UUID(place_id).version == _VERSION
    except ValueError:
        return False


_VERSION = 5  # ids made from a name; those of people's own places are random (4)


def demo_id(name: str) -> str:
    """The id of a place of the demo."""
    return str(uuid.uuid5(_IDS, name))
