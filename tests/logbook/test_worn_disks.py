"""A full disk, a disk that may not be written, a clock set back, two servers on one file.

Each time: no acknowledged entry is lost, none is there twice, and one clear line says what is
wrong.
"""

import contextlib
import datetime as dt
import json
import os
import signal
import sqlite3
import threading

import pytest
from django.db import connection
from django.urls import reverse
from kill_series import plain
from logbook_cast import fed
from logbook_phone import Phone, Servers, stored, unbroken

from sourloam.logbook import chain, recording, serving
from sourloam.logbook.data_folder import DataFolder
from sourloam.logbook.photos import keep_photo
from sourloam.logbook.recording import record_entry
from sourloam.logbook.refusals import Refused
from sourloam.logbook.unwritten import reason

ROOM = 60_000  # bytes that a file may still grow: a few dozen entries


def answers_until(phone, place, unwanted, most):
    """Statuses of entries sent one by one, until one is not taken."""
    told = []
    for _ in range(most):
        entry = fed(place)
        told.append((entry, phone.send(entry)))
        if told[-1][1] == unwanted:
            break
    return told


@pytest.mark.slow
def test_on_a_full_disk_nothing_acknowledged_is_lost_and_the_line_says_why(
    tmp_path, record_property
):
    log = tmp_path / "logbook.sqlite3"
    with contextlib.closing(Servers(tmp_path)) as servers:
        place = servers.somebody["place"]
        with contextlib.closing(sqlite3.connect(log)) as database:
            database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        server = servers.start(most_bytes=log.stat().st_size + ROOM)
        with contextlib.closing(Phone(server["address"], servers.somebody)) as phone:
            told = answers_until(phone, place, 503, 400)
            said = json.loads(phone.said)
        os.kill(server["pid"], signal.SIGKILL)
        names = {plain(row[0]) for row in stored(tmp_path)}
        server = servers.start()  # room was made
        last = told[-1][0]
        with contextlib.closing(Phone(server["address"], servers.somebody)) as phone:
            assert phone.send(last) == 201
            assert phone.send(last) == 200
        os.kill(server["pid"], signal.SIGTERM)
    assert [status for _, status in told] == [201] * (len(told) - 1) + [503]
    assert "disk is full" in said["detail"]
    assert {plain(entry["id"]) for entry, _ in told[:-1]} <= names
    assert plain(last["id"]) not in names
    assert unbroken(stored(tmp_path))
    record_property("tries", len(told))


@contextlib.contextmanager
def closed_store():
    """SQLite answers as it does on a disk that may not be written."""
    connection.ensure_connection()
    store = connection.connection  # past the program: it may stand in a transaction that broke
    store.execute("PRAGMA query_only = ON")
    try:
        yield
    finally:
        store.execute("PRAGMA query_only = OFF")


sqlite_only = pytest.mark.skipif("SOURLOAM_DATABASE" in os.environ, reason="a SQLite switch")


@sqlite_only
def test_an_entry_that_the_disk_refuses_is_told_so_and_taken_later(cast):
    entry = fed(cast.home.pk)
    with closed_store():
        answer = record_entry(cast.keeper, entry)
    assert (answer.status, answer.fault.sort) == (503, "closed")
    assert "may not be written" in answer.detail
    assert record_entry(cast.keeper, entry).status == 201
    assert record_entry(cast.keeper, entry).status == 200


@sqlite_only
def test_a_page_that_writes_on_such_a_disk_says_so_and_how_it_is_mended(cast, client):
    client.force_login(cast.coordinator, backend="django.contrib.auth.backends.ModelBackend")
    with closed_store():
        answer = client.post(reverse("web:invite", args=[cast.home.pk]), {"role": "reader"})
    assert answer.status_code == 503
    assert "may not be written" in answer.content.decode()


def test_a_photo_that_the_disk_refuses_leaves_no_half_file(cast, monkeypatch, settings, tmp_path):
    from django.core.files.uploadedfile import SimpleUploadedFile
    from PIL import Image

    settings.PHOTOS = tmp_path
    drawn = tmp_path / "one.png"
    Image.new("RGB", (8, 8), "red").save(drawn)

    def full(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Refused, match="disk is full") as refused:
        keep_photo(cast.keeper, cast.home.pk, SimpleUploadedFile("a.png", drawn.read_bytes()))
    assert refused.value.status == 503
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == [drawn]


@pytest.mark.parametrize(
    ("error", "why"),
    [
        (OSError(28, "No space left on device"), "full"),
        (OSError(30, "Read-only file system"), "closed"),
        (ValueError("could not extend file: No space left on device"), "full"),
        (ValueError("cannot execute INSERT in a read-only transaction"), "closed"),
        (ValueError("database is locked"), "busy"),
        (ValueError("server closed the connection unexpectedly"), "gone"),
        (ValueError("disk I/O error"), "broken"),
        (OSError(5, "Input/output error"), "broken"),
    ],
)
def test_what_stores_and_disks_say_is_told_in_one_of_five_ways(error, why):
    assert reason(error) == why


def test_a_folder_that_fills_up_while_it_is_set_up_is_told_in_one_line(tmp_path, monkeypatch):
    from django.core import management
    from django.db import OperationalError

    def full(*_args, **_more):
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(management, "call_command", full)
    monkeypatch.setattr(serving, "reach", lambda *_: None)
    with pytest.raises(serving.ServingError, match="make room") as told:
        serving.prepare(DataFolder(tmp_path / "data"))
    assert "\n" not in str(told.value)


def test_a_clock_set_back_loses_nothing_and_breaks_no_chain(cast, monkeypatch):
    real, back = recording.timezone.now, dt.timedelta(days=400)
    entries = [fed(cast.home.pk) for _ in range(6)]
    for number, entry in enumerate(entries):
        if number == 3:
            monkeypatch.setattr(recording.timezone, "now", lambda: real() - back)
        assert record_entry(cast.keeper, entry).status == 201
    rows = list(cast.home.entries.order_by("seq"))
    assert [str(row.pk) for row in rows] == [entry["id"] for entry in entries]
    assert rows[3].received_at < rows[2].received_at
    assert chain.first_break(cast.home.pk) is None


@sqlite_only
@pytest.mark.slow
def test_two_servers_on_one_file_store_each_entry_once(tmp_path, record_property):
    with contextlib.closing(Servers(tmp_path)) as servers:
        two = [servers.start(), servers.start(too=True)]
        entries = [fed(servers.somebody["place"]) for _ in range(24)]
        told = {0: [], 1: []}

        def send(number):
            with contextlib.closing(Phone(two[number]["address"], servers.somebody)) as phone:
                mine = entries if number == 0 else entries[::-1]
                told[number] = [(entry["id"], phone.send(entry)) for entry in mine]

        threads = [threading.Thread(target=send, args=(number,)) for number in told]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(timeout=60)
        for server in two:
            os.kill(server["pid"], signal.SIGTERM)
    for entry in entries:
        statuses = sorted(dict(answers)[entry["id"]] for answers in told.values())
        assert statuses == [200, 201]
    rows = stored(tmp_path)
    assert len(rows) == len(entries) + 1, "with the one that put up the vessel"
    assert unbroken(rows)
    record_property("tries", 2 * len(entries))
