"""Foreseeing on other machines: workers of a Dask cluster get a place's log and give forecasts
back; only this process touches the logbook.

So many places are on their way at a time, and each is kept as it comes back: memory stays bounded,
and a run that was broken off goes on where it ended. What a worker that died had is handed to
others by the scheduler.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sourloam.logbook.foreseeing_all import Foreseen, take, tell
from sourloam.logbook.renewing import Away, keep, sent_away
from sourloam.numerics.progress import Progress
from sourloam.programme.night import MEMBERS, reckon_packed

ADDRESS = "SOURLOAM_WORKERS"
_AHEAD = 3  # places on their way for each thread of the workers
_PATIENCE_S = 15.0  # for the scheduler, and for its first worker
_TRIES = 3  # times that a place is asked again elsewhere after its worker died


class AwayError(Exception):
    """Other machines can't be asked; the message is one line: what is wrong, what would help."""


def foresee_away(
    address: str,
    todo: list[str],
    report: Progress,
    members: int = MEMBERS,
    done: Foreseen | None = None,
) -> Foreseen:
    """Have these places foreseen by the workers of the scheduler at ``address``."""
    client = _client(address)
    try:
        return foresee_with(client, todo, report, members, done)
    finally:
        client.close()


def _client(address: str) -> Any:
    library = _library()
    try:
        client = library.Client(address, timeout=_PATIENCE_S, set_as_default=False)
    except (OSError, ValueError) as error:
        why = str(error).partition("\n")[0]
        raise AwayError(
            f"{ADDRESS} {address}: no scheduler answers there ({why}); write tcp://HOST:PORT"
        ) from None
    try:
        client.wait_for_workers(1, timeout=_PATIENCE_S)
    except TimeoutError:
        client.close()
        raise AwayError(f"{ADDRESS} {address}: has no worker; start some") from None
    return client


def _library() -> Any:
    """Dask's; most of it carries no types."""
    try:
        import distributed
    except ImportError:
        raise AwayError(
            f'{ADDRESS}: needs the distributed library: pip install "sourloam[machines]"'
        ) from None
    return distributed


def foresee_with(
    client: Any,
    todo: list[str],
    report: Progress,
    members: int = MEMBERS,
    done: Foreseen | None = None,
) -> Foreseen:
    """The same by a client that is there; ``done`` is filled as it goes."""
    done = Foreseen() if done is None else done
    for place, found in _each(client, todo, members):
        take(done, place, *found)
        tell(done, len(todo), report)
    return done


def _each(client: Any, todo: list[str], members: int) -> Iterator[tuple[str, tuple[int, str]]]:
    """Places with what came of them, as they come back; few are on their way at a time."""
    out: dict[Any, tuple[str, Away]] = {}
    back = _library().as_completed(loop=client.loop)
    rest = iter(todo)

    def send() -> None:
        for place in rest:
            away = sent_away(place, members=members)
            future = client.submit(reckon_packed, away.task, away.log, pure=False, retries=_TRIES)
            out[future] = place, away
            back.add(future)
            if len(out) >= _room(client):
                return

    send()
    while out:
        future = next(back)
        place, away = out.pop(future)
        yield place, _kept(future, away)
        del future
        send()


def _room(client: Any) -> int:
    threads = sum(client.nthreads().values())
    return _AHEAD * max(int(threads), 1)


def _kept(future: Any, away: Away) -> tuple[int, str]:
    """What came back, kept; one place may fail, the others must go on."""
    try:
        done = future.result()
        return keep(away.task, away.seq, done), done.trouble
    except Exception as error:
        return 0, f"{type(error).__name__}: {str(error).partition(chr(10))[0]}"
