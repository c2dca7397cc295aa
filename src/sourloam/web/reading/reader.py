"""Who reads: their name, units and language, coming in for the first time."""

from __future__ import annotations

from django.contrib.auth import login
from django.contrib.auth.models import User
from django.http import HttpRequest

from sourloam.logbook import models, people, signing_in


def person_of(request: HttpRequest) -> User:
    """Who asks; only for views that let nobody else in."""
    assert isinstance(request.user, User)
    return request.user


def preference(request: HttpRequest) -> models.Preference | None:
    """How the reader likes to read; asked once a request."""
    if not hasattr(request, "_sourloam_preference"):
        found = models.Preference.objects.filter(person_id=request.user.pk).first()
        request._sourloam_preference = found  # type: ignore[attr-defined]
    return request._sourloam_preference  # type: ignore[attr-defined,no-any-return]


def units_of(request: HttpRequest, place: models.Place | None = None) -> str:
    """The reader's units: their own wish, else the place's."""
    mine = preference(request)
    if mine is not None and mine.units:
        return str(mine.units)
    return str(place.units) if place is not None else "metric"


def prefer(request: HttpRequest, units: str, language: str) -> None:
    """Keep how the reader likes to read."""
    signing_in.prefer(request, units, language)


def sign_in(request: HttpRequest, person: User) -> None:
    """Somebody who just made their name is in."""
    login(request, person, backend="django.contrib.auth.backends.ModelBackend")


def first_start() -> bool:
    """Whether nobody is keeper yet."""
    return people.is_first_start()


def places_wait() -> bool:
    """Whether places stand here before their keeper comes, as the demo's do."""
    return models.Place.objects.exists()


def first_keeper(request: HttpRequest, name: str, password: str) -> None:
    """Make the first account and sign it in."""
    sign_in(request, people.make_first_keeper(name, password))
