"""How often one token, or one address without a good token, may ask."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict, deque
from collections.abc import Callable, Hashable

WINDOW_S = 60.0
ASKS, WRONG_ASKS = 300, 30  # in a minute: of a token, of an address that knows none
_KEPT = 5000


class Pace:
    """At most ``most`` times in a window for each key; counted in this process."""

    def __init__(self, most: int, clock: Callable[[], float] = time.monotonic) -> None:
        self.most, self._clock = most, clock
        self._asked: OrderedDict[Hashable, deque[float]] = OrderedDict()
        self._lock = threading.Lock()

    def wait_s(self, key: Hashable, count: bool = True) -> int | None:
        """Seconds to wait, None if there is no need; ``count`` notes that it asked."""
        now = self._clock()
        with self._lock:
            times = self._asked.setdefault(key, deque())
            self._asked.move_to_end(key)
            while len(self._asked) > _KEPT:
                self._asked.popitem(last=False)
            while times and times[0] <= now - WINDOW_S:
                times.popleft()
            if len(times) >= self.most:
                return int(times[0] + WINDOW_S - now) + 1
            if count:
                times.append(now)
            return None


of_tokens = Pace(ASKS)
of_strangers = Pace(WRONG_ASKS)
