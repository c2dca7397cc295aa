"""``sourloam backup``, ``restore``, ``check``, ``doctor``, ``person``: keep years of work safe."""

from __future__ import annotations

import datetime as dt
import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sourloam.cli.counting import counted
from sourloam.cli.trouble import Refusal, say

if TYPE_CHECKING:
    from sourloam.logbook.data_folder import DataFolder

_DATA = Annotated[
    Path | None, typer.Option(help="The logbook's folder; the usual one if not given.")
]
_WRONG = 1


def backup(
    file: Annotated[
        Path | None, typer.Argument(help="The copy to make; a dated name if not given.")
    ] = None,
    data: _DATA = None,
) -> None:
    """Copy the whole logbook into one file.

    People may go on writing meanwhile. It holds every entry, photo, person and role, and hashes of
    passwords: keep it as safe as the logbook itself.
    """
    with _reached(_found(data)):
        from sourloam import safekeeping

        target = file or Path(f"sourloam-{dt.datetime.now():%Y-%m-%d-%H%M%S}.zip")
        try:
            done = safekeeping.write_backup(target, say)
        except safekeeping.BackupError as error:
            raise Refusal(str(error)) from None
    typer.echo(
        f"{target}: {counted(done.places, 'place')}, {counted(done.entries, 'entry', 'entries')}, "
        f"{counted(done.photos, 'photo')}, {done.size / 1e6:.1f} MB"
    )
    if done.photos_missing:
        lost = counted(len(done.photos_missing), "photo")
        say(f"{lost} named in the log, but not in the folder")
        raise typer.Exit(_WRONG)


def restore(
    file: Annotated[Path, typer.Argument(help="A copy that sourloam backup made.")],
    data: Annotated[Path, typer.Option(help="The new folder: missing, or empty.")],
) -> None:
    """Set up a logbook from a copy, in a new folder.

    All of it, or nothing.
    With SOURLOAM_DATABASE set the rows go into that empty database: so a logbook moves from SQLite
    to PostgreSQL and back. Everything is checked before it is kept.
    """
    from sourloam.logbook import serving
    from sourloam.logbook.data_folder import DataFolder

    target = data.expanduser().absolute()
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise Refusal(f"--data {data}: is not empty; choose a new folder")
    draft = DataFolder(target.with_name(f".{target.name}.{os.getpid()}.part"))
    try:
        serving.prepare(draft, static=False)
        total, moment = _restored(file, draft)
        _close()
        draft.path.rename(target)
    except (serving.FolderError, serving.ServingError) as error:
        raise Refusal(str(error)) from None
    except OSError as error:
        raise Refusal(f"--data {data}: {(error.strerror or str(error)).lower()}") from None
    finally:
        shutil.rmtree(draft.path, ignore_errors=True)
    typer.echo(f"{data}: {total}, as of {moment}")
    typer.echo("People sign in again. Calendars and links to join hold on.")


def _restored(file: Path, draft: DataFolder) -> tuple[str, str]:
    from sourloam import safekeeping

    try:
        manifest = safekeeping.restore(file, draft.photos, say)
    except safekeeping.BackupError as error:
        raise Refusal(str(error)) from None
    entries = sum(place.entries for place in manifest.places)
    held = f"{counted(len(manifest.places), 'place')}, {counted(entries, 'entry', 'entries')}"
    return held, manifest.made_at[:16]


def check(data: _DATA = None) -> None:
    """Go through every entry, state and photo of a logbook.

    Ends with 1 if anything is not as it was written.
    """
    faults = 0
    with _reached(_found(data)):
        from sourloam import safekeeping

        for finding in safekeeping.check(say):
            faults += 1
            typer.echo(f"{finding.where}: {finding.what}")
    if faults:
        found = counted(faults, "fault")
        say(f"{found}; keep this folder as it is and restore a copy into a new one")
        raise typer.Exit(_WRONG)
    typer.echo("All is as it was written.")


def doctor(data: _DATA = None) -> None:
    """Say what is wrong here, and how to mend it.

    Looks at the machine, the data folder, the settings and the database; ends with 1 if anything
    is wrong.
    """
    from sourloam.logbook import serving

    folder = serving.folder_for(data, demo=False)
    _settle(folder)
    from sourloam import safekeeping

    wrong = 0
    for one in safekeeping.examine(folder, dt.date.today()):
        wrong += not one.well
        typer.echo(f"{'well ' if one.well else 'WRONG'}  {one.what}: {one.found}")
        if not one.well:
            typer.echo(f"       {one.mend}")
    _close()
    if wrong:
        raise typer.Exit(_WRONG)


def person(
    name: Annotated[str, typer.Argument(help="Whom: the name with which they sign in.")],
    erase: Annotated[
        bool, typer.Option("--erase", help="Take the name out of the logbook, for ever.")
    ] = False,
    data: _DATA = None,
) -> None:
    """Print all that is kept of a person; or take them out.

    What is kept is told as JSON.

    With --erase their account, sessions, links and addresses end, and what they wrote is nobody's;
    what was written stays, and each place's chain is sealed anew. Copies made before still hold the
    name.
    """
    with _reached(_found(data)):
        from sourloam.safekeeping import BackupError, persons

        try:
            whom = persons.found(name)
            if not erase:
                typer.echo(json.dumps(persons.about(whom), ensure_ascii=False, indent=1))
                return
            done = persons.erase(whom)
        except BackupError as error:
            raise Refusal(str(error)) from None
    entries = counted(done.entries, "entry", "entries")
    typer.echo(f"{done.name}: out of {entries} in {counted(done.places, 'place')}.")
    if done.mentioned:
        mentioned = counted(done.mentioned, "entry", "entries")
        say(f"that word stands in what was written in {mentioned}: look there yourself")


def _found(data: Path | None) -> DataFolder:
    from sourloam.logbook import data_folder, serving

    folder = serving.folder_for(data, demo=False)
    if not os.environ.get(data_folder.DATABASE) and not folder.database.exists():
        raise Refusal(f"{folder.path}: holds no logbook; name its folder with --data")
    return folder


@contextmanager
def _reached(folder: DataFolder) -> Iterator[None]:
    from sourloam.logbook import serving

    try:
        serving.reach(folder)
        _refuse_older()
        yield
    except (serving.FolderError, serving.ServingError) as error:
        raise Refusal(str(error)) from None
    finally:
        _close()


def _refuse_older() -> None:
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    if not executor.loader.applied_migrations:
        raise Refusal(
            f"{connection.settings_dict['NAME']}: the database is empty; sourloam serve begins a "
            f"new logbook there, sourloam restore sets a copy up in a new folder"
        )
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise Refusal(
            "kept by an older Sourloam: use that one, or start sourloam serve once to bring it up"
        )


def _settle(folder: DataFolder) -> None:
    import django

    from sourloam.logbook import data_folder, serving

    os.environ[data_folder.DATA] = str(folder.path)
    os.environ["DJANGO_SETTINGS_MODULE"] = serving.SETTINGS
    try:
        django.setup()
    except serving.FolderError as error:
        raise Refusal(str(error)) from None


def _close() -> None:
    from django.apps import apps
    from django.db import connections

    if apps.ready:
        connections.close_all()
