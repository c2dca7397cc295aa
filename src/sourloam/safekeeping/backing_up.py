"""A copy of the whole logbook in one file, while people write."""

from __future__ import annotations

import datetime as dt
import errno
import hashlib
import json
import os
import zipfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.db import connections, models
from django.db.backends.base.base import BaseDatabaseWrapper

from sourloam import __version__
from sourloam.logbook.models import Photo, Place
from sourloam.logbook.photos import path_of
from sourloam.safekeeping.form import (
    FORMAT,
    MANIFEST,
    VERSION,
    Manifest,
    Part,
    PlaceSeal,
    columns,
    kept_models,
    name_of,
    written,
)
from sourloam.safekeeping.trouble import BackupError

_CHUNK, _ROWS = 1 << 20, 2000
_SNAPSHOT = "snapshot"
_PRIVATE = 0o600
_NO_LINKS = (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK)


@dataclass(frozen=True)
class Backup:
    """What went into a copy."""

    places: int
    entries: int
    photos: int
    size: int
    photos_missing: tuple[str, ...]


def write_backup(target: Path, say: Callable[[str], None] = lambda _line: None) -> Backup:
    """Copy everything into ``target``, which must not exist yet; BackupError if it can't be.

    All rows are of one moment, whatever is written meanwhile. The file appears whole or not at
    all. The key that signs sessions is left out: people sign in again after a restore.
    """
    if target.exists():
        raise BackupError(f"{target}: is there already; choose a new name")
    half = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        handle = os.open(half, os.O_RDWR | os.O_CREAT | os.O_EXCL, _PRIVATE)
        with os.fdopen(handle, "w+b") as file:
            manifest = _fill(file, say)
            file.flush()
            os.fsync(file.fileno())
        _put_in_place(half, target)
    except FileExistsError:
        raise BackupError(f"{target}: is there already; choose a new name") from None
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise BackupError(f"{target}: can't be written ({why})") from None
    finally:
        with suppress(OSError):
            half.unlink()
    photos = sum(name.startswith("photos/") for name in manifest.parts)
    entries = sum(place.entries for place in manifest.places)
    size = target.stat().st_size
    return Backup(len(manifest.places), entries, photos, size, manifest.photos_missing)


def _put_in_place(half: Path, target: Path) -> None:
    """Never over a file that came in the meantime, where the disk can promise that."""
    try:
        os.link(half, target)
    except FileExistsError:
        raise
    except OSError as error:
        if error.errno not in _NO_LINKS:  # a stick often knows no second name of a file
            raise
        half.rename(target)


def _fill(file: Any, say: Callable[[str], None]) -> Manifest:
    parts: dict[str, Part] = {}
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        with _one_moment() as alias:
            for model in kept_models():
                say(f"copying rows: {model._meta.model_name}")
                parts[name_of(model)] = _table(archive, model, alias)
            places = tuple(_seals(alias))
            photos = sorted(set(Photo.objects.using(alias).values_list("sha256", flat=True)))
            migration = _migration(connections[alias])
        missing = tuple(_photos(archive, photos, parts, say))
        manifest = Manifest(
            format=FORMAT,
            version=VERSION,
            made_at=dt.datetime.now(dt.UTC).isoformat(),
            sourloam=__version__,
            migration=migration,
            places=places,
            parts=parts,
            photos_missing=missing,
        )
        archive.writestr(MANIFEST, json.dumps(manifest.model_dump(mode="json"), indent=1))
    return manifest


@contextmanager
def _one_moment() -> Iterator[str]:
    """A connection of its own that sees the store as it is now, and holds up no writer."""
    settings = dict(connections["default"].settings_dict)
    if connections["default"].vendor == "sqlite":
        settings["OPTIONS"] = {**settings["OPTIONS"], "transaction_mode": "DEFERRED"}
    connections.databases[_SNAPSHOT] = settings
    connection = connections[_SNAPSHOT]
    try:
        with connection.cursor() as cursor:
            if connection.vendor == "postgresql":
                cursor.execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")
            else:
                cursor.execute("BEGIN DEFERRED")
        yield _SNAPSHOT
    finally:
        with suppress(Exception), connection.cursor() as cursor:
            cursor.execute("ROLLBACK")
        connection.close()
        del connections[_SNAPSHOT]
        del connections.databases[_SNAPSHOT]


def _table(archive: zipfile.ZipFile, model: type[models.Model], alias: str) -> Part:
    fields = columns(model)
    manager = model._base_manager.using(alias)
    rows = manager.order_by("pk").values_list(*(field.attname for field in fields))
    lines = (line.encode() + b"\n" for line in written(rows.iterator(_ROWS), fields))
    return _put(archive, name_of(model), lines, counted=True)


def _put(
    archive: zipfile.ZipFile, name: str, chunks: Iterable[bytes], counted: bool = False
) -> Part:
    digest, size, number = hashlib.sha256(), 0, -1
    with archive.open(name, "w", force_zip64=True) as out:
        for number, chunk in enumerate(chunks):  # noqa: B007  the heading is number 0
            out.write(chunk)
            digest.update(chunk)
            size += len(chunk)
    return Part(size=size, sha256=digest.hexdigest(), rows=number if counted else None)


def _seals(alias: str) -> Iterator[PlaceSeal]:
    rows = Place.objects.using(alias).order_by("pk").values_list("pk", "last_seq", "last_hash")
    for place, entries, last_hash in rows:
        yield PlaceSeal(id=place, entries=entries, last_hash=last_hash)


def _migration(connection: BaseDatabaseWrapper) -> str:
    from django.db.migrations.recorder import MigrationRecorder

    applied = MigrationRecorder(connection).applied_migrations()
    return max((name for app, name in applied if app == "logbook"), default="")


def _photos(
    archive: zipfile.ZipFile,
    names: list[str],
    parts: dict[str, Part],
    say: Callable[[str], None],
) -> Iterator[str]:
    """Put in every photo; yields those that the folder does not hold any more."""
    if names:
        say(f"copying {len(names)} photos")
    for name in names:
        inside = f"photos/{name[:2]}/{name}.jpg"
        try:
            with open(path_of(name), "rb") as file:
                parts[inside] = _put(archive, inside, iter(lambda: file.read(_CHUNK), b""))
        except FileNotFoundError:
            yield name
        except PermissionError as error:
            why = f"{error.filename} can't be read; give it to the user who runs sourloam"
            raise BackupError(f"photo {name}: {why}") from None
