"""The process that foresees and tells what was achieved: ends when its server ends."""

from __future__ import annotations

import os
import select
import subprocess
import sys

_LOOK_S = 60.0  # so often it looks by itself, for a new day
_NICE = 10
_CHUNK = 65536


def start() -> subprocess.Popen[bytes]:
    """Start it; its standard input is the pipe for ``foreseeing.listen``.

    It has a session of its own: an interrupt is for the server, which ends it.
    """
    process = subprocess.Popen(
        [sys.executable, "-m", __name__],
        stdin=subprocess.PIPE,
        bufsize=0,
        start_new_session=True,
    )
    assert process.stdin is not None
    os.set_blocking(process.stdin.fileno(), False)
    return process


def main() -> None:
    """Work through what waits, then wait for a word from the server, or for its end."""
    import django
    from django.db import OperationalError
    from django.utils import timezone

    os.nice(_NICE)
    django.setup()
    from sourloam.logbook.achieving import reckon_next
    from sourloam.logbook.foreseeing import waiting
    from sourloam.logbook.renewing import renew

    while True:
        try:
            todo = waiting(timezone.now())
            for place in todo[:1]:  # then look again: somebody may wait for another
                renew(place)
            more = reckon_next() or bool(todo)
        except OperationalError:  # the database is busy: soon again
            more = False
        if _ended(0.0 if more else _LOOK_S):
            return


def _ended(patience_s: float) -> bool:
    """Whether the server is gone, after waiting for a word from it."""
    ready, _, _ = select.select([sys.stdin.buffer], [], [], patience_s)
    return bool(ready) and not os.read(sys.stdin.fileno(), _CHUNK)


if __name__ == "__main__":
    main()
