"""Showing how far the work is: a moving bar on a terminal, now and then a line elsewhere."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sourloam.numerics.progress import Progress

_EVERY_S = 4.0  # between two lines where nothing can move
_BEAT_S = 20.0  # between two lines of long work that nobody watches


@contextmanager
def progress(first: str = "reading", steady: bool = False) -> Iterator[Progress]:
    """A function to call with what is being done and the share done (0 to 1).

    Everything goes to standard error, so that results stay clean. ``steady`` is for long work: it
    speaks at once, and then also while no report comes.
    """
    if sys.stderr.isatty():
        with _bar(first) as report:
            yield report
    elif steady:
        with _beats(first) as report:
            yield report
    else:
        yield _lines()


@contextmanager
def _bar(first: str) -> Iterator[Progress]:
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar

    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        TextColumn("{task.percentage:3.0f} %"),
        TimeElapsedColumn(),
    )
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(first, total=1.0)
        yield lambda stage, share: bar.update(task, description=stage, completed=share)


def _lines() -> Progress:
    last = time.monotonic()

    def report(stage: str, share: float) -> None:
        nonlocal last
        if time.monotonic() - last >= _EVERY_S:
            last = time.monotonic()
            print(f"sourloam: {stage}, {share:.0%} done", file=sys.stderr, flush=True)

    return report


@contextmanager
def _beats(first: str) -> Iterator[Progress]:
    began, over = time.monotonic(), threading.Event()
    latest = f"{first}, 0% done"

    def tell() -> None:
        print(f"sourloam: {latest}, {time.monotonic() - began:.0f} s", file=sys.stderr, flush=True)

    def report(stage: str, share: float) -> None:
        nonlocal latest
        latest = f"{stage}, {share:.0%} done"
        if share == 0:  # something begins
            tell()

    def beat() -> None:
        while not over.wait(_BEAT_S):
            tell()

    beating = threading.Thread(target=beat, daemon=True)
    tell()
    beating.start()
    try:
        yield report
    finally:
        over.set()
        beating.join()
