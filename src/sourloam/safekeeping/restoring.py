"""A new logbook from a copy: all of it, or nothing."""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import shutil
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any, BinaryIO

from django.core.exceptions import FieldDoesNotExist, ValidationError
from django.db import DatabaseError, IntegrityError, connection, models, transaction
from django.db.migrations.loader import MigrationLoader

from sourloam.logbook.models import Place
from sourloam.safekeeping.checking import check
from sourloam.safekeeping.form import (
    MANIFEST,
    MOST_LINE,
    MOST_MANIFEST,
    Manifest,
    Part,
    kept_models,
    name_of,
    read_manifest,
)
from sourloam.safekeeping.trouble import BackupError

_CHUNK, _AT_ONCE = 1 << 20, 500
_SPARE = 50_000_000  # bytes to leave free on the disk
_TORN = (
    *(zipfile.BadZipFile, zlib.error, struct.error, EOFError),
    *(NotImplementedError, RuntimeError, ValueError),
)
Say = Callable[[str], None]


def opened(source: Path) -> tuple[zipfile.ZipFile, Manifest]:
    """The archive and its manifest; BackupError where it is broken, newer, or no backup."""
    try:
        archive = zipfile.ZipFile(source)
    except (*_TORN, OSError) as error:
        known = getattr(error, "strerror", None)
        why = str(known).lower() if known else "torn, or no backup of Sourloam"
        raise BackupError(f"{source}: can't be read ({why})") from None
    try:
        manifest = _manifest(archive)
        _match(archive, manifest)
    except BackupError as error:
        archive.close()
        raise BackupError(f"{source}: {error}") from None
    return archive, manifest


def _manifest(archive: zipfile.ZipFile) -> Manifest:
    try:
        with archive.open(MANIFEST) as file:
            raw = file.read(MOST_MANIFEST + 1)
    except KeyError:
        raise BackupError(f"has no {MANIFEST}: this is no backup of Sourloam") from None
    except (*_TORN, OSError):
        raise BackupError(f"{MANIFEST} is torn; take another copy") from None
    if len(raw) > MOST_MANIFEST:
        raise BackupError(f"{MANIFEST} is larger than any of ours")
    return read_manifest(raw)


def _match(archive: zipfile.ZipFile, manifest: Manifest) -> None:
    """What the archive holds is what the manifest says, no more and no less."""
    inside = {info.filename: info for info in archive.infolist() if info.filename != MANIFEST}
    if len(inside) + 1 != len(archive.infolist()):
        raise BackupError("holds one file twice")
    for name in sorted(inside.keys() ^ manifest.parts.keys()):
        what = "is in no list" if name in inside else "is missing"
        raise BackupError(f"{name} {what}; take another copy")
    for name, part in manifest.parts.items():
        if inside[name].file_size != part.size:
            raise BackupError(f"{name} has another size than was written; take another copy")
        if not name.startswith("rows/") and not _is_photo(name):
            raise BackupError(f"{name}: no file of a backup")
    known = {name_of(model) for model in kept_models()}
    for name in sorted(manifest.parts):
        if name.startswith("rows/") and name not in known:
            raise BackupError(f"{name}: made by a newer Sourloam ({manifest.sourloam})")


def _is_photo(name: str) -> bool:
    folder, _, rest = name.partition("/")
    stem = rest[3:-4]
    hexes = len(stem) == 64 and set(stem) <= set("0123456789abcdef")
    return folder == "photos" and hexes and rest == f"{stem[:2]}/{stem}.jpg"


def _refuse_newer(manifest: Manifest) -> None:
    """BackupError for a copy whose tables this version does not know."""
    known = {name for app, name in MigrationLoader(connection).disk_migrations if app == "logbook"}
    if manifest.migration not in known:
        raise BackupError(
            f"made by a newer Sourloam ({manifest.sourloam}, {manifest.migration}); "
            f"install that one"
        )


def restore(source: Path, photos: Path, say: Say) -> Manifest:
    """Fill the empty store that the settings name, and the folder of photos; what came in.

    BackupError where the copy is broken or the store is not empty; then nothing stays in the
    database, and what is left of photos is no harm.
    """
    archive, manifest = opened(source)
    try:
        with archive:
            _refuse_newer(manifest)
            _room_for(manifest, photos)
            _photos(archive, manifest, photos, say)
            with transaction.atomic():
                _rows(archive, manifest, say)
    except BackupError as error:
        raise BackupError(f"{source}: {error}") from None
    except (*_TORN, IntegrityError) as error:
        raise BackupError(
            f"{source}: torn, or changed ({_brief(error)}); take another copy"
        ) from None
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise BackupError(f"{source}: can't be restored ({why})") from None
    except DatabaseError as error:
        raise BackupError(f"{source}: the database refused it ({_brief(error)})") from None
    return manifest


def _rows(archive: zipfile.ZipFile, manifest: Manifest, say: Say) -> None:
    _refuse_full()
    for model in kept_models():
        _table(archive, manifest, model, say)
    _count_on()
    _refuse_broken(manifest, say)


def _room_for(manifest: Manifest, photos: Path) -> None:
    need = 2 * sum(part.size for part in manifest.parts.values()) + _SPARE
    free = shutil.disk_usage(photos).free
    if need > free:
        raise BackupError(f"needs about {need // 10**6} MB, and the disk has {free // 10**6} free")


def _refuse_full() -> None:
    for model in kept_models():
        if model._base_manager.exists():
            raise BackupError(
                "the place to restore into holds a logbook already; choose an empty one"
            )


def _refuse_broken(manifest: Manifest, say: Say) -> None:
    """What came in is checked before it is kept."""
    known = {f"{name} is not in the folder" for name in manifest.photos_missing}
    for finding in check(say):
        if finding.what not in known:
            raise BackupError(f"not what was written: {finding.where}: {finding.what}")
    sealed = {place.id: (place.entries, place.last_hash) for place in manifest.places}
    found = {pk: end for pk, *end in Place.objects.values_list("pk", "last_seq", "last_hash")}
    if {pk: tuple(end) for pk, end in found.items()} != sealed:
        raise BackupError("the places are not those that its manifest names")


def _table(
    archive: zipfile.ZipFile, manifest: Manifest, model: type[models.Model], say: Say
) -> None:
    name = name_of(model)
    part = manifest.parts.get(name)
    if part is None:  # a table that the older version did not have
        return
    say(f"restoring rows: {model._meta.model_name}")
    with archive.open(name) as file:
        lines = _lines(file, name, part)
        heading = _row(next(lines, b""), name, 0)
        fields = [_field(model, str(column), name) for column in heading]
        rows = (_made(model, fields, line, name, n) for n, line in enumerate(lines, start=1))
        dated = [field.attname for field in fields if _dates_itself(field)]
        while some := list(islice(rows, _AT_ONCE)):
            moments = [[getattr(one, column) for column in dated] for one in some]
            model._base_manager.bulk_create(some)
            if dated:
                _set_back(model, some, dated, moments)


def _dates_itself(field: models.Field[Any, Any]) -> bool:
    return bool(getattr(field, "auto_now", False) or getattr(field, "auto_now_add", False))


def _set_back(
    model: type[models.Model], rows: list[Any], dated: list[str], moments: list[list[Any]]
) -> None:
    """Moments that were stamped anew on the way in are put back to what the copy says."""
    for one, then in zip(rows, moments, strict=True):
        for column, moment in zip(dated, then, strict=True):
            setattr(one, column, moment)
    model._base_manager.bulk_update(rows, dated)


def _lines(file: Any, name: str, part: Part) -> Iterator[bytes]:
    """Every line; BackupError at the end unless all of it is what was written."""
    digest, number = hashlib.sha256(), -1
    while line := file.readline(MOST_LINE + 1):
        if len(line) > MOST_LINE:
            raise BackupError(f"{name}, line {number + 2}: longer than any row")
        digest.update(line)
        number += 1
        yield line
    if digest.hexdigest() != part.sha256 or number != part.rows:
        raise BackupError(f"{name} is not what was written; take another copy")


def _row(line: bytes, name: str, number: int) -> list[Any]:
    try:
        found = json.loads(line)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, list):
        raise BackupError(f"{name}, line {number + 1}: not a row; take another copy")
    return found


def _field(model: type[models.Model], column: str, name: str) -> models.Field[Any, Any]:
    for field in model._meta.concrete_fields:
        if field.attname == column:
            return field
    raise BackupError(f"{name}: column {column!r} is unknown here; made by a newer Sourloam")


def _made(
    model: type[models.Model],
    fields: list[models.Field[Any, Any]],
    line: bytes,
    name: str,
    number: int,
) -> models.Model:
    row = _row(line, name, number)
    if len(row) != len(fields):
        raise BackupError(f"{name}, line {number + 1}: {len(row)} values for {len(fields)} columns")
    try:
        pairs = zip(fields, row, strict=True)
        return model(**{field.attname: _value(field, value) for field, value in pairs})
    except (ValidationError, ValueError, TypeError, OverflowError, FieldDoesNotExist):
        raise BackupError(f"{name}, line {number + 1}: a value that can't stand there") from None


def _value(field: models.Field[Any, Any], value: Any) -> Any:
    if isinstance(field, models.ForeignKey):
        return field.target_field.to_python(value)
    return value if isinstance(field, models.JSONField) else field.to_python(value)


def _count_on() -> None:
    """Numbers given by the database go on after the largest that came in."""
    from django.core.management.color import no_style

    statements = connection.ops.sequence_reset_sql(no_style(), kept_models())
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def _photos(archive: zipfile.ZipFile, manifest: Manifest, folder: Path, say: Say) -> None:
    names = sorted(name for name in manifest.parts if name.startswith("photos/"))
    if names:
        say(f"restoring {len(names)} photos")
    for name in names:
        target = folder / name.removeprefix("photos/")
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        half = target.with_name(f".{secrets.token_hex(8)}.part")
        with archive.open(name) as file, open(half, "xb") as out:
            digest = _copied(file, out)
        if digest != manifest.parts[name].sha256:
            half.unlink()
            raise BackupError(f"{name} is not what was written; take another copy")
        half.replace(target)


def _copied(file: Any, out: BinaryIO) -> str:
    digest = hashlib.sha256()
    while chunk := file.read(_CHUNK):
        digest.update(chunk)
        out.write(chunk)
    out.flush()
    os.fsync(out.fileno())
    return digest.hexdigest()


def _brief(error: Exception) -> str:
    return (str(error).splitlines() or [type(error).__name__])[0]
