"""Showing how far the work is: a moving bar on a terminal, now and then a line elsewhere."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Report = Callable[[str, float], None]
_EVERY_S = 4.0  # between two lines where nothing can move


@contextmanager
def progress() -> Iterator[Report]:
    """A function to call with what is being done and the share done (0 to 1).

    Everything goes to standard error, so that results stay clean.
    """
    if sys.stderr.isatty():
        with _bar() as report:
            yield report
    else:
        yield _lines()


@contextmanager
def _bar() -> Iterator[Report]:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        TextColumn("{task.percentage:3.0f} %"),
        TimeElapsedColumn(),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("reading", total=1.0)
        yield lambda stage, share: bar.update(task, description=stage, completed=share)


def _lines() -> Report:
    last = time.monotonic()

    def report(stage: str, share: float) -> None:
        nonlocal last
        if time.monotonic() - last >= _EVERY_S:
            last = time.monotonic()
            print(f"sourloam: {stage}, {share:.0%} done", file=sys.stderr, flush=True)

    return report
