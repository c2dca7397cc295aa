"""``sourloam foresee``: every vessel of every place, now; ``sourloam demo-programme``."""

from __future__ import annotations

import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Annotated

import typer

from sourloam.cli.counting import counted
from sourloam.cli.progress import progress
from sourloam.cli.trouble import ENDED, INTERRUPTED, BrokenOff, Refusal, say

_SHOWN = 5
_WRONG = 1
_DATA = Annotated[
    Path | None, typer.Option(help="The logbook's folder, as `sourloam serve` has it.")
]


def foresee(
    data: _DATA = None,
    processes: Annotated[
        int, typer.Option(help="So many at once; one for each core is enough.", min=1, max=64)
    ] = 1,
    workers: Annotated[
        str,
        typer.Option(
            envvar="SOURLOAM_WORKERS",
            help="Let the workers of this Dask scheduler do it, such as tcp://host:8786.",
        ),
    ] = "",
    everything: Annotated[
        bool, typer.Option("--all", help="Also what was foreseen today already.")
    ] = False,
    members: Annotated[
        int,
        typer.Option(
            help="How many possible worlds each vessel has; fewer take less time and leave the "
            "ends of the ranges less steady.",
            min=100,
            max=5000,
            metavar="N",
        ),
    ] = 500,
) -> None:
    """Foresee all vessels of a logbook now, such as every night.

    What is done is kept place by place: broken off, it goes on where it ended.
    """
    from sourloam.logbook import serving
    from sourloam.logbook.data_folder import DataFolder, chosen

    folder = chosen() if data is None else DataFolder(data.expanduser().absolute())
    if not folder.path.is_dir():
        raise Refusal(f"--data {folder.path}: is not there; `sourloam serve` makes one")
    with _may_be_ended("no place was begun; run it again"), _told(serving):
        serving.prepare(folder, static=False)
    _foresee(processes, everything, workers, members)


@contextmanager
def _told(serving: object) -> Iterator[None]:
    from sourloam.logbook.serving import FolderError, ServingError

    try:
        yield
    except (FolderError, ServingError) as error:
        raise Refusal(str(error)) from None


class _Ended(KeyboardInterrupt):
    """Somebody asked the process to end; taken like an interrupt."""


def _end(_number: int, _frame: FrameType | None) -> None:
    raise _Ended


@contextmanager
def _may_be_ended(stands: str) -> Iterator[None]:
    """An interrupt, and being asked to end, tell what stands."""
    before = signal.signal(signal.SIGTERM, _end)
    try:
        yield
    except KeyboardInterrupt as stopped:
        code = ENDED if isinstance(stopped, _Ended) else INTERRUPTED
        raise BrokenOff(f"interrupted; {stands}", code) from None
    finally:
        signal.signal(signal.SIGTERM, before)


def _foresee(
    processes: int, everything: bool, workers: str = "", members: int = 500,
    again: str = "run it again to go on",
) -> None:  # fmt: skip
    from sourloam.logbook.foreseeing_all import Foreseen, foresee_all
    from sourloam.logbook.foreseeing_away import AwayError

    began = time.monotonic()
    done = Foreseen()
    try:
        with _may_be_ended(""), progress("starting", steady=True) as report:
            foresee_all(processes, report, everything, workers, members, done)
    except AwayError as error:
        raise Refusal(str(error)) from None
    except BrokenOff as stopped:
        kept = counted(done.places - len(done.troubles), "place")
        raise BrokenOff(f"interrupted; {kept} kept; {again}", stopped.code) from None
    took = time.monotonic() - began
    vessels = counted(done.vessels, "vessel")
    typer.echo(f"{counted(done.places, 'place')}, {vessels} foreseen in {took:.0f} s")
    for place, why in list(done.troubles.items())[:_SHOWN]:
        say(f"{place}: {why}")
    if done.troubles:
        say(f"trouble at {counted(len(done.troubles), 'place')}")
        raise typer.Exit(_WRONG)


def demo_programme(
    data: Annotated[Path, typer.Option(help="A new folder: missing, or empty.")],
    places: Annotated[int, typer.Option(help="So many invented places.", min=3, max=5000)] = 300,
    processes: Annotated[
        int, typer.Option(help="So many at once while foreseeing.", min=1, max=64)
    ] = 2,
) -> None:
    """Fill a new folder with an invented programme of places.

    Many places, with a year of entries each. People and scraps are drawn by simple rules, not by
    the model of the vessel; the forecasts are then reckoned by the model from those entries, as
    for any log.
    """
    from sourloam.logbook import serving
    from sourloam.logbook.data_folder import DataFolder

    folder = DataFolder(data.expanduser().absolute())
    if folder.path.exists() and (not folder.path.is_dir() or any(folder.path.iterdir())):
        raise Refusal(f"--data {data}: is not empty; choose a new folder")
    import datetime as dt

    with _may_be_ended(f"{data} is half filled: remove it, and start again"):
        with _told(serving):
            serving.prepare(folder, static=False)
        from sourloam.logbook.demo.town import load_town, plan_tomorrow

        with progress() as report:
            number = load_town(dt.date.today(), places, report)
    entries = counted(number, "entry", "entries")
    typer.echo(f"{counted(places, 'place')} with {entries}")
    try:
        again = f"sourloam foresee --data {data} goes on"
        _foresee(processes, everything=False, again=again)
    finally:
        plan_tomorrow()
    typer.echo(f"now: sourloam serve --data {data}")
