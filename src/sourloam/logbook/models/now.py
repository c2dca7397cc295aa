"""What is kept computed, so that a page need not: made from the entries, and can be made anew."""

from __future__ import annotations

from django.db import models

from sourloam.logbook.models.place import Place


class PlaceNow(models.Model):
    """Whether forecasts of a place wait to be computed, up to which entry and day they are.

    ``wanted_seq`` > ``done_seq`` is the mark that outlives a restart.
    """

    place = models.OneToOneField(Place, models.CASCADE, primary_key=True, related_name="now")
    wanted_seq = models.PositiveBigIntegerField(default=0)
    done_seq = models.PositiveBigIntegerField(default=0)
    done_for = models.DateField(null=True)
    learned = models.JSONField(null=True)
    trouble = models.CharField(max_length=200, blank=True, default="")

    def __str__(self) -> str:
        return f"{self.place_id}: {self.done_seq}/{self.wanted_seq}"


class Forecast(models.Model):
    """The newest forecast of a vessel as JSON; ``seq`` is the last entry that it saw."""

    place = models.ForeignKey(Place, models.CASCADE, related_name="forecasts", db_index=False)
    vessel = models.CharField(max_length=64)
    seq = models.PositiveBigIntegerField()
    made_at = models.DateTimeField(auto_now=True)
    summary = models.JSONField()

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.UniqueConstraint(fields=("place", "vessel"), name="one_forecast_a_vessel"),
        )

    def __str__(self) -> str:
        return f"{self.vessel}: {self.seq}"
