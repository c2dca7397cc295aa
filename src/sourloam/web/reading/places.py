"""What is kept of the reader's places: the places, their state, forecasts and descriptions."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Collection, Mapping
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Count, Max, QuerySet
from django.http import Http404, HttpRequest
from django.utils import timezone

from sourloam.ledger import bodies as b
from sourloam.ledger.state import PlaceState, Record
from sourloam.logbook import achieving, foreseeing, models, permissions
from sourloam.logbook.standing import state_at
from sourloam.site import Site
from sourloam.web.bran import warned
from sourloam.web.house import House, Inside
from sourloam.web.known import foreseen_of
from sourloam.web.reading.reader import units_of
from sourloam.web.vessel.foresight import Foresight

_FEW = 100  # forecasts that are asked for by name


def houses(request: HttpRequest) -> list[House]:
    """All places of the reader."""
    return [_house(request, member) for member in permissions.memberships(request.user)]


def house(request: HttpRequest, place: str) -> House:
    """One place of the reader; 404 for a stranger."""
    named = place.isprintable()  # some stores refuse to look for what is not
    member = permissions.memberships(request.user).filter(place_id=place).first() if named else None
    if member is None:
        raise Http404
    return _house(request, member)


def _house(request: HttpRequest, member: models.Membership) -> House:
    place = member.place
    zone = ZoneInfo(place.zone)
    today = timezone.now().astimezone(zone).date()
    units = units_of(request, place)
    return House(
        place.pk,
        place.name,
        zone,
        member.role,
        units,
        today,
        place,
        lambda: _warnings(request, today),
    )


def state_of(found: House) -> PlaceState:
    """What follows from the entries of a place, with what the reader's other places know of its
    lots of bran; no query unless there is news."""
    state = _alone(found.place)
    if not any(lot.stage == "store" for lot in state.lots):
        return state
    return warned.told(found.id, state, found.warnings())


def _alone(place: models.Place) -> PlaceState:
    return state_at(place.pk, place.zone, place.last_seq, place.last_hash)[0]


def _warnings(request: HttpRequest, today: dt.date) -> warned.Warnings:
    """What all places of the reader warn of; asked once a request."""
    if not hasattr(request, "_sourloam_warnings"):
        found = warnings_for(request.user, today)
        request._sourloam_warnings = found  # type: ignore[attr-defined]
    return request._sourloam_warnings  # type: ignore[attr-defined,no-any-return]


def warnings_for(person: permissions.Person, today: dt.date) -> warned.Warnings:
    """What all places of a person warn of."""
    places = [member.place for member in permissions.memberships(person)]
    return warned.warnings(((place.pk, place.name, _alone(place)) for place in places), today)


def inside(found: House) -> Inside:
    """What is in a place today."""
    return insides_of([found])[0]


def insides(request: HttpRequest) -> list[Inside]:
    """What is in all places of the reader; forecasts of all of them in one query."""
    return insides_of(houses(request))


def insides_of(found: list[House]) -> list[Inside]:
    """What is in these places today."""
    ids = [house.id for house in found]
    stamps = models.Forecast.objects.filter(place_id__in=ids).values_list("place_id")
    newest = {
        place: (last, many)
        for place, last, many in stamps.annotate(last=Max("made_at"), many=Count("pk"))
    }
    return [Inside(h, state_of(h), _foreseen(h, newest.get(h.id))) for h in found]


def _foreseen(found: House, stamp: tuple[object, ...] | None) -> Mapping[str, Foresight]:
    """Forecasts of a place; read from the store only where there are new ones."""

    def rows() -> QuerySet[models.Forecast]:
        return models.Forecast.objects.filter(place_id=found.id)

    def made() -> Mapping[str, dt.datetime]:
        return dict(rows().values_list("vessel", "made_at"))

    def load(vessels: Collection[str]) -> Mapping[str, Foresight]:
        new = rows().filter(vessel__in=vessels) if len(vessels) < _FEW else rows()
        return {vessel: Foresight(said) for vessel, said in new.values_list("vessel", "summary")}

    return foreseen_of(found.id, stamp or (), made if stamp else dict, load)


def is_reckoned_anew(found: House, vessel: str) -> bool:
    """Whether entries came since a vessel was foreseen."""
    return foreseeing.is_behind(found.id, vessel)


def last_fed(inside: Inside) -> Record[b.Fed] | None:
    """The newest layer of the place: what a new vessel's form begins with."""
    layers = [
        layer
        for vessel in inside.state.vessels
        for turn in vessel.turns[-1:]
        for layer in turn.layers[-1:]
    ]
    return max(layers, key=lambda r: (r.at, r.entry), default=None)


def achieved(found: House, question: achieving.Question) -> achieving.Standing:
    """What is known of what a place achieved; what is not is reckoned by and by."""
    return achieving.ask(found.id, found.place.last_seq, question)


def site_document(found: House) -> dict[str, Any] | None:
    """The place's newest description as it was written."""
    described = state_of(found).stores.described
    return None if described is None else described.body.site


def site(document: dict[str, Any]) -> Site:
    """A description as the science takes it."""
    return _site(json.dumps(document, sort_keys=True))


@lru_cache(maxsize=256)
def _site(text: str) -> Site:
    return Site.model_validate(json.loads(text))


def kind_document(found: House, name: str) -> dict[str, Any] | None:
    """The section of the description on one kind of vessel, without what is counted there."""
    document = site_document(found) or {}
    kind = next((k for k in document.get("vessel", ()) if k["name"] == name), None)
    return {k: v for k, v in kind.items() if k not in ("owned", "most")} if kind else None
