"""How long the ledger takes: reading, folding, hashing, and the list of what is due.

One place with many vessels, each with the log of the demo's house again and again. Run it on a
quiet machine: ``python benchmarks/ledger_fold.py [VESSELS] [ENTRIES]``.
"""

from __future__ import annotations

import datetime as dt
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from uuid import UUID

from sourloam.demo import season
from sourloam.ledger import Entry, chain_hash, due, entries_about, fold, fold_vessel, parse_entry

TODAY = dt.date(2026, 11, 25)


def many(vessels: int, wanted: int) -> list[Entry]:
    """So many entries over so many vessels: one real log, copied with new ids."""
    house = next(p for p in season(TODAY).places if p.id.endswith("house")).entries
    mine = [e for e in house if "vessel" in type(e.body).model_fields and e.supersedes is None]
    entries: list[Entry] = [e for e in house if not e.things]
    number = 0
    while len(entries) < wanted:
        vessel = f"pail-{number % vessels}"
        for one in mine:
            body = one.body.model_copy(update={"vessel": vessel})
            entries.append(replace(one, id=UUID(int=len(entries) + 1), body=body))
        number += 1
    return entries[:wanted]


def timed(what: str, do: Callable[[], object], times: int = 1) -> object:
    """Run and print seconds, or milliseconds each where it is done often."""
    start = time.perf_counter()
    for _ in range(times):
        found = do()
    each = (time.perf_counter() - start) / times
    print(f"{what:58} {each * 1000:10.2f} ms")
    return found


def main() -> None:
    """Print the table."""
    vessels, wanted = (int(a) for a in (sys.argv[1:] + ["2000", "500000"][len(sys.argv) - 1 :]))
    entries = many(vessels, wanted)
    print(f"{len(entries)} entries, {vessels} vessels")
    place = timed("fold the whole place", lambda: fold(entries))
    about = entries_about(("vessel", "pail-0"), entries)
    timed(f"fold one vessel alone ({len(about)} entries)", lambda: fold_vessel("pail-0", about), 50)
    timed("what is due, the whole place", lambda: due(place, {}, None, TODAY))
    raw = entries[1000].as_json()
    timed("read one entry", lambda: parse_entry(raw), 2000)
    timed("hash one entry", lambda: chain_hash("", entries[1000]), 2000)
    timed("make the demo season", lambda: season(TODAY))


if __name__ == "__main__":
    main()
