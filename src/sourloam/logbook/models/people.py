"""Who looks after a place, links to join it, what each person prefers."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models

from sourloam.ledger import ROLES
from sourloam.logbook.models.place import Place

_ROLE = models.Q(role__in=ROLES)


class Membership(models.Model):
    """A person's role in a place; withdrawn, it opens nothing any more."""

    place = models.ForeignKey(Place, models.CASCADE, related_name="memberships")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=16)
    since = models.DateTimeField(auto_now_add=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.UniqueConstraint(fields=("place", "person"), name="one_membership"),
            models.CheckConstraint(condition=_ROLE, name="membership_role"),
        )

    def __str__(self) -> str:
        return f"{self.person_id} {self.role} {self.place_id}"


class Invitation(models.Model):
    """A link to join a place with a role; only the hash of its token is kept."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    place = models.ForeignKey(Place, models.CASCADE, related_name="invitations")
    role = models.CharField(max_length=16)
    token_hash = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    used = models.PositiveIntegerField(default=0)

    class Meta:
        """Rules that the database keeps."""

        constraints = (models.CheckConstraint(condition=_ROLE, name="invitation_role"),)

    def __str__(self) -> str:
        return f"{self.role} {self.place_id} until {self.expires_at}"


class Preference(models.Model):
    """How one person reads: units and language; empty means as the place or the browser says."""

    person = models.OneToOneField(
        settings.AUTH_USER_MODEL, models.CASCADE, primary_key=True, related_name="preference"
    )
    units = models.CharField(max_length=6, blank=True, default="")
    language = models.CharField(max_length=8, blank=True, default="")

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.CheckConstraint(
                condition=models.Q(units__in=("", "metric", "us")), name="preference_units"
            ),
        )

    def __str__(self) -> str:
        return f"{self.person_id}: {self.units} {self.language}"
