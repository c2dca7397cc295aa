"""A copy of a logbook, set up again, is the logbook; a broken one is refused with its reason."""

import errno
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

HERE = Path(__file__).parent
SOURLOAM = (sys.executable, "-c", "from sourloam.cli.app import main; main()")


def run(*arguments, **environment):
    environment = {**os.environ, **environment}
    environment.pop("DJANGO_SETTINGS_MODULE", None)
    return subprocess.run(
        [*map(str, arguments)], capture_output=True, text=True, env=environment, timeout=120
    )


def sourloam(*arguments, **environment):
    return run(*SOURLOAM, *arguments, **environment)


@pytest.fixture(scope="module")
def folder(kept, tmp_path_factory):
    made = tmp_path_factory.mktemp("kept") / "data"
    shutil.copytree(kept, made)
    return made


@pytest.fixture(scope="module")
def copy(folder, tmp_path_factory):
    target = tmp_path_factory.mktemp("copies") / "copy.zip"
    done = sourloam("backup", target, "--data", folder)
    assert done.returncode == 0, done.stderr
    return target


def rows(folder):
    """Every row of every table, but the sessions, the schema's own, and what is counted anew."""
    store = sqlite3.connect(folder / "logbook.sqlite3")
    with store:
        tables = store.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        wanted = [t for (t,) in tables if t.startswith(("logbook_", "auth_user"))]
        return {t: sorted(map(repr, store.execute(f'SELECT * FROM "{t}"'))) for t in wanted}


def photos(folder):
    return {p.name: p.read_bytes() for p in (folder / "photos").rglob("*.jpg")}


def changed(copy, target, **parts):
    """The same archive with some of its files replaced, or left out where None."""
    with zipfile.ZipFile(copy) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            content = parts.get(name, old.read(name))
            if content is not None:
                new.writestr(name, content)
    return target


def test_what_is_restored_equals_the_original_to_the_byte(folder, copy, tmp_path):
    done = sourloam("restore", copy, "--data", tmp_path / "new")
    assert done.returncode == 0, done.stderr
    before = rows(folder)
    assert len(before["logbook_entry"]) > 25
    assert rows(tmp_path / "new") == before
    assert photos(tmp_path / "new") == photos(folder) != {}
    assert (tmp_path / "new" / "secret-key").read_text() != (folder / "secret-key").read_text()
    assert (tmp_path / "new").stat().st_mode & 0o077 == 0, "open to others"
    assert sourloam("check", "--data", tmp_path / "new").returncode == 0


def test_a_copy_is_for_its_owner_alone(copy):
    assert copy.stat().st_mode & 0o077 == 0


def test_a_copy_is_of_one_moment_while_people_write(folder, tmp_path):
    """Another process holds the write lock, with an entry half written, all through the copy."""
    store = sqlite3.connect(folder / "logbook.sqlite3", isolation_level=None)
    store.execute("BEGIN IMMEDIATE")
    store.execute("UPDATE logbook_place SET name = 'Half renamed'")
    done = sourloam("backup", tmp_path / "c.zip", "--data", folder)
    store.execute("ROLLBACK")
    store.close()
    assert done.returncode == 0, done.stderr
    with zipfile.ZipFile(tmp_path / "c.zip") as archive:
        assert b"Half renamed" not in archive.read("rows/logbook.place.jsonl")


def not_opened(file, words):
    """Refused when it is opened, before anything is made; the words are those of one line."""
    from sourloam.safekeeping import BackupError
    from sourloam.safekeeping.restoring import opened

    with pytest.raises(BackupError) as trouble:
        opened(file)
    assert str(trouble.value).startswith(f"{file}: ")
    assert words in str(trouble.value)


def refused(file, tmp_path, words):
    done = sourloam("restore", file, "--data", tmp_path / "new")
    lines = [x for x in done.stderr.splitlines() if "restoring" not in x and "checking" not in x]
    assert done.returncode == 2, done.stderr
    assert len(lines) == 1, done.stderr
    assert words in lines[0]
    assert [p.name for p in tmp_path.iterdir() if p.is_dir()] == [], "something half-restored"


def test_a_torn_copy_is_refused(copy, tmp_path):
    torn = tmp_path / "torn.zip"
    torn.write_bytes(copy.read_bytes()[:-400])
    not_opened(torn, "torn")


@pytest.mark.parametrize("content", [b"", b"no zip at all", b"PK\x05\x06" + 18 * b"\0"])
def test_what_is_no_copy_is_not_opened(content, tmp_path):
    file = tmp_path / "some.zip"
    file.write_bytes(content)
    not_opened(file, "no backup of Sourloam")


def test_a_copy_that_is_not_there_is_not_opened(tmp_path):
    not_opened(tmp_path / "none.zip", "no such file")


@pytest.mark.slow
def test_a_changed_row_is_found(copy, tmp_path):
    name = "rows/logbook.entry.jsonl"
    with zipfile.ZipFile(copy) as archive:
        raw = archive.read(name)
    bent = raw.replace(b"1.25}", b"1.75}", 1)
    assert bent != raw
    refused(changed(copy, tmp_path / "x.zip", **{name: bent}), tmp_path, "not what was written")


def test_a_forged_entry_breaks_the_chain_though_the_manifest_was_forged_too(copy, tmp_path):
    import hashlib

    name = "rows/logbook.entry.jsonl"
    with zipfile.ZipFile(copy) as archive:
        bent = archive.read(name).replace(b"1.25}", b"1.75}", 1)
        manifest = json.loads(archive.read("manifest.json"))
    manifest["parts"][name]["sha256"] = hashlib.sha256(bent).hexdigest()
    parts = {name: bent, "manifest.json": json.dumps(manifest)}
    refused(changed(copy, tmp_path / "x.zip", **parts), tmp_path, "entry 35 is not what")


@pytest.mark.slow
def test_a_changed_photo_is_found(copy, tmp_path):
    with zipfile.ZipFile(copy) as archive:
        name = next(n for n in archive.namelist() if n.startswith("photos/"))
        bent = archive.read(name)[:-1] + b"x"
    refused(changed(copy, tmp_path / "x.zip", **{name: bent}), tmp_path, "not what was written")


def test_a_missing_table_is_found(copy, tmp_path):
    parts = {"rows/logbook.membership.jsonl": None}
    not_opened(changed(copy, tmp_path / "x.zip", **parts), "is missing")


@pytest.mark.parametrize(
    "name", ["../../evil.jpg", "photos/ab/../../x.jpg", "/etc/x", "secret-key"]
)
def test_a_file_that_does_not_belong_is_not_opened(copy, tmp_path, name):
    import hashlib

    with zipfile.ZipFile(copy) as archive:
        manifest = json.loads(archive.read("manifest.json"))
    manifest["parts"][name] = {"size": 1, "sha256": hashlib.sha256(b"x").hexdigest()}
    bad = changed(copy, tmp_path / "x.zip", **{"manifest.json": json.dumps(manifest)})
    with zipfile.ZipFile(bad, "a") as archive:
        archive.writestr(name, "x")
    not_opened(bad, "no file of a backup")


def test_a_copy_in_a_newer_form_is_refused(copy, tmp_path):
    not_opened(newer(copy, tmp_path, version=99), "newer Sourloam")


@pytest.mark.slow
def test_a_copy_of_newer_tables_is_refused(copy, tmp_path):
    refused(newer(copy, tmp_path, migration="9999_later"), tmp_path, "newer Sourloam")


def newer(copy, tmp_path, **more):
    with zipfile.ZipFile(copy) as archive:
        manifest = json.loads(archive.read("manifest.json")) | more
    return changed(copy, tmp_path / "x.zip", **{"manifest.json": json.dumps(manifest)})


@pytest.mark.slow
def test_nothing_is_restored_over_something(copy, tmp_path):
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter").write_text("dear")
    done = sourloam("restore", copy, "--data", tmp_path / "mine")
    assert done.returncode == 2
    assert "is not empty" in done.stderr
    assert (tmp_path / "mine" / "letter").read_text() == "dear"


@pytest.mark.slow
def test_no_copy_over_a_file(copy, folder):
    before = copy.read_bytes()
    done = sourloam("backup", copy, "--data", folder)
    assert done.returncode == 2
    assert "is there already" in done.stderr
    assert copy.read_bytes() == before


@pytest.mark.parametrize("verb", ["check", "backup"])
@pytest.mark.slow
def test_a_folder_without_a_logbook_is_told(verb, tmp_path):
    done = sourloam(verb, *["c.zip"] * (verb == "backup"), "--data", tmp_path / "none")
    assert done.returncode == 2
    assert "holds no logbook" in done.stderr
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize("links", [True, False])
def test_a_copy_reaches_a_stick_that_knows_no_second_name_of_a_file(tmp_path, monkeypatch, links):
    from sourloam.safekeeping import backing_up

    def none(*_names):
        raise PermissionError(errno.EPERM, "Operation not permitted")

    half, target = tmp_path / "half", tmp_path / "copy.zip"
    half.write_bytes(b"all of it")
    if not links:
        monkeypatch.setattr(os, "link", none)
    backing_up._put_in_place(half, target)
    assert target.read_bytes() == b"all of it"
