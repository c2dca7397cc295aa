"""Many phones at once: every entry once, none refused because another was being written."""

import contextlib
import os
import random
import signal
from concurrent.futures import ThreadPoolExecutor

import pytest
from logbook_cast import fed
from logbook_phone import Phone, Servers, stored, unbroken

PHONES, ENTRIES = 12, 20


@pytest.mark.slow
def test_twelve_phones_that_send_the_same_entries_at_once_store_each_of_them_once(tmp_path):
    with contextlib.closing(Servers(tmp_path)) as servers:
        server = servers.start()
        entries = [fed(servers.somebody["place"]) for _ in range(ENTRIES)]

        def send_all(number):
            mine = random.Random(number).sample(entries, ENTRIES)
            with contextlib.closing(Phone(server["address"], servers.somebody)) as phone:
                return [(entry["id"], phone.send(entry)) for entry in mine]

        with ThreadPoolExecutor(PHONES) as pool:
            answers = [answer for told in pool.map(send_all, range(PHONES)) for answer in told]
        os.kill(server["pid"], signal.SIGTERM)
    for entry in entries:
        statuses = sorted(status for name, status in answers if name == entry["id"])
        assert statuses == [200] * (PHONES - 1) + [201]
    rows = stored(tmp_path)
    assert len(rows) == ENTRIES + 1, "with the one that put up the vessel"
    assert unbroken(rows)
