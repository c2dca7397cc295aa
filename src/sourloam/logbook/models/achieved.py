"""What a place achieved in a time, reckoned once and kept: it can be made anew."""

from __future__ import annotations

from django.db import models

from sourloam.logbook.models.place import Place


class Achieved(models.Model):
    """One question about a place, by the digest of what was asked, and its newest answer.

    ``wanted_seq`` > ``done_seq``, or no answer and no trouble yet: it waits to be reckoned.
    """

    place = models.ForeignKey(Place, models.CASCADE, related_name="achieved", db_index=False)
    digest = models.CharField(max_length=64)
    question = models.JSONField()
    wanted_seq = models.PositiveBigIntegerField()
    done_seq = models.PositiveBigIntegerField(default=0)
    asked_at = models.DateTimeField(auto_now=True)
    answer = models.JSONField(null=True)
    trouble = models.CharField(max_length=200, blank=True, default="")

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.UniqueConstraint(fields=("place", "digest"), name="one_answer_a_question"),
        )

    def __str__(self) -> str:
        return f"{self.place_id}: {self.done_seq}/{self.wanted_seq}"
