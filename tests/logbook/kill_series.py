"""Servers killed at random moments while phones write, and what must hold afterwards."""

import contextlib
import http.client
import os
import random
import signal
import threading
import time

from logbook_cast import fed
from logbook_phone import Phone, Servers, stored, unbroken

WRITERS = 3
LONGEST_S = 0.15


class Writer(threading.Thread):
    """Sends one entry after the other, first what was left over, and notes each answer as it
    comes."""

    def __init__(self, address, somebody, left_over):
        super().__init__(daemon=True)
        self.phone, self.place = Phone(address, somebody), somebody["place"]
        self.queue = list(left_over)
        self.sent, self.acknowledged, self.unanswered = set(), set(), []

    def run(self):
        with contextlib.closing(self.phone):
            while True:
                entry = self.queue.pop() if self.queue else fed(self.place)
                self.unanswered = [entry, *self.queue]
                self.sent.add(plain(entry["id"]))
                try:
                    status = self.phone.send(entry)
                except (OSError, http.client.HTTPException):
                    return
                assert status in (200, 201), status
                self.acknowledged.add(plain(entry["id"]))
                self.unanswered = list(self.queue)


def plain(name):
    return str(name).replace("-", "")


def write_until_killed(server, somebody, left_over, patience_s):
    """Let some phones write, kill the server, give back the phones."""
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
    return writers


def killed_while_writing(folder, kills, seed):
    """How many entries were acknowledged, and how many kills fell inside a request; after each
    kill none is lost, none is there twice, none is there that nobody sent."""
    chance, inside = random.Random(seed), 0
    acknowledged, sent, left_over = set(), set(), []
    with contextlib.closing(Servers(folder)) as servers:
        furnished = len(stored(folder))
        for _ in range(kills):
            patience_s = chance.uniform(0, LONGEST_S)
            phones = write_until_killed(servers.start(), servers.somebody, left_over, patience_s)
            left_over = [entry for phone in phones for entry in phone.unanswered]
            for phone in phones:
                acknowledged |= phone.acknowledged
                sent |= phone.sent
            inside += bool(left_over)
            names = [plain(row[0]) for row in stored(folder)][furnished:]
            assert not acknowledged - set(names), "an acknowledged entry is lost"
            assert len(names) == len(set(names)), "an entry is there twice"
            assert set(names) <= sent, "an entry is there that nobody sent"
    assert unbroken(stored(folder))
    return len(acknowledged), inside
