"""What a backup is: a zip of one list of rows for each table, the photos, and a manifest.

The manifest names every file with its size and SHA-256, so that a torn or changed copy is known
before a row of it is taken in. Rows are JSON, one a line, values as Django's fields write them
into text, so that a copy made on one database can be set up on another.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from django.apps import apps
from django.contrib.auth import get_user_model
from django.db import models
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from sourloam.safekeeping.trouble import BackupError

FORMAT, VERSION = "sourloam backup", 1
MANIFEST = "manifest.json"
MOST_LINE = 8_000_000  # bytes of one row; an entry is far smaller
MOST_MANIFEST = 64_000_000
_SHA = r"^[0-9a-f]{64}$"


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Part(_Strict):
    """A file in the backup."""

    size: int = Field(ge=0)
    sha256: str = Field(pattern=_SHA)
    rows: int | None = Field(default=None, ge=0)


class PlaceSeal(_Strict):
    """How far a place's chain went."""

    id: str
    entries: int = Field(ge=0)
    last_hash: str


class Manifest(_Strict):
    """What the backup holds."""

    format: str
    version: int
    made_at: str
    sourloam: str
    migration: str
    places: tuple[PlaceSeal, ...]
    parts: dict[str, Part]
    photos_missing: tuple[str, ...] = ()


def read_manifest(raw: bytes) -> Manifest:
    """BackupError for what is no manifest, or one of a later version."""
    try:
        found = json.loads(raw)
        told = found.get("format"), found.get("version")
    except (ValueError, AttributeError, RecursionError):
        raise BackupError(f"{MANIFEST} can't be read: this is no backup of Sourloam") from None
    if told[0] != FORMAT:
        raise BackupError(f"{MANIFEST}: this is no backup of Sourloam")
    if not isinstance(told[1], int) or told[1] > VERSION:
        raise BackupError(f"made by a newer Sourloam ({found.get('sourloam')}); install that one")
    try:
        return Manifest.model_validate(found)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(step) for step in first["loc"])
        raise BackupError(f"{MANIFEST}: {where}: {first['msg'].lower()}") from None


def kept_models() -> list[type[models.Model]]:
    """What a backup holds, each after what it points to. Sessions and lists of failed sign-ins
    are left out: people sign in again."""
    wanted = [get_user_model(), *apps.get_app_config("logbook").get_models()]
    ordered: list[type[models.Model]] = []
    while wanted:
        ready = [one for one in wanted if not _targets(one) & set(wanted) - {one}]
        ordered += ready
        wanted = [one for one in wanted if one not in ready]
    return ordered


def _targets(model: type[models.Model]) -> set[Any]:
    return {field.related_model for field in columns(model) if field.is_relation}


def columns(model: type[models.Model]) -> list[models.Field[Any, Any]]:
    """The stored fields of a model."""
    return list(model._meta.concrete_fields)


def name_of(model: type[models.Model]) -> str:
    """Its file in the backup."""
    return f"rows/{model._meta.label_lower}.jsonl"


def written(rows: Iterator[tuple[Any, ...]], fields: list[models.Field[Any, Any]]) -> Iterator[str]:
    """Lines of a table: the names of its columns, then its rows."""
    yield json.dumps([field.attname for field in fields])
    for row in rows:
        yield json.dumps(
            [_plain(field, value) for field, value in zip(fields, row, strict=True)],
            ensure_ascii=False,
            separators=(",", ":"),
        )


def _plain(field: models.Field[Any, Any], value: Any) -> Any:
    if value is None or isinstance(value, str | int | float | bool | dict | list):
        return value
    return value.isoformat() if hasattr(value, "isoformat") else str(value)
