"""One folder for all that tests write beside their own; it goes when they end.

It lies in memory where that is known to be: the pages' tests wait for no disk. What is promised
of disks is tested on a real one.
"""

import os
import shutil
import tempfile
from pathlib import Path

_MEMORY = Path("/dev/shm")
_ROOM_BYTES = 500_000_000


def _where():
    if os.access(_MEMORY, os.W_OK) and shutil.disk_usage(_MEMORY).free > _ROOM_BYTES:
        return _MEMORY
    return None


FOLDER = Path(tempfile.mkdtemp(prefix="sourloam-tests-", dir=_where()))


def folder(name):
    made = FOLDER / name
    made.mkdir(exist_ok=True)
    return str(made)


def forget():
    shutil.rmtree(FOLDER, ignore_errors=True)
