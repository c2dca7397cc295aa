"""The server that ``sourloam serve`` starts: prepared, migrated, then listening."""

from __future__ import annotations

import gc
import os
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sourloam.logbook import data_folder
from sourloam.logbook.data_folder import DataFolder, FolderError

if TYPE_CHECKING:
    from django.db.migrations.loader import MigrationLoader

SETTINGS = "sourloam.logbook.settings"
_PRIVATE = 0o077  # what is written is for this user alone
_THREADS = 8
_PHONES = 1000  # connections held open at once; a further one waits until one of them is closed
_MOST_BODY = 13_000_000  # a photo and what a form adds
# Folding makes many small objects that stay: looking for circles among them seldom halves its time.
_SELDOM = (100_000, 20, 50)
# A thread that has asked the database must get its turn again soon, though another draws a page:
# while an entry is stored the others wait for it.
_TURN_S = 0.0005
_LOOPBACK = ("127.0.0.1", "localhost", "::1")
_ANY = ("0.0.0.0", "::", "")

#: By the reason why a store took nothing: what is wrong, and what would be right.
_WHY = {
    "full": "the disk is full; make room",
    "broken": "the disk is full, or broken and shut; make room, or look at it",
    "closed": "can't be written; give it to the user who runs sourloam",
    "busy": "another program holds the database; stop that one first",
    "gone": "the database does not answer; start it, or mend SOURLOAM_DATABASE",
}


_TORN = "the file is torn; keep this folder as it is and restore a copy into a new one"


class ServingError(Exception):
    """The server can't start; one line: why, and what would be right."""


def folder_for(data: Path | None, demo: bool) -> DataFolder:
    """The folder to serve: the one given, else the usual one; the demo never goes there."""
    if data is not None:
        return DataFolder(data.expanduser().absolute())
    found = data_folder.chosen()
    return DataFolder(found.path.with_name(f"{found.path.name}-demo")) if demo else found


def prepare(folder: DataFolder, hosts: tuple[str, ...] = (), static: bool = True) -> None:
    """Folder, settings, database and static files ready; FolderError or ServingError if not."""
    os.umask(_PRIVATE)
    folder.prepare()
    reach(folder, hosts)
    from django.core.management import call_command
    from django.db import Error

    from sourloam.logbook import unwritten

    try:
        call_command("migrate", verbosity=0, interactive=False)
        if static:
            # Cleared, since a file of an older version may look newer than the installed one.
            call_command("collectstatic", verbosity=0, interactive=False, clear=True)
    except (OSError, Error) as error:
        if isinstance(error, Error) and not unwritten.of_store(error):
            raise
        line = " ".join(str(error).split())
        raise ServingError(f"{folder.path}: {why(error)} ({line})") from None


def reach(folder: DataFolder, hosts: tuple[str, ...] = ()) -> None:
    """Settings ready and nothing changed; ServingError for what a newer version wrote."""
    os.environ[data_folder.DATA] = str(folder.path)
    os.environ["SOURLOAM_STATIC"] = "collected"
    os.environ["DJANGO_SETTINGS_MODULE"] = SETTINGS
    known = os.environ.get("SOURLOAM_HOSTS", "")
    os.environ["SOURLOAM_HOSTS"] = ",".join([*filter(None, [known]), *hosts])
    import django

    django.setup()
    _refuse_newer()


def _refuse_newer() -> None:
    """A database that a newer version wrote must not be touched by this one."""
    from django.db import DatabaseError, connection
    from django.db.migrations.loader import MigrationLoader

    try:
        loader = MigrationLoader(connection)
    except DatabaseError as error:
        name, line = connection.settings_dict["NAME"], str(error).splitlines()[0]
        raise ServingError(f"{name}: {why(error)} ({line})") from None
    newer = of_newer(loader)
    if newer:
        raise ServingError(
            f"{connection.settings_dict['NAME']}: written by a newer Sourloam "
            f"({newer[-1]}); install that one"
        )


def why(error: Exception) -> str:
    """What is wrong with a store that can't work, and what would be right."""
    from sourloam.logbook import unwritten

    return _TORN if unwritten.is_torn(error) else _WHY[unwritten.reason(error)]


def of_newer(loader: MigrationLoader) -> list[str]:
    """The changes of its tables that this version does not know."""
    unknown = set(loader.applied_migrations or ()) - set(loader.disk_migrations)
    return sorted(name for app, name in unknown if app == "logbook")


def load_demo(begins: Callable[[], None] = lambda: None) -> int:
    """The invented season, unless it is there; ServingError in a folder with places of one's own.

    ``begins`` is called where it must be made.

    Whoever gives a name and a password first becomes coordinator of its places.
    """
    import datetime as dt

    from sourloam.logbook.demo.ids import is_demo
    from sourloam.logbook.demo.season import load_season
    from sourloam.logbook.models import Place

    ids = list(Place.objects.values_list("id", flat=True))
    if not ids:
        begins()
        return load_season(None, dt.date.today())
    if not all(is_demo(one) for one in ids):
        raise ServingError("--demo: this folder holds a logbook of your own; choose an empty one")
    return 0


def bound(host: str, port: int) -> socket.socket:
    """A listening socket; ServingError where the address can't be had."""
    try:
        family = socket.getaddrinfo(host or "0.0.0.0", port, type=socket.SOCK_STREAM)[0]
        listener = socket.socket(family[0], socket.SOCK_STREAM)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(family[4])
    except socket.gaierror:
        raise ServingError(f"--host {host}: not an address of this machine") from None
    except OverflowError:
        raise ServingError(f"--port {port}: choose from 1 to 65535") from None
    except PermissionError:
        raise ServingError(f"--port {port}: not for you; choose one above 1023") from None
    except OSError as error:
        reason = "taken already; choose another with --port"
        raise ServingError(
            f"{host}:{port}: {reason if error.errno == 98 else (error.strerror or '').lower()}"
        ) from None
    return listener


def names_for(host: str) -> tuple[str, ...]:
    """By which names people may call a server on this host."""
    if host in _LOOPBACK:
        return ()
    if host not in _ANY:
        return (host,)
    name = socket.gethostname()
    found = {name, f"{name}.local", *_own_addresses()}
    return tuple(sorted(found))


def _own_addresses() -> set[str]:
    """Addresses of this machine; nothing is sent to find them."""
    found: set[str] = set()
    with suppress(OSError):
        found.update(str(a[4][0]) for a in socket.getaddrinfo(socket.gethostname(), None))
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # an address for examples: only the route is looked up
        found.add(str(probe.getsockname()[0]))
    return found


def run(listener: socket.socket, say: Callable[[str], None], foresee: bool = True) -> None:
    """Serve until told to stop; ``say`` gets the address once people may come."""
    from django.urls import get_resolver
    from waitress import create_server

    from sourloam.logbook.foreseeing import listen
    from sourloam.logbook.wsgi import application

    # Two threads that import rooms which need each other may meet one half made: all pages are
    # loaded before there is a second thread.
    get_resolver().url_patterns  # noqa: B018 - looking loads them
    server = create_server(application, sockets=[listener], **_options())
    worker = _start_worker() if foresee else None
    host, port = listener.getsockname()[:2]
    signal.signal(signal.SIGTERM, _stop)
    say(f"http://{'127.0.0.1' if host in _ANY else host}:{port}/")
    gc.freeze()
    gc.set_threshold(*_SELDOM)
    sys.setswitchinterval(_TURN_S)
    warming = threading.Thread(target=_warm, args=(foresee,), daemon=True)
    warming.start()
    try:
        server.run()
    finally:
        listen(None)
        if worker is not None:
            worker.kill()  # what it had not kept yet waits in the database
            worker.wait()
    if warming.is_alive():
        _leave_at_once()


def _leave_at_once() -> None:
    """End without the interpreter's farewell: a thread that it breaks off inside compiled code
    takes the process down with a fatal error."""
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(0)


def _options() -> dict[str, Any]:
    options: dict[str, Any] = {
        "threads": _THREADS,
        "connection_limit": _PHONES,
        "asyncore_use_poll": True,  # without it no connection may have a number above 1023
        "max_request_body_size": _MOST_BODY,
        "ident": None,
        "clear_untrusted_proxy_headers": True,
    }
    if os.environ.get("SOURLOAM_BEHIND") == "1":
        options |= {
            "trusted_proxy": "127.0.0.1",
            "trusted_proxy_headers": {"x-forwarded-proto", "x-forwarded-for", "x-forwarded-host"},
        }
    return options


def _start_worker() -> subprocess.Popen[bytes]:
    from sourloam.logbook import foreseeing, foreseeing_process

    worker = foreseeing_process.start()
    foreseeing.listen(worker.stdin)  # type: ignore[arg-type]
    return worker


def _warm(models: bool) -> None:
    """What the first pages need: the places' states, then the compiled models."""
    from django.conf import settings
    from django.db import connection
    from django.utils.module_loading import import_string

    from sourloam.logbook.standing import warm

    try:
        warm()
    finally:
        connection.close()
    for name in settings.EXPECTED if models else ():
        import_string(name)()


def _stop(*_signal: object) -> None:
    raise SystemExit(0)


__all__ = ["FolderError", "ServingError", "bound", "folder_for", "load_demo", "prepare", "run"]
