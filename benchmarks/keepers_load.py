"""Two hundred keepers logging at once: no entry lost, none doubled; how long they wait.

Fills an empty logbook (or the empty PostgreSQL that SOURLOAM_DATABASE names) with a place for every
four of them, starts `sourloam serve` on it, and lets every keeper write for some minutes over a
connection of their own, one entry in some seconds; one in ten is sent twice, as a phone does whose
answer was lost. Then every acknowledged entry is looked for, none may stand twice, and the chain of
every place must hold.

    python benchmarks/keepers_load.py [--keepers 200] [--minutes 5] [--pause 4]
"""

from __future__ import annotations

import argparse
import datetime as dt
import http.client
import json
import os
import random
import re
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from logbook_load import TOKEN, session

A_PLACE = 4  # keepers of one place
TWICE = 0.1
PATIENCE_S = 60
SPEC = {"name": "pail", "volume": "19 L"}


@dataclass
class Keeper:
    """One phone, and what it was told."""

    place: str
    session: str
    vessel: str
    acknowledged: list[str] = field(default_factory=list)
    answers: list[tuple[int, float]] = field(default_factory=list)

    def look(self, address: str) -> None:
        """Open the first page."""
        connection = http.client.HTTPConnection(address, timeout=PATIENCE_S)
        connection.request("GET", "/", headers={"Cookie": f"sessionid={self.session}"})
        assert connection.getresponse().status == 200

    def log(self, address: str, until: float, pause_s: float, chance: random.Random) -> None:
        """Write until the time is over; a connection that broke is opened anew, as a phone does."""
        connection = http.client.HTTPConnection(address, timeout=PATIENCE_S)
        time.sleep(chance.uniform(0, pause_s))
        while time.monotonic() < until:
            entry = self._entry(chance)
            for _ in range(2 if chance.random() < TWICE else 1):
                status = self._send(connection, entry)
                if status in (200, 201):
                    self.acknowledged.append(entry["id"])
                elif status == 0:
                    connection.close()
            time.sleep(chance.expovariate(1 / pause_s))

    def _send(self, connection: http.client.HTTPConnection, entry: dict[str, object]) -> int:
        cookies = f"sessionid={self.session}; csrftoken={TOKEN}"
        headers = {"Cookie": cookies, "X-CSRFToken": TOKEN, "Content-Type": "application/json"}
        began = time.perf_counter()
        try:
            connection.request("POST", "/api/entries", json.dumps(entry), headers)
            answer = connection.getresponse()
            answer.read()
            status = answer.status
        except (OSError, http.client.HTTPException):
            status = 0
        self.answers.append((status, 1000 * (time.perf_counter() - began)))
        return status

    def _entry(self, chance: random.Random) -> dict[str, str | object]:
        now = dt.datetime.now(dt.UTC).isoformat()
        amount = {"mass_kg": round(chance.uniform(0.2, 0.9), 2)}
        return {
            "id": str(uuid.uuid4()),
            "place": self.place,
            "kind": "fed",
            "at": now,
            "written_at": now,
            "body": {"vessel": self.vessel, "amount": amount, "bran_g": 20.0},
        }


def fill(folder: Path, keepers: int) -> None:
    """Accounts, places and vessels, told on standard output."""
    from sourloam.logbook import serving

    serving.prepare(serving.folder_for(folder, demo=False))
    from django.contrib.auth.models import User

    from sourloam.logbook.models import Entry, Membership
    from sourloam.logbook.people import make_first_keeper, make_place
    from sourloam.logbook.recording import record_entry

    if Entry.objects.exists():
        sys.exit("this database holds entries; give an empty one")
    first = make_first_keeper("director", "a short sentence")
    told, place = [], ""
    for number in range(keepers):
        if number % A_PLACE == 0:
            place = make_place(first, f"Place {number // A_PLACE}", "Europe/Madrid").pk
        person = User.objects.create(username=f"keeper-{number}")
        Membership.objects.create(place_id=place, person=person, role="keeper")
        vessel = f"pail-{number}"
        now = dt.datetime.now(dt.UTC).isoformat()
        raw = {"id": str(uuid.uuid4()), "place": place, "kind": "vessel_added", "at": now}
        body = {"vessel": vessel, "name": f"Pail {number}", "spec": SPEC}
        assert record_entry(person, {**raw, "written_at": now, "body": body}).stored
        told.append({"place": place, "session": session(person), "vessel": vessel})
    print(json.dumps(told))


def count(folder: Path) -> None:
    """Ids of all entries and whether every chain holds, told on standard output."""
    from sourloam.logbook import serving

    serving.reach(serving.folder_for(folder, demo=False))
    from sourloam.logbook.chain import first_break
    from sourloam.logbook.models import Entry, Place

    ids = [str(one) for one in Entry.objects.values_list("id", flat=True)]
    broken = [p.pk for p in Place.objects.all() if first_break(p.pk) is not None]
    print(json.dumps({"ids": ids, "broken": broken}))


def apart(what: str, folder: Path, *more: str) -> object:
    """Done in a process of its own, so that this one stays a client."""
    command = [sys.executable, __file__, what, str(folder), *more]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    return json.loads(done.stdout.splitlines()[-1])


def serve(folder: Path) -> tuple[subprocess.Popen[str], str]:
    code = "from sourloam.cli import main; main()"
    command = [sys.executable, "-c", code, "serve", "--data", str(folder), "--port", "0"]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert server.stdout is not None
    found = re.search(r"http://\S+/", server.stdout.readline())
    assert found is not None
    return server, urlsplit(found[0]).netloc


def cpu_s(process: int) -> float:
    """Seconds of a core that a process has used: what others do on the machine moves it little."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def tell(keepers: list[Keeper], kept: dict[str, list[str]], minutes: float, used_s: float) -> None:
    answers = [answer for keeper in keepers for answer in keeper.answers]
    waits = sorted(ms for status, ms in answers if status in (200, 201))
    wrong = Counter(status for status, _ms in answers if status not in (200, 201))
    acknowledged = {one for keeper in keepers for one in keeper.acknowledged}
    stored = Counter(kept["ids"])
    vessels = len(keepers)
    at = {share: waits[int(share * (len(waits) - 1))] for share in (0.5, 0.95, 0.99)}
    print(f"database      {'PostgreSQL' if 'SOURLOAM_DATABASE' in os.environ else 'SQLite'}")
    print(f"keepers       {vessels} for {minutes:g} min, load {os.getloadavg()[1]:.1f} at the end")
    print(f"answers       {len(answers)}, {len(answers) / minutes / 60:.1f} a second")
    print(f"wait, ms      {at[0.5]:.0f} middle, {at[0.95]:.0f} 95 %, {at[0.99]:.0f} 99 %")
    print(f"of one core   {1000 * used_s / len(answers):.1f} ms an answer, in the server's process")
    print(f"errors        {sum(wrong.values())} of {len(answers)} {dict(wrong)}")
    print(f"acknowledged  {len(acknowledged)}, stored {len(stored) - vessels}")
    print(f"lost          {len(acknowledged - set(stored))}")
    print(f"doubled       {sum(number - 1 for number in stored.values())}")
    print(f"broken chains {len(kept['broken'])}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--keepers", type=int, default=200)
    parser.add_argument("--minutes", type=float, default=5)
    parser.add_argument("--pause", type=float, default=4, help="seconds between two entries")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as passing:
        folder = Path(passing)
        keepers = [Keeper(**one) for one in apart("fill", folder, str(given.keepers))]
        server, address = serve(folder)
        try:
            keepers[0].look(address)  # the server's first answer loads what all later ones need
            before_s = cpu_s(server.pid)
            let_log(keepers, address, given.minutes, given.pause)
            used_s = cpu_s(server.pid) - before_s
        finally:
            server.terminate()
            server.wait()
        tell(keepers, apart("count", folder), given.minutes, used_s)


def let_log(keepers: list[Keeper], address: str, minutes: float, pause_s: float) -> None:
    """All at once, until the time is over."""
    until = time.monotonic() + 60 * minutes
    threads = [
        threading.Thread(target=keeper.log, args=(address, until, pause_s, random.Random(number)))
        for number, keeper in enumerate(keepers)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


if __name__ == "__main__":
    if sys.argv[1:2] == ["fill"]:
        fill(Path(sys.argv[2]), int(sys.argv[3]))
    elif sys.argv[1:2] == ["count"]:
        count(Path(sys.argv[2]))
    else:
        main()
