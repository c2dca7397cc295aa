"""`sourloam serve` starts on a fresh folder, says where it is, and tells trouble in one line."""

import contextlib
import os
import re
import shutil
import socket
import sqlite3
import subprocess
import sys
import urllib.request
from types import SimpleNamespace

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


def got(address):
    with urllib.request.urlopen(address, timeout=30) as answer:
        return SimpleNamespace(url=answer.url, body=answer.read(), headers=answer.headers)


def told_by_another_name(address):
    """The status of the answer to a call by a name that is not the server's."""
    call = urllib.request.Request(address, headers={"Host": "elsewhere.example"})
    with pytest.raises(urllib.error.HTTPError) as told:
        urllib.request.urlopen(call, timeout=30)
    told.value.close()
    return told.value.code


@pytest.fixture(scope="module")
def first(tmp_path_factory):
    """What a first start on a fresh folder said and answered; the server has ended since."""
    data = tmp_path_factory.mktemp("served") / "data"
    with served(data) as (address, line):
        page = got(address)
        style = re.search(r'href="(/static/[^"]+\.css)"', page.body.decode())[1]
        sheet = got(address.rstrip("/") + style)
        status = told_by_another_name(address)
    return SimpleNamespace(
        data=data, line=line, page=page, style=style, sheet=sheet, by_another_name=status
    )


def test_a_fresh_folder_is_served_and_asks_for_its_first_keeper(first):
    assert str(first.data) in first.line
    assert first.page.url.endswith("/start")
    assert re.search(r"\.[0-9a-f]{12}\.css$", first.style)  # named by its content, kept for long
    assert "immutable" in first.sheet.headers["Cache-Control"]
    with sqlite3.connect(first.data / "logbook.sqlite3") as database:
        assert database.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    database.close()
    assert {p.name for p in first.data.iterdir()} >= {"logbook.sqlite3", "secret-key"}


def test_a_call_by_a_name_that_is_not_its_own_is_refused(first):
    assert first.by_another_name == 400


def test_a_second_start_serves_the_files_of_this_version(first, tmp_path):
    shutil.copytree(first.data, tmp_path / "data")
    older = tmp_path / "data" / "static" / "sourloam" / "moments.js"
    older.write_text("// of an older version, written later than this one was built")
    with served(tmp_path / "data") as (address, _line):
        assert got(address).url.endswith("/start")
        assert b"export" in got(f"{address}static/sourloam/moments.js").body


def test_a_port_that_is_taken_is_told_with_what_to_do(tmp_path):
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        line = refused("--data", tmp_path, "--port", busy.getsockname()[1])
    assert "taken" in line
    assert "--port" in line


def test_a_folder_below_a_file_is_told_with_what_to_do(tmp_path):
    (tmp_path / "file").write_text("")
    line = refused("--data", tmp_path / "file" / "data", "--port", 0)
    assert "lies in one" in line
    assert "--data" in line


def test_a_host_that_is_not_here_is_told(tmp_path):
    assert "--host" in refused("--data", tmp_path, "--host", "no.such.host.invalid", "--port", 0)


def test_a_database_of_a_newer_version_is_left_alone(first, tmp_path):
    shutil.copy(first.data / "logbook.sqlite3", tmp_path)
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
    assert "file is not a database" in refused("--data", tmp_path, "--port", 0)


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
