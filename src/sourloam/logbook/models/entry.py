"""Entries: written once, never changed, chained by hash; and under which things they are filed."""

from __future__ import annotations

import datetime as dt
from typing import Any, NoReturn

from django.conf import settings
from django.db import models

from sourloam import ledger
from sourloam.logbook.models.place import Place


class AppendOnlyError(Exception):
    """Somebody tried to change or delete an entry."""


def _refuse() -> NoReturn:
    raise AppendOnlyError("entries are never changed or deleted; write one that supersedes it")


class _AppendOnly(models.QuerySet["Entry"]):
    def update(self, **kwargs: Any) -> NoReturn:
        _refuse()

    def delete(self) -> NoReturn:
        _refuse()

    def bulk_update(self, *args: Any, **kwargs: Any) -> NoReturn:
        _refuse()

    def update_or_create(self, *args: Any, **kwargs: Any) -> NoReturn:
        _refuse()


class Entry(models.Model):
    """One entry as it came in. ``seq`` counts within the place; ``hash`` seals it and all before.

    ``by`` is the writer's name as it was then; the database itself refuses changes (a trigger).
    """

    id = models.UUIDField(primary_key=True)
    place = models.ForeignKey(Place, models.PROTECT, related_name="entries", db_index=False)
    seq = models.PositiveBigIntegerField()
    kind = models.CharField(max_length=32)
    vessel = models.CharField(max_length=64, blank=True, default="")
    bed = models.CharField(max_length=64, blank=True, default="")
    at = models.DateTimeField()
    written_at = models.DateTimeField()
    received_at = models.DateTimeField()
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+", db_index=False
    )
    by = models.CharField(max_length=80, blank=True, default="")
    supersedes = models.UUIDField(null=True)
    body = models.JSONField()
    hash_before = models.CharField(max_length=64, blank=True, default="")
    hash = models.CharField(max_length=64)

    objects = _AppendOnly.as_manager()

    class Meta:
        """Rules that the database keeps."""

        base_manager_name = "objects"
        constraints = (
            models.UniqueConstraint(fields=("place", "seq"), name="entry_seq"),
            models.CheckConstraint(
                condition=~models.Q(supersedes=models.F("id")), name="entry_not_itself"
            ),
        )
        indexes = (
            models.Index(
                fields=("supersedes",),
                name="entry_supersedes",
                condition=models.Q(supersedes__isnull=False),
            ),
        )

    def __str__(self) -> str:
        return f"{self.kind} {self.id}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Store it once."""
        if not self._state.adding:
            _refuse()
        kwargs["force_insert"] = True
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refused."""
        _refuse()

    def read(self) -> ledger.Entry:
        """As the ledger's object; the body was checked when it came in and is read again."""
        return read_row(tuple(getattr(self, column) for column in COLUMNS))


COLUMNS = (
    *("id", "place_id", "kind", "at", "written_at", "body"),
    *("supersedes", "received_at", "by"),
)


def read_row(row: tuple[Any, ...]) -> ledger.Entry:
    """The ledger's entry of a row of ``COLUMNS``."""
    name, place, kind, at, written_at, body, supersedes, received_at, by = row
    return ledger.Entry(
        id=name,
        place=place,
        kind=kind,
        at=at.astimezone(dt.UTC),
        written_at=written_at.astimezone(dt.UTC),
        body=ledger.parse_body(kind, body),
        supersedes=supersedes,
        received_at=received_at.astimezone(dt.UTC),
        by=by or None,
    )


class Filing(models.Model):
    """An entry filed under a thing: what it is about, or what another entry of its chain is about.

    ``thing`` is ``vessel:ID``, ``bed:ID``, or ``place`` for what belongs to the place as a whole.
    Made from the entries, and can be made anew from them.
    """

    place = models.ForeignKey(Place, models.CASCADE, related_name="+", db_index=False)
    thing = models.CharField(max_length=80)
    entry = models.ForeignKey(Entry, models.CASCADE, related_name="filings")

    class Meta:
        """Rules that the database keeps."""

        constraints = (
            models.UniqueConstraint(fields=("place", "thing", "entry"), name="filed_once"),
        )

    def __str__(self) -> str:
        return f"{self.thing}: {self.entry_id}"
