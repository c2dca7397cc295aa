"""Making and keeping the inoculated bran.

Give ``make_batch`` a ``Case`` and drawn values (``draw``); it follows the batch from weighing to
the end of its use, and ``answer`` tells it on one page. ``Trial`` and ``after_tests``
take in tests of strength; ``trace_vessel``, ``trace_lot`` and ``outlook`` follow lots and stock.
``ageing`` and ``today`` tell what a lot in store still is.
Submodules hold the parts: water, sorption, recipe, souring, drying, keeping.
"""

from sourloam.bran.answer import answer
from sourloam.bran.carriers import Mixture
from sourloam.bran.contract import Answer
from sourloam.bran.drying import Drying
from sourloam.bran.kept import Kept, ageing, draw_kept, today
from sourloam.bran.lots import LotEvent, outlook, trace_lot, trace_vessel
from sourloam.bran.making import EVIDENCE, Case, draw, make_batch
from sourloam.bran.recipe import Wish
from sourloam.bran.tested import after_tests
from sourloam.bran.trials import Trial

__all__ = [
    "EVIDENCE",
    "Answer",
    "Case",
    "Drying",
    "Kept",
    "LotEvent",
    "Mixture",
    "Trial",
    "Wish",
    "after_tests",
    "ageing",
    "answer",
    "draw",
    "draw_kept",
    "make_batch",
    "outlook",
    "today",
    "trace_lot",
    "trace_vessel",
]
