"""Who may ask how much of the page to play with, which needs no login.

An answer is kept by its settings. How many are made at once is bounded, and how many for one
caller, so that a page left open can't take the server from those who log their vessels.
"""

from __future__ import annotations

import threading
import time
from collections import OrderedDict

from sourloam.web.try_it.model import Outcome, reckon
from sourloam.web.try_it.settings import Side

_KEPT = 400


class TooBusy(Exception):
    """More is asked than may be reckoned now; ``after_s`` says when to ask again."""

    def __init__(self, after_s: int) -> None:
        super().__init__(after_s)
        self.after_s = after_s


class Turnstile:
    """Lets so many ask at once, and each caller so often; what is kept already passes freely."""

    def __init__(self, at_once: int, burst: int, each_s: float, callers: int) -> None:
        self._places = threading.BoundedSemaphore(at_once)
        self._one = threading.Lock()
        self._guard = threading.Lock()
        self._burst, self._each_s, self._callers = burst, each_s, callers
        self._kept: OrderedDict[Side, Outcome] = OrderedDict()
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def outcome(self, side: Side, caller: str, now_s: float | None = None) -> Outcome:
        """The answer for ``caller``; TooBusy where that is more than may be reckoned now."""
        with self._guard:
            kept = self._kept.get(side)
            if kept is not None:
                self._kept.move_to_end(side)
                return kept
        self._pay(caller, time.monotonic() if now_s is None else now_s)
        if not self._places.acquire(blocking=False):
            raise TooBusy(1)
        try:
            with self._one:
                made = self._kept.get(side) or reckon(side)
        finally:
            self._places.release()
        with self._guard:
            self._kept[side] = made
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        return made

    def _pay(self, caller: str, now_s: float) -> None:
        """A caller has ``burst`` answers in hand and gets another every ``each_s`` seconds."""
        with self._guard:
            left, last_s = self._left.pop(caller, (float(self._burst), now_s))
            left = min(self._burst, left + (now_s - last_s) / self._each_s)
            self._left[caller] = (left - 1 if left >= 1 else left, now_s)
            while len(self._left) > self._callers:
                self._left.popitem(last=False)
            if left < 1:
                raise TooBusy(max(1, round((1 - left) * self._each_s)))


#: A class of thirty behind one address moves sliders; the rest of the house keeps its threads.
turnstile = Turnstile(at_once=3, burst=120, each_s=0.5, callers=2000)
