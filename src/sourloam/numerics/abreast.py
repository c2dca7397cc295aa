"""Work on several things at once, two at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

Thing = TypeVar("Thing")
Result = TypeVar("Result")
_AT_ONCE = 2  # method: what one thread does outside the kernels hides behind the other's


def abreast(function: Callable[[Thing], Result], things: Iterable[Thing]) -> list[Result]:
    """``function`` of each thing, in their order; the first error in that order is raised, and
    what has not begun by then is left."""
    with ThreadPoolExecutor(_AT_ONCE) as pool:
        return list(pool.map(function, things))
