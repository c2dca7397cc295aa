"""Set-up's first answer is reckoned before anybody asks: the compiled model is loaded by then."""

from __future__ import annotations

import datetime as dt

from sourloam.web.quick_plan import warm
from sourloam.web.wishes import Wishes, document


def expect_setup() -> None:
    """Begin in the background, once in a process."""
    warm(document(Wishes(name="-", start=dt.date.today().isoformat())))
