"""What a night costs: forecasts of all vessels, linear in vessels, and over two workers.

    .venv/bin/sourloam demo-programme --data /path/town              # once, some minutes
    .venv/bin/python benchmarks/foresee_speed.py --data /path/town

Works on a copy of the folder and takes the coming day, with what was learned and foreseen until
today: an ordinary night. Prints the cost of a vessel, for more and more vessels; how much faster
two processes, and two workers of a Dask cluster, are than one; what reading, keeping, disk and
copies take a place; and from these figures alone what a million homes would take.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import os
import resource
import shutil
import tempfile
import time
import zlib
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context
from pathlib import Path
from typing import Any

for _threads in ("NUMBA_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(_threads, "1")

SETS = (25, 50, 100, 200)
SPREAD = 100  # vessels of the trial of two workers
SAVED_PLACES = 8
HOMES, NIGHT_H = 1_000_000, 8
VESSELS, CORES = 10_000, 2
SAVED_EVERY = 7  # nights
GB = 1e9


@dataclass
class Costs:
    """What was measured, each for one vessel in use or one place."""

    vessel_s: float = 0.0
    through_s: float = 0.0
    efficiency: float = 0.0
    saved_s: float = 0.0
    read_s: float = 0.0
    keep_s: float = 0.0
    in_use: float = 0.0
    disk_b: float = 0.0
    copy_b: float = 0.0
    copy_s: float = 0.0
    packed_b: float = 0.0
    worlds_b: float = 0.0
    packed_worlds_b: float = 0.0
    memory_b: float = 0.0


def work(away: Any) -> Any:
    return alone((away.task, away.log))


def alone(job: tuple[Any, bytes]) -> Any:
    """What a worker does, which has no logbook."""
    from sourloam.programme.night import reckon_packed

    return reckon_packed(*job)


def timed(do: Callable[[], object]) -> tuple[float, float]:
    """Seconds by the clock and of the processor."""
    clock, own = time.perf_counter(), time.process_time()
    do()
    return time.perf_counter() - clock, time.process_time() - own


def sent(costs: Costs, members: int) -> list[tuple[int, Any]]:
    """Places with vessels in use, as they are sent to workers for the coming day."""
    from django.db.models import Count
    from django.utils import timezone

    from sourloam.logbook.models import Forecast, Place
    from sourloam.logbook.renewing import sent_away

    coming = timezone.now() + dt.timedelta(days=1)
    rows = Forecast.objects.values_list("place_id").annotate(n=Count("pk")).order_by("place_id")
    found, began = [], time.process_time()
    for place, number in rows:
        away = sent_away(place, coming, members)
        found.append((number, replace(away, task=replace(away.task, saved=False))))
    costs.read_s = (time.process_time() - began) / len(found)
    costs.in_use = sum(number for number, _away in found) / Place.objects.count()
    costs.packed_b = sum(len(away.log) for _number, away in found) / len(found)
    return found


def until(found: Sequence[tuple[int, Any]], vessels: int) -> tuple[int, list[Any]]:
    """The first places that hold so many vessels, with their number."""
    number, some = 0, []
    for many, away in found:
        if number >= vessels:
            break
        number, some = number + many, [*some, away]
    return number, some


def growing(found: Sequence[tuple[int, Any]], costs: Costs) -> None:
    """More and more vessels, one after the other; then what the results take to be kept."""
    print("vessels  processor s  clock s  processor ms each")
    results: list[tuple[Any, Any]] = []
    for vessels in SETS:
        number, some = until(found, vessels)
        results.clear()
        clock, own = timed(lambda some=some: results.extend((a, work(a)) for a in some))
        costs.vessel_s = own / number
        print(f"{number:7} {own:12.1f} {clock:8.1f} {1000 * own / number:18.0f}")
    _clock, own = timed(lambda: keep(results))
    costs.keep_s = own / len(results)
    costs.memory_b = 1024 * resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def through(found: Sequence[tuple[int, Any]], costs: Costs, members: int) -> None:
    """The same from the logbook and back into it: all that a night does for a vessel."""
    from django.utils import timezone

    from sourloam.logbook import standing
    from sourloam.logbook.renewing import renew

    after = timezone.now() + dt.timedelta(days=2)  # the coming day is reckoned and kept by now
    number, some = until(found, SETS[-1])

    def night() -> None:
        for away in some:
            standing.forget()
            renew(away.task.place[0], after, members)

    clock, own = timed(night)
    costs.through_s = own / number
    print(
        f"read, reckoned and kept, {number} vessels: {1000 * own / number:.0f} ms of processor "
        f"each, {1000 * clock / number:.0f} by the clock"
    )


def keep(results: Sequence[tuple[Any, Any]]) -> None:
    from sourloam.logbook import renewing

    for away, done in results:
        renewing.keep(away.task, away.seq, done)


def spreading(found: Sequence[tuple[int, Any]], costs: Costs) -> None:
    """The same places by one worker and by two, each loaded before the clock starts."""
    some = [(away.task, away.log) for away in until(found, SPREAD)[1]]
    took = {}
    for workers in (1, 2):
        with ProcessPoolExecutor(workers, get_context("spawn")) as pool:
            list(pool.map(alone, some[: 2 * workers]))
            took[workers] = timed(lambda pool=pool: list(pool.map(alone, some)))[0]
    costs.efficiency = took[1] / (2 * took[2])
    tell_spread("processes", took)
    try:
        import dask

        dask.config.set({"logging.distributed": "error"})
        import distributed
    except ImportError:
        print("Dask: not installed")
        return
    took = {}
    for workers in (1, 2):
        with (
            distributed.LocalCluster(
                n_workers=workers,
                threads_per_worker=1,
                dashboard_address=None,
                host="127.0.0.1",
            ) as cluster,
            distributed.Client(cluster) as client,
        ):
            client.gather(client.map(alone, some[: 4 * workers], pure=False))
            took[workers] = timed(lambda c=client: c.gather(c.map(alone, some, pure=False)))[0]
    tell_spread("workers of Dask", took)


def tell_spread(what: str, took: dict[int, float]) -> None:
    share = took[1] / (2 * took[2])
    print(f"{what}: one {took[1]:.1f} s, two {took[2]:.1f} s: efficiency {share:.2f}")


def saving(found: Sequence[tuple[int, Any]], costs: Costs) -> None:
    """What summing the climate adds to a place, once a week."""
    some = [replace(a, task=replace(a.task, news=(), saved=True)) for _n, a in found[:SAVED_PLACES]]
    plain = [replace(a, task=replace(a.task, saved=False)) for a in some]
    work(some[0])
    done: list[Any] = []
    with_ = timed(lambda: done.extend(work(a) for a in some))[1]
    worlds = [json.dumps(one.saved).encode() for one in done]
    costs.worlds_b = sum(map(len, worlds)) / len(worlds)
    costs.packed_worlds_b = sum(len(zlib.compress(one)) for one in worlds) / len(worlds)
    without = timed(lambda: [work(a) for a in plain])[1]
    costs.saved_s = (with_ - without) / len(some)
    print(f"what a place saved, once a week: {costs.saved_s:.2f} s")


def storing(folder: Path, costs: Costs) -> None:
    """Disk and copy for each place."""
    from sourloam.logbook.data_folder import DataFolder
    from sourloam.logbook.models import Entry, Place, PlaceSaved
    from sourloam.safekeeping.backing_up import write_backup

    places = Place.objects.count()
    lacking = 1 - PlaceSaved.objects.count() / places  # an older folder holds no worlds yet
    costs.disk_b = DataFolder(folder).database.stat().st_size / places + lacking * costs.worlds_b
    copy = folder / "copy.zip"
    costs.copy_s = timed(lambda: write_backup(copy))[1] / places
    costs.copy_b = copy.stat().st_size / places + lacking * costs.packed_worlds_b
    each = Entry.objects.count() / places
    print(
        f"a place: {each:.0f} entries, {costs.disk_b / 1000:.0f} kB on disk, "
        f"{costs.copy_b / 1000:.1f} kB in a copy, sent to a worker in {costs.packed_b / 1000:.1f} "
        f"kB; read in {1000 * costs.read_s:.0f} ms, kept in {1000 * costs.keep_s:.0f} ms"
    )


def ten_thousand(c: Costs) -> None:
    """The same for ten thousand vessels on two cores."""
    took = [VESSELS * each / CORES / min(c.efficiency, 1.0) for each in (c.vessel_s, c.through_s)]
    print(
        f"\n{VESSELS:,} vessels on {CORES} cores: forecasts {took[0]:.0f} s, "
        f"read and kept too {took[1]:.0f} s"
    )


def million(c: Costs) -> None:
    """What a million homes take, from the figures above and nothing else."""
    vessels = HOMES * c.in_use
    work_h = vessels * c.vessel_s / 3600
    saved_h = HOMES * c.saved_s / SAVED_EVERY / 3600
    cores = (work_h + saved_h) / NIGHT_H / min(c.efficiency, 1.0)
    serial_h = HOMES * (c.read_s + c.keep_s) / 3600
    print(f"\n{HOMES:,} homes, {vessels:,.0f} vessels in use, a night of {NIGHT_H} hours:")
    print(f"  forecasts {work_h:,.0f} core hours, climate {saved_h:,.0f}: {cores:,.0f} cores")
    print(
        f"  memory {cores * c.memory_b / GB:,.0f} GB over all workers "
        f"({c.memory_b / GB:.2f} GB each)"
    )
    print(
        f"  reading and keeping {serial_h:,.1f} h of one core: {serial_h / NIGHT_H:,.1f} "
        "runs of foresee side by side, each over its own logbook"
    )
    print(f"  disk {HOMES * c.disk_b / GB:,.0f} GB after a year; a copy of it {copy_of(c)}")


def copy_of(c: Costs) -> str:
    return f"{HOMES * c.copy_b / GB:,.0f} GB, {HOMES * c.copy_s / 3600:,.1f} h of one core"


def main() -> None:
    """Print all of it."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("--data", type=Path, required=True, help="made by demo-programme")
    asked.add_argument("--members", type=int, default=200, help="possible worlds of a vessel")
    given = asked.parse_args()
    print(f"load before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores", flush=True)
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "town"
        shutil.copytree(given.data, folder)
        os.environ["SOURLOAM_DATA"] = str(folder)
        os.environ["DJANGO_SETTINGS_MODULE"] = "sourloam.logbook.settings"
        import django

        django.setup()
        from django.core.management import call_command

        call_command("migrate", verbosity=0)
        measure(folder, given.members)


def measure(folder: Path, members: int) -> None:
    costs = Costs()
    found = sent(costs, members)
    work(found[0][1])  # compiled and loaded before the clock starts
    growing(found, costs)
    through(found, costs, members)
    saving(found, costs)
    spreading(found, costs)
    storing(folder, costs)
    ten_thousand(costs)
    million(costs)
    print(f"load after: {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
