"""First answers are reckoned before anybody asks: the compiled models are loaded by then."""

from __future__ import annotations

import datetime as dt

from sourloam.web.bran.next_batch import ready
from sourloam.web.setup.quick_plan import warm
from sourloam.web.setup.wishes import Wishes, document


def expect_setup() -> None:
    """Begin in the background, once in a process."""
    warm(document(Wishes(name="-", start=dt.date.today().isoformat())))


def expect_batch() -> None:
    """The bran page runs vessels by another kernel than set-up does."""
    ready()
