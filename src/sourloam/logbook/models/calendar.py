"""Private addresses under which a person's calendar program asks what is due at a place."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models

from sourloam.logbook.models.place import Place


class CalendarAddress(models.Model):
    """One address of one person for one place; only the hash of its token is kept.

    It speaks the language and the units that it was made with.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    place = models.ForeignKey(Place, models.CASCADE, related_name="+")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    token_hash = models.CharField(max_length=64, unique=True)
    language = models.CharField(max_length=8, default="en")
    units = models.CharField(max_length=6, default="metric")
    made_at = models.DateTimeField(auto_now_add=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.UniqueConstraint(
                fields=("place", "person"),
                condition=models.Q(withdrawn_at__isnull=True),
                name="one_calendar_address",
            ),
        )

    def __str__(self) -> str:
        return f"{self.person_id} {self.place_id} since {self.made_at}"
