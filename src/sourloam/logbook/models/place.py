"""A place: a home, a school, a café, a shared garden."""

from __future__ import annotations

import uuid
import zoneinfo

from django.core.exceptions import ValidationError
from django.db import models


def new_id() -> str:
    """An id that nobody else makes."""
    return str(uuid.uuid4())


def known_zone(name: str) -> None:
    """ValidationError unless the time zone is known here."""
    try:
        zoneinfo.ZoneInfo(name)
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        raise ValidationError(f"time zone: {name!r} is not known; such as Europe/Madrid") from None


def zone_or_utc(name: str) -> str:
    """The time zone of that name if it is one, such as what a browser says of itself; else UTC."""
    try:
        return zoneinfo.ZoneInfo(name).key
    except (ValueError, OSError, LookupError):
        return "UTC"


class Place(models.Model):
    """A place. ``last_seq`` counts its entries, ``last_hash`` ends their chain."""

    id = models.CharField(primary_key=True, max_length=64, default=new_id)
    name = models.CharField(max_length=80)
    zone = models.CharField(max_length=64, default="UTC", validators=[known_zone])
    units = models.CharField(max_length=6, default="metric")
    language = models.CharField(max_length=8, default="en")
    country = models.CharField(max_length=2, blank=True, default="")
    made_at = models.DateTimeField(auto_now_add=True)
    last_seq = models.PositiveBigIntegerField(default=0)
    last_hash = models.CharField(max_length=64, blank=True, default="")

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.CheckConstraint(
                condition=models.Q(units__in=("metric", "us")), name="place_units"
            ),
            models.CheckConstraint(condition=~models.Q(name=""), name="place_named"),
        )

    def __str__(self) -> str:
        return self.name
