"""The one way in which rooms compile a kernel: cached on disk, never stale, never beside code.

Numba keys a cached function by its own file alone and would keep a caller that holds an older
copy of a function from another file. So the cache lies in the user's cache folder under a
fingerprint of every file of a science room that compiles, and fingerprints long unused are removed.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from functools import partial, wraps
from pathlib import Path
from typing import Any

import numba
import numpy as np

_KEPT_S = 30 * 86400
_SOURCE = Path(__file__).parents[1]
_ROOMS = ("forecast", "numerics", "planning", "soil", "vessel")
_MARKS = (b"compiled", b"inlined", b"over_cores")  # a file with one of them holds kernels


def _fingerprint() -> str:
    digest = hashlib.sha256(numba.__version__.encode())
    for path in sorted(path for room in _ROOMS for path in (_SOURCE / room).rglob("*.py")):
        text = path.read_bytes()
        if any(word in text for word in _MARKS):
            digest.update(text)
    return digest.hexdigest()[:16]


def _cache_folder() -> Path:
    base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(base) / "sourloam" / "kernels"


def _prepare() -> None:
    folder = _cache_folder()
    mine = folder / _fingerprint()
    for old in folder.glob("*"):
        # Another process may be removing the same one.
        with suppress(FileNotFoundError):
            if old != mine and time.time() - old.stat().st_mtime > _KEPT_S:
                shutil.rmtree(old, ignore_errors=True)
    numba.config.CACHE_DIR = str(mine)  # type: ignore[attr-defined]


if not os.environ.get("NUMBA_CACHE_DIR"):
    _prepare()

#: Decorator for a compiled kernel; a division by nought gives inf or NaN, as arrays do.
compiled = partial(numba.njit, cache=True, error_model="numpy")
#: The same for a small function that kernels call at every step: it is written out where it is
#: called, as handing over arrays costs more than it does itself.
inlined = partial(compiled, inline="always")
_TURN = threading.Lock()


def over_cores(function: Callable[..., Any]) -> Callable[..., Any]:
    """Compile a kernel that shares its ``prange`` among the cores.

    Other threads go on meanwhile, but its callers take turns: not every way in which numba
    reaches the cores bears two of them at once.
    """
    kernel = compiled(parallel=True, nogil=True)(function)

    @wraps(function)
    def in_turn(*arguments: Any) -> Any:
        given = _writable(arguments)
        with _TURN:
            return kernel(*given)

    return in_turn


def _writable(arguments: tuple[Any, ...]) -> tuple[Any, ...]:
    """Arrays that may not be written are copied: the compiler takes them for another type, and
    would compile the kernel once more for each mixture of both."""
    return tuple(
        one.copy()
        if isinstance(one, np.ndarray) and not one.flags.writeable
        else _writable(one)
        if type(one) is tuple
        else one
        for one in arguments
    )
