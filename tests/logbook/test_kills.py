"""No acknowledged entry is lost when the server is killed while it writes.

A kill shows that the store holds without a proper end of the process. What a power cut does to
the disk it can't show: that rests on SQLite's own promise for ``synchronous = FULL``, which
test_settings.py holds every connection to.
"""

import contextlib
import http.client
import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from pathlib import Path
from urllib.parse import urlsplit

from logbook_cast import fed

KILLS, WRITERS = 20, 3
LEAST_INSIDE = KILLS // 5
TOKEN = "a" * 32


class Writer(threading.Thread):
    """A phone that sends one entry after the other and notes each answer as it comes."""

    def __init__(self, address, somebody, left_over):
        super().__init__(daemon=True)
        self.address, self.somebody = address, somebody
        self.queue = list(left_over)
        self.acknowledged, self.unanswered = set(), []

    def run(self):
        connection = http.client.HTTPConnection(urlsplit(self.address).netloc, timeout=20)
        with contextlib.closing(connection):
            while True:
                entry = self.queue.pop() if self.queue else fed(self.somebody["place"])
                self.unanswered = [entry, *self.queue]
                try:
                    status = self.send(connection, entry)
                except (OSError, http.client.HTTPException):
                    return
                assert status in (200, 201), status
                self.acknowledged.add(entry["id"].replace("-", ""))
                self.unanswered = list(self.queue)

    def send(self, connection, entry):
        cookies = f"sessionid={self.somebody['session']}; csrftoken={TOKEN}"
        headers = {"Cookie": cookies, "X-CSRFToken": TOKEN, "Content-Type": "application/json"}
        connection.request("POST", "/api/entries", json.dumps(entry), headers)
        answer = connection.getresponse()
        answer.read()
        return answer.status


def stored(data):
    with contextlib.closing(sqlite3.connect(data / "logbook.sqlite3")) as database:
        return database.execute(
            "SELECT id, seq, hash_before, hash FROM logbook_entry ORDER BY seq"
        ).fetchall()


def test_twenty_kills_in_the_middle_of_writing_lose_no_acknowledged_entry(tmp_path):
    chance = random.Random(7)
    script = Path(__file__).with_name("killable_server.py")
    forks = subprocess.Popen(
        [sys.executable, str(script), str(tmp_path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    acknowledged, left_over, inside = set(), [], 0
    try:
        somebody = json.loads(forks.stdout.readline())
        for _ in range(KILLS):
            forks.stdin.write("\n")
            forks.stdin.flush()
            server = json.loads(forks.stdout.readline())
            writers = [
                Writer(server["address"], somebody, left_over[n::WRITERS]) for n in range(WRITERS)
            ]
            for writer in writers:
                writer.start()
            while not all(writer.acknowledged for writer in writers):
                assert all(writer.is_alive() for writer in writers)
                time.sleep(0.002)
            time.sleep(chance.uniform(0, 0.15))
            os.kill(server["pid"], signal.SIGKILL)
            for writer in writers:
                writer.join(timeout=30)
                assert not writer.is_alive()
            acknowledged |= set().union(*(writer.acknowledged for writer in writers))
            left_over = [entry for writer in writers for entry in writer.unanswered]
            inside += bool(left_over)
            lost = acknowledged - {row[0] for row in stored(tmp_path)}
            assert not lost
    finally:
        forks.stdin.close()
        forks.wait(timeout=30)
        forks.stdout.close()
    assert inside >= LEAST_INSIDE
    assert len(acknowledged) >= KILLS * WRITERS
    rows = stored(tmp_path)
    assert [row[1] for row in rows] == list(range(1, len(rows) + 1))
    assert [row[2] for row in rows] == ["", *(row[3] for row in rows[:-1])]
