"""Fixtures that the tests of the pages, with and without a browser, share."""

import datetime as dt
import json
import tomllib
import uuid
from functools import lru_cache
from pathlib import Path
from types import SimpleNamespace

import pytest

SITE = Path(__file__).parents[2] / "examples" / "home.toml"
PASSWORD = "a short sentence"
ROLES = ("coordinator", "keeper", "gardener", "reader")


def site_document():
    document = tomllib.loads(SITE.read_text(encoding="utf-8"))
    return json.loads(json.dumps(document, default=str))


def entry(place, kind, body, days_ago=0.0, **more):
    at = dt.datetime.now(dt.UTC) - dt.timedelta(days=days_ago)
    raw = {"id": str(uuid.uuid4()), "place": place, "kind": kind, "body": body}
    return {**raw, "at": at.isoformat(), "written_at": at.isoformat(), **more}


def furnish(place, write):
    """A measure, three vessels in different states, a bed with a trench and a crop."""
    write("place_described", {"site": site_document()}, 200)
    write("measure_set", {"measure": "bowl", "name": "Bowlful", "volume_l": 1.8}, 199)
    for vessel, name in (("blue", "Blue pail"), ("green", "Green pail"), ("tin", "Tin")):
        spec = {"name": "19 L pail", "volume": "19 L"}
        write("vessel_added", {"vessel": vessel, "name": name, "spec": spec}, 198)
    write("bed_added", {"bed": "wall", "name": "Wall bed", "spec": bed_spec()}, 198)
    layer = {"amount": {"measure": "bowl", "count": 1}, "kinds": "household", "bran_g": 20}
    for day in range(20, 0, -2):
        write("fed", {"vessel": "blue", **layer}, day)
    write("drained", {"vessel": "blue", "volume_ml": 120.0, "use": "plants"}, 6)
    write("ph_read", {"vessel": "blue", "ph": 4.4}, 5)
    for day in range(60, 40, -2):
        write("fed", {"vessel": "green", **layer}, day)
    write("set_aside", {"vessel": "green"}, 38)
    write("planted", {"bed": "wall", "crop": "leek"}, 70)
    trench = {"depth_m": 0.3, "width_m": 0.3, "length_m": 1.0, "cover_m": 0.2, "along_m": 1.0}
    write("fed", {"vessel": "tin", **layer}, 100)
    write("set_aside", {"vessel": "tin"}, 90)
    write("buried", {"vessel": "tin", "bed": "wall", **trench}, 3)
    write("emptied", {"vessel": "tin", "fate": "buried"}, 3)


def furnish_at_once(person, place):
    """All of it in one transaction, as an import does it."""
    from django.db import transaction

    from sourloam.ledger import parse_entry
    from sourloam.logbook import models
    from sourloam.logbook.recording import store_all

    entries = []

    def write(kind, body, days_ago=0.0, **more):
        entries.append(parse_entry(entry(place.pk, kind, body, days_ago, **more)))

    furnish(place.pk, write)
    with transaction.atomic():
        store_all(entries, person, models.Place.objects.get(pk=place.pk))


def bed_spec():
    return {"name": "Wall bed", "length": "5 m", "width": "1.2 m"}


@pytest.fixture
def people(db):
    from django.contrib.auth.models import User

    names = (*ROLES, "stranger")
    return {n: User.objects.create(username=n, password=_hashed()) for n in names}


@lru_cache(maxsize=1)
def _hashed():
    """The slow hash of the password is made once."""
    from django.contrib.auth.hashers import make_password

    return make_password(PASSWORD)


@pytest.fixture
def home(people):
    """A furnished place; ``write`` writes more as the coordinator."""
    from sourloam.logbook import models, standing
    from sourloam.logbook.people import make_place
    from sourloam.logbook.recording import record_entry

    standing.forget()
    place = make_place(people["coordinator"], "Flat at 4 Alder Row", "Europe/Dublin")
    for role in ROLES[1:]:
        models.Membership.objects.create(place=place, person=people[role], role=role)

    def write(kind, body, days_ago=0.0, **more):
        raw = entry(place.pk, kind, body, days_ago, **more)
        done = record_entry(people["coordinator"], raw)
        assert done.stored, done.detail
        return raw

    furnish_at_once(people["coordinator"], place)
    return SimpleNamespace(id=place.pk, place=place, write=write, people=people)


@pytest.fixture
def as_(client, people):
    """A client signed in as somebody."""

    def sign_in(name):
        client.force_login(people[name], backend="django.contrib.auth.backends.ModelBackend")
        return client

    return sign_in


@pytest.fixture(autouse=True)
def english():
    """Every test begins in English, whatever language the one before left behind."""
    from django.utils import translation

    with translation.override("en"):
        yield
