"""A copy that is made while a real server stores entries holds all that was acknowledged before."""

import contextlib
import json
import os
import signal
import sys
import threading
import zipfile
from pathlib import Path

import pytest
from test_copies import sourloam

sys.path.insert(0, str(Path(__file__).parents[1] / "logbook"))

from kill_series import plain
from logbook_cast import fed
from logbook_phone import Phone, Servers, stored

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif("SOURLOAM_DATABASE" in os.environ, reason="reads the file past the program"),
]


@contextlib.contextmanager
def writing(data):
    """A phone writes without pause to a real server; ids of what was acknowledged."""
    acknowledged, stop = [], threading.Event()
    with contextlib.closing(Servers(data)) as servers:
        server = servers.start()
        phone = Phone(server["address"], servers.somebody)

        def write():
            while not stop.is_set():
                entry = fed(servers.somebody["place"], mass_kg=0.1)
                if phone.send(entry) == 201:
                    acknowledged.append(plain(entry["id"]))

        thread = threading.Thread(target=write)
        thread.start()
        try:
            yield acknowledged
        finally:
            stop.set()
            thread.join()
            phone.close()
            os.kill(server["pid"], signal.SIGTERM)


def ids_in(copy):
    with zipfile.ZipFile(copy) as archive:
        lines = archive.read("rows/logbook.entry.jsonl").splitlines()
    column = json.loads(lines[0]).index("id")
    return {plain(json.loads(line)[column]) for line in lines[1:]}


def test_copies_made_meanwhile_are_whole_and_hold_what_was_acknowledged(tmp_path, record_property):
    data, tries = tmp_path / "data", []
    with writing(data) as acknowledged:
        for number in range(2):
            before = set(acknowledged)
            copy = tmp_path / f"{number}.zip"
            done = sourloam("backup", copy, "--data", data)
            assert done.returncode == 0, done.stderr
            tries.append((copy, before, len(acknowledged) - len(before)))
    order = [plain(row[0]) for row in stored(data)]
    for copy, before, meanwhile in tries:
        held = ids_in(copy)
        assert before <= held
        assert held == set(order[: len(held)])
        assert meanwhile > 0, "nobody wrote while the copy was made"
    back = tmp_path / "back"
    assert sourloam("restore", tries[-1][0], "--data", back).returncode == 0
    assert [plain(row[0]) for row in stored(back)] == order[: len(ids_in(tries[-1][0]))]
    record_property("tries", len(tries))
