"""Photos: stored once by what they show, opened only to the people of a place that sent them."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from sourloam.logbook.models.place import Place


class Photo(models.Model):
    """A photo of a place; the file lies in the data folder under ``sha256``."""

    place = models.ForeignKey(Place, models.PROTECT, related_name="photos")
    sha256 = models.CharField(max_length=64)
    size = models.PositiveIntegerField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    received_at = models.DateTimeField(auto_now_add=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+"
    )

    class Meta:
        """Rules that the database keeps."""

        constraints = (models.UniqueConstraint(fields=("place", "sha256"), name="one_photo"),)

    def __str__(self) -> str:
        return self.sha256
