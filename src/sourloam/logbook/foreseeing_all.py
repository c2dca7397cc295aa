"""Foreseeing every vessel of every place now, over processes: nightly, or on demand.

What is done is kept place by place, with its mark; so a run that was broken off, or a worker that
died, loses nothing, and the next run goes on where this one ended.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Generator, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import closing, contextmanager
from dataclasses import dataclass, field

from sourloam.numerics.progress import Progress
from sourloam.programme.night import MEMBERS

_AHEAD = 2  # places handed out to each process at a time
_PATIENCE = 3  # times that new processes are started after one died
_PLACES_A_LIFE = 2000  # places after which a process is renewed, so that its memory stays bounded


@dataclass
class Foreseen:
    """How a run went: places and vessels foreseen; places that failed, by id, with the reason."""

    places: int = 0
    vessels: int = 0
    troubles: dict[str, str] = field(default_factory=dict)


def foresee_all(
    processes: int,
    report: Progress,
    everything: bool = False,
    workers: str = "",
    members: int = MEMBERS,
    done: Foreseen | None = None,
) -> Foreseen:
    """Renew what waits, or all forecasts where ``everything`` is wanted, by so many ``members``
    each; on other machines where ``workers`` is the address of their scheduler. ``done`` is
    filled as it goes, for whoever wants to know what stands when the run is broken off."""
    from django.utils import timezone

    from sourloam.logbook.foreseeing import waiting
    from sourloam.logbook.models import PlaceNow

    if everything:
        PlaceNow.objects.update(done_for=None)
    todo = waiting(timezone.now())
    done = Foreseen() if done is None else done
    if todo:
        report(f"starting, 0 of {len(todo)} places; the first takes longest", 0.0)
    if workers:
        from sourloam.logbook.foreseeing_away import foresee_away

        return foresee_away(workers, todo, report, members, done)
    if processes > 1 and len(todo) > 1:
        _spread(todo, processes, members, done, report)
    else:
        for place in todo:
            take(done, place, *one_place(place, members))
            tell(done, len(todo), report)
    return done


def one_place(place: str, members: int = MEMBERS) -> tuple[int, str]:
    """Foresee one place: its vessels, and what went wrong if anything did."""
    from sourloam.logbook import standing
    from sourloam.logbook.models import PlaceNow
    from sourloam.logbook.renewing import renew

    standing.forget()  # the memory of one place at a time
    try:
        number = renew(place, members=members)
    except Exception as error:  # one place may fail; the others must go on
        return 0, f"{type(error).__name__}: {error}"
    rows = PlaceNow.objects.filter(pk=place).values_list("trouble", flat=True)
    return number, rows.first() or ""


def _start() -> None:
    """Make a new process ready; the cores are shared among processes, not within one."""
    threading.Thread(target=_end_with_parent, daemon=True).start()
    import django
    import numba

    django.setup()
    numba.set_num_threads(1)


def _end_with_parent() -> None:
    """However its parent ends, killed too, a process does not work on for nobody."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _spread(
    todo: list[str], processes: int, members: int, done: Foreseen, report: Progress
) -> None:
    """Hand out a few places at a time; a process that dies is replaced, its places asked anew."""
    left, tries = list(todo), _PATIENCE
    while left and tries:
        try:
            with closing(_handed_out(list(left), processes, members)) as handed_out:
                for place, found in handed_out:
                    take(done, place, *found)
                    left.remove(place)
                    tell(done, len(todo), report)
        except BrokenProcessPool:
            tries -= 1
    for place in left:
        done.troubles[place] = "its process died; run it again"


def _handed_out(
    places: list[str], processes: int, members: int
) -> Generator[tuple[str, tuple[int, str]], None, None]:
    with _pool(processes) as pool:
        waiting: dict[Future[tuple[int, str]], str] = {}
        for place in places:
            with _deaf():
                waiting[pool.submit(one_place, place, members)] = place
            if len(waiting) >= _AHEAD * processes:
                yield from _finished(waiting)
        while waiting:
            yield from _finished(waiting)


@contextmanager
def _pool(processes: int) -> Iterator[ProcessPoolExecutor]:
    """Processes that end at once where the work is broken off."""
    before = multiprocessing.active_children()
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(
        processes, context, initializer=_start, max_tasks_per_child=_PLACES_A_LIFE
    ) as pool:
        try:
            yield pool
        except BaseException:
            for child in set(multiprocessing.active_children()) - set(before):
                child.terminate()
            raise


@contextmanager
def _deaf() -> Iterator[None]:
    """Processes started meanwhile never hear an interrupt: it is for their parent, which ends
    them."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _finished(
    waiting: dict[Future[tuple[int, str]], str],
) -> Iterator[tuple[str, tuple[int, str]]]:
    ready, _ = wait(waiting, return_when=FIRST_COMPLETED)
    for future in ready:
        found = future.result()  # BrokenProcessPool: the place stays among those to do
        yield waiting.pop(future), found


def take(done: Foreseen, place: str, vessels: int, trouble: str) -> None:
    """Count a place that came back."""
    done.places += 1
    done.vessels += vessels
    if trouble:
        done.troubles[place] = trouble


def tell(done: Foreseen, total: int, report: Progress) -> None:
    """Say how far it is."""
    report(f"{done.places} of {total} places, {done.vessels} vessels", done.places / total)
