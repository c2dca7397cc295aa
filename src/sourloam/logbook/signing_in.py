"""At signing in, the session learns the language that the person prefers."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.models import User
from django.contrib.auth.signals import user_logged_in
from django.http import HttpRequest

from sourloam.logbook.models import Preference

LANGUAGE = "sourloam_language"  # key in the session


def connect() -> None:
    """Listen to people who sign in."""
    user_logged_in.connect(_remember, dispatch_uid="sourloam-language")


def _remember(sender: Any, request: HttpRequest | None, user: User, **_more: Any) -> None:
    if request is None or not hasattr(request, "session"):
        return
    chosen = Preference.objects.filter(person=user).values_list("language", flat=True).first()
    if chosen:
        request.session[LANGUAGE] = chosen


def prefer(request: HttpRequest, units: str, language: str) -> None:
    """Keep a signed-in person's units and language; this session follows at once."""
    Preference.objects.update_or_create(
        person_id=request.user.pk, defaults={"units": units, "language": language}
    )
    request.session[LANGUAGE] = language
