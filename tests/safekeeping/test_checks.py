"""What was changed behind the logbook's back is found, and told where."""

import json
import shutil
import sqlite3
import sys

import pytest
from test_copies import HERE, run, sourloam

ONE_AFTER_THE_OTHER = """
import json, sys
sys.path.insert(0, sys.argv[1])
from spoken import sourloam
data, *verbs = sys.argv[2:]
print(json.dumps({verb: vars(sourloam(verb, "--data", data)) for verb in verbs}))
"""


@pytest.fixture(scope="module")
def sound(kept, tmp_path_factory):
    """What is said of a sound folder by one process, by verb."""
    data = tmp_path_factory.mktemp("sound") / "data"
    shutil.copytree(kept, data)
    cli = HERE.with_name("cli")
    done = run(sys.executable, "-c", ONE_AFTER_THE_OTHER, cli, data, "check", "doctor")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.fixture
def folder(kept, tmp_path):
    shutil.copytree(kept, tmp_path / "data")
    return tmp_path / "data"


def bend(folder, *statements):
    store = sqlite3.connect(folder / "logbook.sqlite3", isolation_level=None)
    for name in ("entry_no_update", "entry_no_delete"):
        store.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        assert store.execute(statement).rowcount > 0, statement
    store.close()


def test_all_is_well_in_a_sound_folder(sound):
    done = sound["check"]
    assert done["returncode"] == 0
    assert "All is as it was written" in done["stdout"]


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE logbook_entry SET body = replace(body, '1.25', '1.75') WHERE seq = 35",
        "UPDATE logbook_entry SET at = datetime(at, '-1 day') WHERE seq = 35",
        "UPDATE logbook_entry SET by = 'Somebody' WHERE seq = 35",
        "UPDATE logbook_entry SET hash = upper(hash) WHERE seq = 35",
    ],
    ids=["amount", "day", "writer", "seal"],
)
@pytest.mark.slow
def test_a_changed_entry_is_found(folder, statement):
    bend(folder, statement)
    done = sourloam("check", "--data", folder)
    assert done.returncode == 1
    assert "Flat at Alder Row: entry 35 is not what" in done.stdout


@pytest.mark.slow
def test_a_lost_last_entry_is_found(folder):
    bend(
        folder,
        "DELETE FROM logbook_filing WHERE entry_id ="
        " (SELECT id FROM logbook_entry ORDER BY seq DESC LIMIT 1)",
        "DELETE FROM logbook_entry WHERE seq = (SELECT max(seq) FROM logbook_entry)",
    )
    done = sourloam("check", "--data", folder)
    assert done.returncode == 1
    assert "it is gone" in done.stdout


def test_an_entry_filed_wrongly_is_found(folder):
    bend(folder, "DELETE FROM logbook_filing WHERE thing = 'vessel:green'")
    done = sourloam("check", "--data", folder)
    assert done.returncode == 1
    assert "green: the state shown is not" in done.stdout


@pytest.mark.slow
def test_a_lost_and_a_changed_photo_are_found(folder):
    photo = next((folder / "photos").rglob("*.jpg"))
    photo.write_bytes(photo.read_bytes() + b"x")
    assert "is not what was sent" in sourloam("check", "--data", folder).stdout
    photo.unlink()
    assert "is not in the folder" in sourloam("check", "--data", folder).stdout


def test_a_torn_database_is_told_in_one_line(folder):
    file = folder / "logbook.sqlite3"
    raw = bytearray(file.read_bytes())
    raw[4096:12288] = b"\xff" * 8192
    file.write_bytes(raw)
    done = sourloam("check", "--data", folder)
    assert done.returncode in (1, 2)
    assert "Traceback" not in done.stderr
    assert done.stdout or len(done.stderr.splitlines()) == 1


def test_the_doctor_finds_nothing_in_a_sound_folder(sound):
    done = sound["doctor"]
    assert done["returncode"] == 0, done["stdout"]
    assert "WRONG" not in done["stdout"]
    assert "an acknowledged entry outlives a power cut" in done["stdout"]


@pytest.mark.slow
def test_the_doctor_says_what_is_wrong_and_how_to_mend_it(folder, tmp_path):
    folder.chmod(0o755)
    (folder / "secret-key").write_text("short")
    done = sourloam("doctor", "--data", folder)
    assert done.returncode == 2
    assert "delete it to get a new one" in done.stderr
    (folder / "secret-key").unlink()
    done = sourloam("doctor", "--data", folder, SOURLOAM_BEHIND="1")
    assert done.returncode == 1
    for words in ("others of this machine", "chmod -R go=", "makes one", "SOURLOAM_HTTPS=1"):
        assert words in done.stdout


def test_the_doctor_finds_no_logbook(tmp_path):
    done = sourloam("doctor", "--data", tmp_path / "none")
    assert done.returncode == 1
    assert "is not there" in done.stdout
    assert not (tmp_path / "none").exists()
