"""A logbook moves into another database whole, and it is told that it is the same."""

import json
import os
import zipfile

import pytest
from test_copies import HERE, run, sourloam

from sourloam.safekeeping import comparing

ADDRESS = os.environ.get("SOURLOAM_DATABASE", "")


def copy_of(target, rows, columns=("id", "body")):
    """A small copy with one table."""
    import hashlib

    lines = [json.dumps(columns), *rows]
    raw = ("\n".join(lines) + "\n").encode()
    part = {"size": len(raw), "sha256": hashlib.sha256(raw).hexdigest(), "rows": len(rows)}
    name = "rows/logbook.entry.jsonl"
    manifest = {
        **{"format": "sourloam backup", "version": 1, "made_at": "2026-03-01", "sourloam": "0"},
        **{"migration": "0001_first", "places": [], "parts": {name: part}},
    }
    with zipfile.ZipFile(target, "w") as archive:
        archive.writestr("manifest.json", json.dumps(manifest))
        archive.writestr(name, raw)
    return target


def test_order_of_rows_and_keys_makes_no_other_table(tmp_path):
    one = copy_of(tmp_path / "a.zip", ['[1,{"a":1,"b":2}]', '[2,{"c":"ñ"}]'])
    other = copy_of(tmp_path / "b.zip", ['[2, {"c": "\\u00f1"}]', '[1, {"b": 2, "a": 1}]'])
    assert comparing.tables(one) == comparing.tables(other)
    assert comparing.tables(one)[0].rows == 2


@pytest.mark.parametrize("rows", [['[1,{"a":1}]'], ['[1,{"a":2}]', "[2,{}]"], ["[1,{}]", "[2,{}]"]])
def test_a_row_less_or_another_value_makes_another_table(tmp_path, rows):
    one = copy_of(tmp_path / "a.zip", ['[1,{"a":1}]', "[2,{}]"])
    assert comparing.tables(one) != comparing.tables(copy_of(tmp_path / "b.zip", rows))


def test_an_address_that_is_none_is_told_in_one_line(tmp_path, capsys):
    from sourloam.cli import main

    with pytest.raises(SystemExit) as caught:
        main(["move", "mysql://x/y", "--data", str(tmp_path / "new")])
    said = capsys.readouterr().err
    assert caught.value.code == 2
    assert "postgresql://" in said
    assert len(said.strip().splitlines()) == 1


@pytest.mark.slow
@pytest.mark.skipif(not ADDRESS, reason="SOURLOAM_DATABASE names no PostgreSQL")
def test_a_logbook_goes_to_postgresql_and_back_and_is_the_same(tmp_path):
    import psycopg

    server, _slash, _name = ADDRESS.rpartition("/")
    with psycopg.connect(ADDRESS, autocommit=True) as door:
        door.execute("DROP DATABASE IF EXISTS test_move")
        door.execute("CREATE DATABASE test_move")
    there = {"SOURLOAM_DATABASE": f"{server}/test_move"}
    here = {"SOURLOAM_DATABASE": ""}
    old, new, back = (tmp_path / name for name in ("old", "new", "back"))
    made = run(os.sys.executable, HERE / "kept_folder.py", old, "every", **here)
    assert made.returncode == 0, made.stderr
    moved = sourloam("move", there["SOURLOAM_DATABASE"], "--data", new, "--from", old, **here)
    assert moved.returncode == 0, moved.stderr
    assert "moved, and the same" in moved.stdout
    again = sourloam("move", there["SOURLOAM_DATABASE"], "--data", back, "--from", old, **here)
    assert again.returncode == 2, "into a database that holds a logbook"
    returned = sourloam("move", "sqlite", "--data", back, "--from", new, **there)
    assert returned.returncode == 0, returned.stderr

    def told(done):
        return [line for line in done.stdout.splitlines() if " rows  " in line]

    assert told(moved) == told(returned) != []
    with psycopg.connect(ADDRESS, autocommit=True) as door:
        door.execute("DROP DATABASE test_move")
