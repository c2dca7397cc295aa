"""Copies, exports and imports on a real disk that is full or shut: one line, nothing half."""

import contextlib
import datetime as dt
import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

import mounted

HERE = Path(__file__).parent
MAIN = "from sourloam.cli.app import main; main()"
#: Restoring looks for room first; here it believes that there is enough.
TRUSTING = "import shutil; from unittest import mock; shutil.disk_usage = mock.Mock(); "
TRUSTING += "shutil.disk_usage.return_value.free = 10**12; "
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif("SOURLOAM_DATABASE" in os.environ, reason="a disk of SQLite"),
]


def sourloam(*words, before=""):
    environment = {k: v for k, v in os.environ.items() if k != "DJANGO_SETTINGS_MODULE"}
    return subprocess.run(
        [sys.executable, "-c", before + MAIN, *map(str, words)],
        capture_output=True, text=True, env=environment, timeout=120,
    )  # fmt: skip


@pytest.fixture(scope="module")
def disk(tmp_path_factory):
    with mounted.disk(tmp_path_factory.mktemp("mounted"), 40) as made:
        yield made


@pytest.fixture(scope="module")
def folder(disk):
    """A furnished logbook on the disk."""
    made = disk.path / "data"
    subprocess.run([sys.executable, HERE / "kept_folder.py", made], check=True)
    return made


@pytest.fixture(scope="module")
def copy(folder, tmp_path_factory):
    target = tmp_path_factory.mktemp("copies") / "copy.zip"
    assert sourloam("backup", target, "--data", folder).returncode == 0
    return target


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    """Weighings of a hundred days."""
    target = tmp_path_factory.mktemp("sheets") / "weighed.csv"
    first = dt.date.today() - dt.timedelta(days=120)
    days = [f"{first + dt.timedelta(days=n)},blue pail,{1 + n / 100:.2f}\n" for n in range(100)]
    target.write_text("".join(["date,vessel,kg\n", *days]), encoding="utf-8")
    return target


@contextlib.contextmanager
def full(disk, folder):
    """While somebody else, as a server does, holds the log open."""
    with contextlib.closing(sqlite3.connect(folder / "logbook.sqlite3")) as held:
        held.execute("SELECT count(*) FROM logbook_entry").fetchone()
        disk.fill()
        try:
            yield
        finally:
            disk.make_room()


def refused(done, *why):
    """One line that says why, and no trace of a fault."""
    assert done.returncode == 2, (done.stdout, done.stderr)
    assert "Traceback" not in done.stderr
    last = done.stderr.strip().splitlines()[-1].lower()
    assert any(word in last for word in why), last


def what_lies(disk):
    return {path.name for path in disk.path.iterdir()} - {"filler", "lost+found"}


def test_a_copy_on_a_full_disk_is_refused_and_nothing_of_it_stays(disk, folder):
    with full(disk, folder):
        before = what_lies(disk)
        done = sourloam("backup", disk.path / "copy.zip", "--data", folder)
        assert what_lies(disk) == before
    refused(done, "no space left")
    assert sourloam("backup", disk.path / "copy.zip", "--data", folder).returncode == 0
    (disk.path / "copy.zip").unlink()


@pytest.mark.parametrize(
    ("before", "why"), [("", ["free", "full", "no space"]), (TRUSTING, ["full", "no space left"])]
)
@pytest.mark.parametrize("leave", [0, 400_000])
def test_a_copy_set_up_on_a_disk_too_small_leaves_nothing(disk, copy, before, why, leave):
    disk.fill(leave)
    try:
        there = what_lies(disk)
        done = sourloam("restore", copy, "--data", disk.path / "new", before=before)
        assert what_lies(disk) == there
    finally:
        disk.make_room()
    refused(done, *why)


def test_a_place_taken_out_onto_a_full_disk_is_refused_and_nothing_of_it_stays(disk, folder):
    with full(disk, folder):
        before = what_lies(disk)
        told = [
            sourloam("export", "--out", disk.path / name, "--data", folder)
            for name in ("out.zip", "out.json")
        ]
        assert what_lies(disk) == before
    for done in told:
        refused(done, "no space left")


def test_weighings_brought_into_a_full_log_come_in_whole_or_not_at_all(disk, folder, sheet):
    words = ("import", sheet, "--data", folder, "--as", "Zoë")
    with full(disk, folder):
        done = sourloam(*words)
    refused(done, "full")
    assert sourloam("check", "--data", folder).returncode == 0
    done = sourloam(*words)
    assert (done.returncode, "100" in done.stdout) == (0, True), done.stderr
    assert sourloam("check", "--data", folder).returncode == 0


def test_a_log_that_nobody_holds_open_on_a_full_disk_is_no_broken_log(disk, folder):
    disk.fill()
    try:
        done = sourloam("check", "--data", folder)
    finally:
        disk.make_room()
    refused(done, "make room")
    assert sourloam("check", "--data", folder).returncode == 0


def test_a_server_on_a_full_disk_and_the_doctor_say_what_is_wrong(disk, folder):
    with full(disk, folder):
        done = sourloam("serve", "--data", disk.path / "fresh", "--port", 0)
        refused(done, "full", "no space left")
        told = sourloam("doctor", "--data", folder)
    assert told.returncode == 1
    assert "WRONG" in told.stdout


def test_all_of_it_on_a_disk_that_was_shut_is_told_in_one_line(disk, folder, sheet):
    disk.shut()
    try:
        for words in (
            ("backup", disk.path / "copy.zip", "--data", folder),
            ("export", "--out", disk.path / "out.zip", "--data", folder),
            ("import", sheet, "--data", folder, "--as", "Zoë"),
            ("serve", "--data", folder, "--port", 0),
        ):
            refused(sourloam(*words), "read-only", "readonly", "can't be written", "broken")
        told = sourloam("doctor", "--data", folder)
        assert (told.returncode, "WRONG" in told.stdout) == (1, True)
    finally:
        disk.open_again()
    assert sourloam("check", "--data", folder).returncode == 0
