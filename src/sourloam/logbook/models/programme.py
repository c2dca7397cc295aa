"""Programmes of places: who coordinates them, their rounds, their own log, what is kept ready."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Any, NoReturn

from django.conf import settings
from django.db import models

from sourloam.logbook.models.entry import AppendOnlyError
from sourloam.logbook.models.place import Place, new_id

PROGRAMME_ROLES = ("coordinator", "helper", "reader")
#: A link may also bring in a place, by whoever coordinates that place.
LINK_ROLES = (*PROGRAMME_ROLES, "place")
_ROLE = models.Q(role__in=PROGRAMME_ROLES)


class Programme(models.Model):
    """A programme, its hub, and what goes round: room for vessels, kg, hours of the day."""

    id = models.CharField(primary_key=True, max_length=64, default=new_id)
    name = models.CharField(max_length=80)
    zone = models.CharField(max_length=64, default="UTC")
    hub = models.CharField(max_length=80, blank=True, default="")
    latitude = models.FloatField(null=True)
    longitude = models.FloatField(null=True)
    room = models.PositiveIntegerField(default=24)
    payload_kg = models.FloatField(default=400.0)
    starts = models.TimeField(default=dt.time(8))
    ends = models.TimeField(default=dt.time(13))
    bran_kg = models.FloatField(default=0.0)
    round_days = models.PositiveIntegerField(default=7)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.CheckConstraint(condition=~models.Q(name=""), name="programme_named"),
            models.CheckConstraint(
                condition=models.Q(
                    room__gte=1, payload_kg__gt=0, bran_kg__gte=0, round_days__gte=1
                ),
                name="programme_room",
            ),
        )

    def __str__(self) -> str:
        return self.name


class ProgrammePlace(models.Model):
    """A place in a programme from a day to a day; where it lies, its hours, how it is found."""

    programme = models.ForeignKey(Programme, models.CASCADE, related_name="places", db_index=False)
    place = models.ForeignKey(Place, models.CASCADE, related_name="+")
    joined = models.DateField()
    left = models.DateField(null=True)
    latitude = models.FloatField(null=True)
    longitude = models.FloatField(null=True)
    opens = models.TimeField(null=True)
    closes = models.TimeField(null=True)
    how = models.CharField(max_length=200, blank=True, default="")

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.UniqueConstraint(fields=("programme", "place"), name="place_once_in_programme"),
        )

    def __str__(self) -> str:
        return f"{self.place_id} in {self.programme_id} since {self.joined}"


class ProgrammeMember(models.Model):
    """A person's role in a programme; withdrawn, it opens nothing any more."""

    programme = models.ForeignKey(Programme, models.CASCADE, related_name="members")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    role = models.CharField(max_length=16)
    since = models.DateTimeField(auto_now_add=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.UniqueConstraint(fields=("programme", "person"), name="one_programme_member"),
            models.CheckConstraint(condition=_ROLE, name="programme_role"),
        )

    def __str__(self) -> str:
        return f"{self.person_id} {self.role} {self.programme_id}"


class ProgrammeLink(models.Model):
    """A link to join a programme, as a person with a role or with a place of one's own; only the
    hash of its token is kept."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    programme = models.ForeignKey(Programme, models.CASCADE, related_name="links")
    role = models.CharField(max_length=16)
    token_hash = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.CheckConstraint(
                condition=models.Q(role__in=LINK_ROLES), name="programme_link_role"
            ),
        )

    def __str__(self) -> str:
        return f"{self.role} {self.programme_id} until {self.expires_at}"


class _AppendOnly(models.QuerySet["ProgrammeEntry"]):
    def update(self, **kwargs: Any) -> NoReturn:
        raise AppendOnlyError("entries are never changed; write one that supersedes it")

    def delete(self) -> NoReturn:
        raise AppendOnlyError("entries are never deleted; write one that supersedes it")


class ProgrammeEntry(models.Model):
    """One line of a programme's own log: written once (the database refuses changes)."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    programme = models.ForeignKey(Programme, models.PROTECT, related_name="entries")
    place = models.ForeignKey(Place, models.PROTECT, null=True, related_name="+")
    kind = models.CharField(max_length=32)
    day = models.DateField()
    written_at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+", db_index=False
    )
    by = models.CharField(max_length=80, blank=True, default="")
    supersedes = models.UUIDField(null=True)
    body = models.JSONField()

    objects = _AppendOnly.as_manager()

    class Meta:
        """In the database's order of days."""

        base_manager_name = "objects"
        indexes = (models.Index(fields=("programme", "day"), name="programme_entry_day"),)

    def __str__(self) -> str:
        return f"{self.kind} {self.day}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Store it once."""
        if not self._state.adding:
            raise AppendOnlyError("entries are never changed; write one that supersedes it")
        kwargs["force_insert"] = True
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise AppendOnlyError("entries are never deleted; write one that supersedes it")


class ProgrammeRound(models.Model):
    """The newest round planned for a day, as JSON; it can be planned anew."""

    programme = models.ForeignKey(Programme, models.CASCADE, related_name="rounds")
    day = models.DateField()
    made_at = models.DateTimeField(auto_now=True)
    plan = models.JSONField()

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.UniqueConstraint(fields=("programme", "day"), name="one_round_a_day"),
        )

    def __str__(self) -> str:
        return f"{self.programme_id} on {self.day}"


class PlaceSummary(models.Model):
    """A place's facts as its programmes need them, made anew when its forecasts are."""

    place = models.OneToOneField(Place, models.CASCADE, primary_key=True, related_name="+")
    seq = models.PositiveBigIntegerField(default=0)
    made_at = models.DateTimeField(auto_now=True)
    facts = models.JSONField()

    def __str__(self) -> str:
        return f"{self.place_id}: {self.seq}"


class PlaceSaved(models.Model):
    """What a place of a programme saved, world by world, so that places can be added up; None
    where its log gives nothing to reckon. ``seq``, ``day`` and ``version`` say as of when."""

    place = models.OneToOneField(Place, models.CASCADE, primary_key=True, related_name="+")
    seq = models.PositiveBigIntegerField()
    day = models.DateField()
    version = models.CharField(max_length=32)
    worlds = models.JSONField(null=True)

    def __str__(self) -> str:
        return f"{self.place_id}: {self.day}"
