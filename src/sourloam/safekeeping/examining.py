"""What is wrong with an installation, and how to mend it."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import stat
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from sourloam.logbook import data_folder
from sourloam.logbook.data_folder import DataFolder

_ROOM = 500_000_000  # bytes: a year of photos of a busy place
_OTHERS = stat.S_IRWXG | stat.S_IRWXO
_AHEAD = dt.timedelta(minutes=5)  # clocks of two machines may differ so much
_ALL_ELSE = ("database", "tables")  # without these nothing further can be asked
_BEGIN = "sourloam serve begins a new one here; sourloam restore sets a copy up in a new folder"
_LOST = "bring the folder photos back from a copy; sourloam check names what is lost"
_AS_IT_IS = "keep this folder as it is; sourloam restore sets a copy up in a new one"
_BUILT = dt.date(2026, 1, 1)  # no clock that is right stands before this version


@dataclass(frozen=True)
class Examined:
    """One thing looked at: ``well`` or not, what was found, and how to mend it."""

    what: str
    well: bool
    found: str
    mend: str = ""


class _Wrong(Exception):
    """What was found of a logbook, where its mend is not the usual one of the question."""

    def __init__(self, found: str, mend: str) -> None:
        super().__init__(found)
        self.mend = mend


def examine(folder: DataFolder, today: dt.date) -> Iterator[Examined]:
    """Look at everything that the logbook stands on; changes nothing."""
    yield _python()
    yield _clock(today)
    yield _compiled()
    yield from _folder(folder)
    yield _settings()
    yield from _database(folder)


def _python() -> Examined:
    found = ".".join(map(str, sys.version_info[:3]))
    return Examined("Python", sys.version_info >= (3, 11), found, "install Python 3.11 or newer")


def _clock(today: dt.date) -> Examined:
    mend = "set the machine's clock: entries would come under wrong days"
    return Examined("clock", today >= _BUILT, today.isoformat(), mend)


def _compiled() -> Examined:
    home = Path(os.environ.get("NUMBA_CACHE_DIR") or Path.home())
    well = os.access(home if home.exists() else home.parent, os.W_OK) or os.access(
        tempfile.gettempdir(), os.W_OK
    )
    found = "can be kept" if well else "can't be kept: each start compiles anew"
    return Examined("compiled model", well, found, "give the user a home that can be written")


def _folder(folder: DataFolder) -> Iterator[Examined]:
    path = folder.path
    if not path.exists():
        mend = "sourloam serve makes it; or name yours with --data"
        yield Examined("data folder", False, f"{path} is not there", mend)
        return
    shut = [one for one in _written(folder) if not os.access(one, os.W_OK)]
    found = f"{shut[0]} can't be written" if shut else str(path)
    mend = "mount its disk for writing" if _read_only(path) else _give(path)
    yield Examined("data folder", not shut, found, mend)
    open_to = path.stat().st_mode & _OTHERS
    found = "for its owner alone" if not open_to else "others of this machine can look into it"
    yield Examined("privacy", not open_to, found, f"chmod -R go= {path}")
    free = shutil.disk_usage(path).free
    mend = "make room: entries are refused, never half kept, on a full disk"
    yield Examined("disk", free > _ROOM, f"{free // 10**6} MB free", mend)
    yield _key(folder)
    yield from _left_over(path)


def _read_only(path: Path) -> bool:
    return hasattr(os, "statvfs") and bool(os.statvfs(path).f_flag & os.ST_RDONLY)


def _give(path: Path) -> str:
    owned = f"chown -R USER {path}; chmod -R u+rwX {path}"
    return f"give it to the user who runs sourloam: {owned}"


def _written(folder: DataFolder) -> Iterator[Path]:
    """What the server writes into."""
    yield folder.path
    beside = (folder.database.with_name(folder.database.name + end) for end in ("-wal", "-shm"))
    yield from filter(Path.exists, (folder.database, *beside, folder.photos))
    if os.access(folder.photos, os.R_OK | os.X_OK):
        yield from filter(Path.is_dir, folder.photos.iterdir())


def _left_over(path: Path) -> Iterator[Examined]:
    """Halves of restores that were killed hold what the logbook holds."""
    try:
        found = [one for one in path.parent.glob(f".{path.name}.*.part") if not _alive(one)]
    except OSError:
        return
    for half in found:
        told = f"{half}: a restore was stopped there"
        yield Examined("left over", False, told, f"delete it: rm -r {half}")


def _alive(half: Path) -> bool:
    number = half.name.split(".")[-2]
    known = Path("/proc/self").exists() and number.isdecimal()
    return not known or Path(f"/proc/{number}").exists()


def _key(folder: DataFolder) -> Examined:
    try:
        present = folder.key_file.exists() and bool(folder.secret_key())
    except data_folder.FolderError as error:
        return Examined("secret key", False, str(error), f"delete {folder.key_file}: a new one is")
    found = "there" if present else "missing"
    return Examined("secret key", present, found, "sourloam serve makes one; all sign in again")


def _settings() -> Examined:
    https = os.environ.get("SOURLOAM_HTTPS") == "1"
    behind = os.environ.get("SOURLOAM_BEHIND") == "1"
    if behind and not https:
        found = "behind another server, but people are not said to come by https"
        return Examined("settings", False, found, "set SOURLOAM_HTTPS=1 too")
    found = "https" if https else "plain http: phones keep no pages for a shed without signal"
    return Examined("settings", True, found)


def _database(folder: DataFolder) -> Iterator[Examined]:
    elsewhere = os.environ.get(data_folder.DATABASE)
    if not elsewhere and not folder.database.exists():
        yield Examined("logbook", False, f"none in {folder.path}", _BEGIN)
        return
    for what, look, mend in _QUESTIONS:
        try:
            found = look()
        except Exception as error:
            line = (str(error).splitlines() or [type(error).__name__])[0]
            yield Examined(what, False, line, _mend(error, mend, folder))
            if what in _ALL_ELSE or not isinstance(error, _Wrong | ValueError):
                return
            continue
        yield Examined(what, True, found)


def _mend(error: Exception, usual: str, folder: DataFolder) -> str:
    """What helps: by what the store says, where it is the store that can't work."""
    from sourloam.logbook import unwritten

    if isinstance(error, _Wrong):
        return error.mend
    if not unwritten.of_store(error):
        return usual
    if unwritten.is_torn(error):
        return _AS_IT_IS
    return {
        "full": "make room: entries are refused, never half kept, on a full disk",
        "broken": "make room on the disk, or look whether it is broken",
        "closed": _give(folder.path),
        "busy": "another program holds the database: stop that one",
        "gone": "start the database, or mend SOURLOAM_DATABASE",
    }[unwritten.reason(error)]


def _reached() -> str:
    from django.db import connection

    connection.ensure_connection()
    return {"sqlite": "SQLite", "postgresql": "PostgreSQL"}[connection.vendor]


def _promises() -> str:
    from django.db import connection

    from sourloam.logbook.databases import broken_promises

    broken = broken_promises(connection)
    if broken:
        raise ValueError("; ".join(broken))
    return "an acknowledged entry outlives a power cut"


def _tables() -> str:
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    from sourloam.logbook.serving import of_newer

    executor = MigrationExecutor(connection)
    newer = of_newer(executor.loader)
    if newer:
        raise _Wrong(f"written by a newer Sourloam ({newer[-1]})", "install that one")
    if not executor.loader.applied_migrations:
        raise _Wrong("none: the database is empty", _BEGIN)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise ValueError("kept by an older Sourloam")
    return "of this version"


def _kept() -> str:
    from sourloam.logbook.models import Entry, Place

    return f"{Place.objects.count()} places, {Entry.objects.count()} entries"


def _photos() -> str:
    from sourloam.logbook.models import Photo
    from sourloam.logbook.photos import path_of

    names = set(Photo.objects.values_list("sha256", flat=True))
    try:
        lost = sum(not path_of(name).exists() for name in names)
    except PermissionError as error:
        raise _Wrong(f"can't be read: {error.filename}", _give(data_folder.chosen().path)) from None
    if lost:
        raise _Wrong(f"{lost} of {len(names)} are not in the folder", _LOST)
    return f"all {len(names)} in the folder" if names else "none yet"


def _forecasts() -> str:
    from django.db.models import F

    from sourloam.logbook.models import PlaceNow

    waiting = PlaceNow.objects.filter(wanted_seq__gt=F("done_seq")).count()
    trouble = PlaceNow.objects.exclude(trouble="").values_list("trouble", flat=True).first()
    if trouble:
        raise ValueError(trouble)
    return f"{waiting} places wait" if waiting else "none waits"


def _in_order() -> str:
    from django.db.models import Max
    from django.utils import timezone

    from sourloam.logbook.models import Entry

    newest = Entry.objects.aggregate(at=Max("received_at"))["at"]
    if newest is not None and newest > timezone.now() + _AHEAD:
        raise ValueError(f"the newest entry came in at {newest:%Y-%m-%d %H:%M} UTC, later than now")
    return "stands after the newest entry"


_QUESTIONS: tuple[tuple[str, Callable[[], str], str], ...] = (
    ("database", _reached, "start the database, or mend SOURLOAM_DATABASE"),
    ("safety", _promises, "put the data folder on a local disk, not on a network share"),
    ("tables", _tables, "copy the folder, then start sourloam serve once"),
    ("kept", _kept, "run sourloam check; restore a copy if it finds damage"),
    ("clock and log", _in_order, "set the machine's clock: it was set back since"),
    ("photos", _photos, _AS_IT_IS),
    ("forecasts", _forecasts, "the log goes on without; run sourloam serve in view and look"),
)
