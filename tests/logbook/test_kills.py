"""No acknowledged entry is lost when the server is killed while it writes.

A kill shows that the store holds without a proper end of the process. What a power cut does to
the disk it can't show: that rests on SQLite's own promise for ``synchronous = FULL``, which
test_settings.py holds every connection to.
"""

import contextlib
import http.client
import os
import random
import signal
import threading
import time

from logbook_cast import fed
from logbook_phone import Phone, Servers, stored, unbroken

KILLS, WRITERS = 20, 3
LEAST_INSIDE = KILLS // 5


class Writer(threading.Thread):
    """Sends one entry after the other, first what was left over, and notes each answer as it
    comes."""

    def __init__(self, address, somebody, left_over):
        super().__init__(daemon=True)
        self.phone, self.place = Phone(address, somebody), somebody["place"]
        self.queue = list(left_over)
        self.acknowledged, self.unanswered = set(), []

    def run(self):
        with contextlib.closing(self.phone):
            while True:
                entry = self.queue.pop() if self.queue else fed(self.place)
                self.unanswered = [entry, *self.queue]
                try:
                    status = self.phone.send(entry)
                except (OSError, http.client.HTTPException):
                    return
                assert status in (200, 201), status
                self.acknowledged.add(entry["id"].replace("-", ""))
                self.unanswered = list(self.queue)


def write_until_killed(server, somebody, left_over, patience_s):
    """Let some phones write, kill the server, give back what was acknowledged and what was not."""
    parts = (left_over[n::WRITERS] for n in range(WRITERS))
    writers = [Writer(server["address"], somebody, part) for part in parts]
    for writer in writers:
        writer.start()
    while not all(writer.acknowledged for writer in writers):
        assert all(writer.is_alive() for writer in writers)
        time.sleep(0.002)
    time.sleep(patience_s)
    os.kill(server["pid"], signal.SIGKILL)
    for writer in writers:
        writer.join(timeout=30)
        assert not writer.is_alive()
    acknowledged = set().union(*(writer.acknowledged for writer in writers))
    return acknowledged, [entry for writer in writers for entry in writer.unanswered]


def test_twenty_kills_in_the_middle_of_writing_lose_no_acknowledged_entry(tmp_path):
    chance = random.Random(7)
    acknowledged, left_over, inside = set(), [], 0
    with contextlib.closing(Servers(tmp_path)) as servers:
        for _ in range(KILLS):
            patience_s = chance.uniform(0, 0.15)
            fresh, left_over = write_until_killed(
                servers.start(), servers.somebody, left_over, patience_s
            )
            acknowledged |= fresh
            inside += bool(left_over)
            lost = acknowledged - {row[0] for row in stored(tmp_path)}
            assert not lost
    assert inside >= LEAST_INSIDE
    assert len(acknowledged) >= KILLS * WRITERS
    assert unbroken(stored(tmp_path))
