"""Tokens with which programs and sensors come in, for a person and within a scope."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models

from sourloam.logbook.models.place import Place


class Token(models.Model):
    """A token that somebody made; only its hash is kept. Without a place it reaches all places
    of its maker, as their roles stand when it is used."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    place = models.ForeignKey(Place, models.CASCADE, null=True, related_name="tokens")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    name = models.CharField(max_length=40)
    scope = models.CharField(max_length=8)
    token_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    used_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.CheckConstraint(
                condition=models.Q(scope__in=("read", "log", "manage")), name="token_scope"
            ),
        )

    def __str__(self) -> str:
        return f"{self.name}: {self.scope}"
