"""The logbook under load: 2,000 vessels and 500,000 entries on SQLite.

Fills a folder (kept, if --keep names one), starts `sourloam serve` on it, and asks every page as
people of small and large places would, one visitor at a time; then stores entries. Prints the
middle, the 95 % point and the first (cold) answer of each, in milliseconds.

    python benchmarks/logbook_load.py [--entries 500000] [--keep FOLDER]
    python benchmarks/logbook_load.py --quick      60 vessels, 15,000 entries: does it run?
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
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import urlsplit

SIZES = [200] + [40] * 20 + [10] * 100  # vessels by place: 2,000 in all
TOKEN = "a" * 32
PAGE_TRIES, STORE_TRIES = 40, 200
SLOW_MS, SLOW_TRIES = 500, 8
WARM_S = 60  # the server folds its places after the start
TURN_DAYS = 60


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=500_000)
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--quick", action="store_true")
    given = parser.parse_args()
    if given.quick:
        be_quick()
        given.entries = 15_000
    with tempfile.TemporaryDirectory() as passing:
        folder = given.keep or Path(passing)
        people = folder / "people.json"
        if not people.exists():
            quick = ["--quick"] if given.quick else []
            command = [sys.executable, __file__, "--fill", str(folder), str(given.entries), *quick]
            subprocess.run(command, check=True)
        measure(folder, json.loads(people.read_text()))


def be_quick() -> None:
    """Few vessels and tries: to see that it runs, not to measure."""
    global SIZES, PAGE_TRIES, STORE_TRIES, WARM_S
    SIZES, PAGE_TRIES, STORE_TRIES, WARM_S = [40, 10, 10], 4, 20, 15


# --- filling ------------------------------------------------------------------------------


def fill(folder: Path, entries: int) -> None:
    from sourloam.logbook import serving

    serving.prepare(serving.folder_for(folder, demo=False))
    from sourloam.logbook.models import Membership
    from sourloam.logbook.people import make_first_keeper, make_place

    began = time.perf_counter()
    director = make_first_keeper("director", "a short sentence")
    each = entries // sum(SIZES)
    keepers = {}
    for number, size in enumerate(SIZES):
        place = make_place(director, f"Place {number}", "Europe/Madrid")
        if size not in keepers:
            keepers[size] = (_account(f"keeper-{size}"), place.pk)
            Membership.objects.create(place=place, person=keepers[size][0], role="keeper")
        fill_place(place, size, each, random.Random(number))
        done = sum(SIZES[: number + 1])
        if number % 10 == 0:
            print(f"filled {done} vessels, {time.perf_counter() - began:.0f} s", flush=True)
    told = {
        f"place of {size} vessels": {"session": session(person), "place": place}
        for size, (person, place) in keepers.items()
    }
    every = f"{len(SIZES)} places, {sum(SIZES):,} vessels"
    told[every] = {"session": session(director), "place": keepers[SIZES[0]][1]}
    (folder / "people.json").write_text(json.dumps(told))


def _account(name: str):
    from django.contrib.auth.models import User

    return User.objects.create_user(name, password="a short sentence")


def session(person) -> str:
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore

    store = SessionStore()
    store[SESSION_KEY] = str(person.pk)
    store[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    store[HASH_SESSION_KEY] = person.get_session_auth_hash()
    store.save()
    return str(store.session_key)


def fill_place(place, vessels: int, each: int, chance: random.Random) -> None:
    """Entries of a place in the order of time, chained and filed as the store does it."""
    from django.db import transaction

    from sourloam import ledger
    from sourloam.ledger.entries import body_json
    from sourloam.logbook.filing import things_of
    from sourloam.logbook.models import Entry, Filing, Place, PlaceNow

    said = sorted(story(vessels, each, chance), key=lambda one: one[0])
    before, rows, filed = "", [], []
    for seq, (at, kind, body) in enumerate(said, start=1):
        one = ledger.Entry(
            uuid.UUID(int=chance.getrandbits(128)),
            place.pk,
            kind,
            at,
            at,
            ledger.parse_body(kind, body),
            received_at=at,
            by="keeper",
        )
        after = ledger.chain_hash(before, one)
        things = dict(reversed(one.things))
        rows.append(
            Entry(
                id=one.id,
                place=place,
                seq=seq,
                kind=kind,
                at=at,
                written_at=at,
                received_at=at,
                by="keeper",
                body=body_json(one.body),
                vessel=things.get("vessel", ""),
                bed=things.get("bed", ""),
                hash_before=before,
                hash=after,
            )
        )
        filed += [Filing(place=place, thing=t, entry_id=one.id) for t in things_of(one)]
        before = after
    with transaction.atomic():
        Entry.objects.bulk_create(rows, batch_size=1000)
        Filing.objects.bulk_create(filed, batch_size=1000)
        Place.objects.filter(pk=place.pk).update(last_seq=len(rows), last_hash=before)
        PlaceNow.objects.create(
            place=place,
            wanted_seq=len(rows),
            done_seq=len(rows),
            done_for=dt.date.today(),
        )
        keep_forecasts(place, vessels, len(rows))


def keep_forecasts(place, vessels: int, seq: int) -> None:
    """One real forecast, kept for every vessel: what it says does not change what a page costs."""
    from sourloam.logbook.models import Forecast

    Forecast.objects.bulk_create(
        [
            Forecast(place=place, vessel=f"pail-{n}", seq=seq, summary=one_forecast())
            for n in range(vessels)
        ],
        batch_size=500,
    )


def one_forecast(kept: list[dict[str, object]] = []) -> dict[str, object]:  # noqa: B006
    if not kept:
        from sourloam import ledger
        from sourloam.forecast import Question, forecast_place

        today = dt.date.today()
        log = [
            ledger.Entry(uuid.uuid4(), "x", kind, at, at, ledger.parse_body(kind, body))
            for at, kind, body in story(1, 250, random.Random(1))
        ]
        state = ledger.fold(log)
        site = state.site()
        assert site is not None
        found = forecast_place(state, site, Question(today, 60))
        kept.extend(one.summary() for one in found.values())
    return kept[0]


def story(vessels: int, each: int, chance: random.Random) -> Iterator[tuple]:
    """What people of a place wrote: turns of sixty days, so many entries for each vessel."""
    now = dt.datetime.now(dt.UTC).replace(microsecond=0)
    turns = max(1, each // 40)
    start = now - dt.timedelta(days=turns * TURN_DAYS - 20)
    yield start - dt.timedelta(days=2), "place_described", {"site": site_document()}
    for n in range(4):
        bed = {"name": f"Bed {n}", "length": "8 m", "width": "1.2 m"}
        yield (
            start - dt.timedelta(days=1),
            "bed_added",
            {"bed": f"bed-{n}", "name": bed["name"], "spec": bed},
        )
    for turn in range(turns):
        bag = {"lot": f"bran-{turn}", "mass_kg": round(0.6 * vessels, 1)}
        yield start + dt.timedelta(days=turn * TURN_DAYS, hours=-1), "bran_received", bag
    for n in range(vessels):
        vessel = f"pail-{n}"
        spec = {"name": "pail", "volume": "19 L"}
        yield (
            start - dt.timedelta(hours=20),
            "vessel_added",
            {"vessel": vessel, "name": f"Pail {n}", "spec": spec},
        )
        written = 1
        for turn in range(turns):
            began = start + dt.timedelta(days=turn * TURN_DAYS, minutes=chance.randrange(1200))
            for entry in one_turn(vessel, n % 4, began, f"bran-{turn}", chance):
                if entry[0] < now and written < each:
                    written += 1
                    yield entry
        for extra in range(each - written):
            yield (
                start + dt.timedelta(minutes=30 * extra + n),
                "noted",
                {"vessel": vessel, "note": "all as it should be"},
            )


def one_turn(
    vessel: str, bed: int, began: dt.datetime, lot: str, chance: random.Random
) -> Iterator[tuple]:
    def day(number: float) -> dt.datetime:
        return began + dt.timedelta(days=number)

    for number in range(0, 24):
        yield (
            day(number),
            "fed",
            {
                "vessel": vessel,
                "kinds": "household",
                "bran_g": 20.0,
                "lot": lot,
                "amount": {"mass_kg": round(chance.uniform(0.3, 0.8), 2)},
            },
        )
        if number % 4 == 3:
            yield (
                day(number + 0.1),
                "drained",
                {"vessel": vessel, "use": "plants", "volume_ml": float(chance.randrange(50, 300))},
            )
        if number % 8 == 7:
            yield day(number + 0.2), "ph_read", {"vessel": vessel, "ph": 4.2}
    yield day(25), "set_aside", {"vessel": vessel}
    yield (
        day(50),
        "buried",
        {
            "vessel": vessel,
            "bed": f"bed-{bed}",
            "depth_m": 0.3,
            "width_m": 0.3,
            "length_m": 1.0,
            "cover_m": 0.2,
        },
    )
    yield day(50.1), "emptied", {"vessel": vessel, "fate": "buried"}
    yield day(51), "washed", {"vessel": vessel}


def site_document() -> dict[str, object]:
    import tomllib

    home = Path(__file__).parents[1] / "examples" / "home.toml"
    return json.loads(json.dumps(tomllib.loads(home.read_text("utf-8")), default=str))


# --- measuring ----------------------------------------------------------------------------


class Visitor:
    """Somebody signed in, asking over one connection."""

    def __init__(self, address: str, who: dict[str, str]) -> None:
        self.connection = http.client.HTTPConnection(urlsplit(address).netloc, timeout=300)
        self.cookies = f"sessionid={who['session']}; csrftoken={TOKEN}"

    def ask(self, method: str, path: str, body: str | None = None) -> tuple[int, float]:
        headers = {"Cookie": self.cookies, "X-CSRFToken": TOKEN, "Content-Type": "application/json"}
        began = time.perf_counter()
        self.connection.request(method, path, body, headers)
        answer = self.connection.getresponse()
        answer.read()
        return answer.status, 1000 * (time.perf_counter() - began)


def measure(folder: Path, people: dict[str, dict[str, str]]) -> None:
    environment = {k: v for k, v in os.environ.items() if not k.startswith("SOURLOAM_")}
    server = subprocess.Popen(
        [
            sys.executable,
            "-c",
            "from sourloam.cli import main; main()",
            "serve",
            "--data",
            str(folder),
            "--port",
            "0",
        ],
        stdout=subprocess.PIPE,
        text=True,
        env=environment,
    )
    try:
        assert server.stdout is not None
        found = re.search(r"http://\S+/", server.stdout.readline())
        assert found is not None
        time.sleep(WARM_S)
        print(f"{'who':28} {'what':10} {'first':>8} {'middle':>8} {'95 %':>8}   ms")
        for who, known in people.items():
            measure_pages(found[0], who, known)
        for writers in (1, 4):
            measure_store(found[0], people, writers)
    finally:
        server.terminate()
        server.wait()


def measure_pages(address: str, who: str, known: dict[str, str]) -> None:
    place, visitor = known["place"], Visitor(address, known)
    pages = {
        "today": "/",
        "shelf": f"/p/{place}/",
        "vessel": f"/p/{place}/v/pail-3",
        "rescue": f"/p/{place}/v/pail-3/rescue?begun=1&seen=rotten_smell",
        "beds": f"/p/{place}/beds",
        "lots": f"/p/{place}/lots",
        "lot": f"/p/{place}/lots/bran-0",
        "stores": f"/p/{place}/stores",
        "exchange": f"/p/{place}/exchange",
        "people": f"/p/{place}/people",
        "labels": f"/p/{place}/labels",
        "calendar": f"/p/{place}/calendar",
        "achieved": f"/p/{place}/achieved",
        "set-up": f"/p/{place}/set-up",
        "settings": "/settings",
        "try": "/try",
    }
    for name, path in pages.items():
        answers = [visitor.ask("GET", path) for _ in range(2)]
        tries = PAGE_TRIES if answers[1][1] < SLOW_MS else SLOW_TRIES
        tell(who, name, answers + [visitor.ask("GET", path) for _ in range(tries)])


def measure_store(address: str, people: dict[str, dict[str, str]], writers: int) -> None:
    """Entries into the largest place, by so many phones at once; each then looks at the vessel."""
    known = people[f"place of {SIZES[0]} vessels"]
    answers: list[tuple[int, float]] = []
    looks: list[tuple[int, float]] = []

    def write(number: int) -> None:
        visitor = Visitor(address, known)
        vessel = f"pail-{number}"
        for _ in range(STORE_TRIES // writers):
            now = dt.datetime.now(dt.UTC).isoformat()
            entry = {
                "id": str(uuid.uuid4()),
                "place": known["place"],
                "kind": "fed",
                "at": now,
                "written_at": now,
                "body": {"vessel": vessel, "amount": {"mass_kg": 0.5}},
            }
            answers.append(visitor.ask("POST", "/api/entries", json.dumps(entry)))
            if len(answers) % 10 == 0:
                looks.append(visitor.ask("GET", f"/p/{known['place']}/v/{vessel}"))

    threads = [threading.Thread(target=write, args=(n,)) for n in range(writers)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    tell(f"{writers} writing at once", "store", answers)
    tell(f"{writers} writing at once", "vessel", looks)


def tell(who: str, what: str, answers: list[tuple[int, float]]) -> None:
    bad = [status for status, _ms in answers if status not in (200, 201)]
    first, rest = answers[0][1], sorted(ms for _status, ms in answers[1:])
    at: Callable[[float], float] = lambda share: rest[min(int(share * len(rest)), len(rest) - 1)]  # noqa: E731
    note = f"   {len(bad)} answered {sorted(set(bad))}" if bad else ""
    print(f"{who:28} {what:10} {first:8.0f} {at(0.5):8.1f} {at(0.95):8.1f}{note}", flush=True)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--fill"]:
        if "--quick" in sys.argv:
            be_quick()
        fill(Path(sys.argv[2]), int(sys.argv[3]))
    else:
        main()
