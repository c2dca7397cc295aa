"""What the doctor says of what is broken: one line, and the mend that helps there."""

import datetime as dt
import os
import sqlite3

import pytest
from django.core.files.base import ContentFile
from django.db import DatabaseError, IntegrityError, OperationalError, connection
from django.db.migrations.recorder import MigrationRecorder

from sourloam.logbook import unwritten
from sourloam.logbook.data_folder import DataFolder
from sourloam.logbook.models import Photo
from sourloam.logbook.people import make_place
from sourloam.logbook.photos import path_of, write_file
from sourloam.safekeeping import check, examine, examining

TODAY = dt.date(2026, 11, 30)
NAME = "5a" + "0" * 62


@pytest.fixture
def folder(tmp_path, settings):
    made = DataFolder(tmp_path / "data")
    made.prepare()
    made.database.touch()
    settings.PHOTOS = made.photos
    return made


def wrong(folder):
    """What is not well, by what was looked at: what was found, and the mend."""
    return {one.what: (one.found, one.mend) for one in examine(folder, TODAY) if not one.well}


@pytest.fixture
def photo(folder, django_user_model):
    person = django_user_model.objects.create_user("Zoë")
    place = make_place(person, "Flat at Alder Row", "Europe/Dublin")
    write_file(path_of(NAME), ContentFile(b"x").read())
    facts = {"size": 1, "width": 1, "height": 1, "person": person}
    Photo.objects.create(place=place, sha256=NAME, **facts)
    return path_of(NAME)


@pytest.mark.django_db
def test_lost_photos_are_counted_and_brought_back_from_a_copy(folder, photo):
    assert wrong(folder) == {}
    photo.unlink()
    found, mend = wrong(folder)["photos"]
    assert found == "1 of 1 are not in the folder"
    assert "from a copy" in mend
    assert [one.what for one in check()] == [f"{NAME} is not in the folder"]


@pytest.mark.django_db
def test_a_wrong_clock_hides_no_lost_photo(folder, photo, monkeypatch):
    def ahead():
        raise ValueError("later than now")

    asked = [
        (what, ahead if what == "clock and log" else look, mend)
        for what, look, mend in examining._QUESTIONS
    ]
    monkeypatch.setattr(examining, "_QUESTIONS", asked)
    photo.unlink()
    assert wrong(folder).keys() == {"clock and log", "photos"}


@pytest.mark.django_db
def test_tables_of_a_newer_version_are_told(folder):
    MigrationRecorder(connection).record_applied("logbook", "0099_far")
    assert wrong(folder)["tables"] == (
        "written by a newer Sourloam (0099_far)",
        "install that one",
    )


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("error", "mend"),
    [
        (DatabaseError("database disk image is malformed"), "sourloam restore sets a copy up"),
        (DatabaseError("file is not a database"), "sourloam restore sets a copy up"),
        (OperationalError("disk I/O error"), "make room on the disk"),
        (OperationalError("database is locked"), "stop that one"),
        (OperationalError("attempt to write a readonly database"), "chown -R USER"),
        (OperationalError("connection refused"), "start the database"),
        (OperationalError("database or disk is full"), "make room"),
    ],
    ids=lambda one: str(one)[:24],
)
def test_the_mend_goes_by_what_the_store_says(folder, monkeypatch, error, mend):
    def broken():
        raise error

    monkeypatch.setattr(examining, "_QUESTIONS", (("database", broken, "the usual mend"),))
    found, told = wrong(folder)["database"]
    assert found == str(error)
    assert mend in told


@pytest.mark.django_db
def test_what_can_not_be_written_is_named(folder, monkeypatch):
    shut, asked = folder.database, os.access
    monkeypatch.setattr(os, "access", lambda path, mode: path != shut and asked(path, mode))
    found, mend = wrong(folder)["data folder"]
    assert found == f"{shut} can't be written"
    assert "chmod -R u+rwX" in mend
    monkeypatch.setattr(examining, "_read_only", lambda _path: True)
    assert wrong(folder)["data folder"][1] == "mount its disk for writing"


@pytest.mark.django_db
def test_half_a_restore_is_told_once_nobody_works_at_it(folder):
    for number in (os.getpid(), 2**30):
        (folder.path.parent / f".data.{number}.part").mkdir()
    found, mend = wrong(folder)["left over"]
    assert str(2**30) in found
    assert mend.startswith("delete it: rm -r ")


@pytest.mark.parametrize("kind", ["torn", "none"])
def test_a_torn_file_is_the_stores_trouble_and_bad_data_is_not(tmp_path, kind):
    file = tmp_path / "a.sqlite3"
    store = sqlite3.connect(file)
    store.execute("CREATE TABLE a (b)")
    store.execute("INSERT INTO a VALUES (1)")
    store.commit()
    store.close()
    raw = bytearray(file.read_bytes())
    start = 4096 if kind == "torn" else 0
    raw[start:8192] = b"\xff" * (8192 - start)
    file.write_bytes(raw)
    with pytest.raises(DatabaseError) as told, connection.wrap_database_errors:
        sqlite3.connect(file).execute("SELECT * FROM a").fetchall()
    assert unwritten.of_store(told.value)
    assert unwritten.is_torn(told.value)
    assert unwritten.reason(told.value) == "broken"
    assert not unwritten.of_store(IntegrityError("UNIQUE constraint failed"))
