"""`sourloam serve` starts on a fresh folder, says where it is, and tells trouble in one line."""

import contextlib
import os
import re
import socket
import sqlite3
import subprocess
import sys
import urllib.request

import pytest

from sourloam.logbook import serving

COMMAND = [sys.executable, "-c", "from sourloam.cli import main; main()", "serve"]


def environment(**more):
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("SOURLOAM_", "DJANGO_"))}
    return kept | more


def refused(*arguments):
    done = subprocess.run(
        [*COMMAND, *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        env=environment(),
    )
    assert done.returncode == 2, done.stdout + done.stderr
    assert len(done.stderr.splitlines()) == 1
    return done.stderr


@contextlib.contextmanager
def served(data, *arguments):
    """The address of a server on this folder."""
    process = subprocess.Popen(
        [*COMMAND, "--data", str(data), "--port", "0", *arguments],
        stdout=subprocess.PIPE,
        text=True,
        env=environment(),
    )
    try:
        line = process.stdout.readline()
        yield re.search(r"http://\S+/", line)[0], line
    finally:
        process.terminate()
        assert process.wait(timeout=30) == 0
        process.stdout.close()


def test_a_fresh_folder_is_served_and_asks_for_its_first_keeper(tmp_path):
    with served(tmp_path / "data") as (address, line):
        assert str(tmp_path / "data") in line
        with urllib.request.urlopen(address, timeout=30) as answer:
            assert answer.url.endswith("/start")
            page = answer.read().decode()
        style = re.search(r'href="(/static/[^"]+\.css)"', page)[1]
        assert re.search(r"\.[0-9a-f]{12}\.css$", style)  # named by its content, kept for long
        with urllib.request.urlopen(address.rstrip("/") + style, timeout=30) as answer:
            assert "immutable" in answer.headers["Cache-Control"]
    with sqlite3.connect(tmp_path / "data" / "logbook.sqlite3") as database:
        assert database.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    database.close()
    assert {p.name for p in (tmp_path / "data").iterdir()} >= {"logbook.sqlite3", "secret-key"}
    older = tmp_path / "data" / "static" / "sourloam" / "moments.js"
    older.write_text("// of an older version, written later than this one was built")
    with served(tmp_path / "data") as (address, _line):  # and again
        assert urllib.request.urlopen(address, timeout=30).status == 200
        module = f"{address}static/sourloam/moments.js"
        assert b"export" in urllib.request.urlopen(module, timeout=30).read()


def test_a_call_by_a_name_that_is_not_its_own_is_refused(tmp_path):
    with served(tmp_path) as (address, _line):
        call = urllib.request.Request(address, headers={"Host": "elsewhere.example"})
        with pytest.raises(urllib.error.HTTPError) as told:
            urllib.request.urlopen(call, timeout=30)
        assert told.value.code == 400
        told.value.close()


def test_a_port_that_is_taken_is_told_with_what_to_do(tmp_path):
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        line = refused("--data", tmp_path, "--port", busy.getsockname()[1])
    assert "taken" in line
    assert "--port" in line


def test_a_folder_that_can_not_be_written_is_told_with_what_to_do(tmp_path):
    (tmp_path / "file").write_text("")
    line = refused("--data", tmp_path / "file" / "data", "--port", 0)
    assert "can't be written" in line
    assert "--data" in line


def test_a_host_that_is_not_here_is_told(tmp_path):
    assert "--host" in refused("--data", tmp_path, "--host", "no.such.host.invalid", "--port", 0)


def test_a_database_of_a_newer_version_is_left_alone(tmp_path):
    with served(tmp_path):
        pass
    with sqlite3.connect(tmp_path / "logbook.sqlite3") as database:
        database.execute(
            "INSERT INTO django_migrations (app, name, applied)"
            " VALUES ('logbook', '9999_later', '2030-01-01')"
        )
    database.close()
    line = refused("--data", tmp_path, "--port", 0)
    assert "newer" in line
    assert "9999_later" in line


def test_a_file_that_is_no_database_is_told(tmp_path):
    (tmp_path / "logbook.sqlite3").write_bytes(b"not a database " * 100)
    assert "no logbook can be read" in refused("--data", tmp_path, "--port", 0)


def test_the_demo_never_goes_where_ones_own_log_is(monkeypatch, tmp_path):
    monkeypatch.setenv("SOURLOAM_DATA", str(tmp_path / "mine"))
    assert serving.folder_for(None, demo=False).path == tmp_path / "mine"
    assert serving.folder_for(None, demo=True).path == tmp_path / "mine-demo"


@pytest.mark.django_db
def test_the_demo_is_refused_beside_places_of_ones_own(cast):
    with pytest.raises(serving.ServingError, match="--demo"):
        serving.load_demo()


def test_a_server_for_this_machine_alone_answers_to_no_other_name():
    assert serving.names_for("127.0.0.1") == ()
    assert serving.names_for("192.0.2.5") == ("192.0.2.5",)
    assert socket.gethostname() in serving.names_for("0.0.0.0")
