"""The figures that the page about bran tells are those that its commands print."""

import re
from pathlib import Path

import numpy as np
import pytest

from sourloam.bran import Case, Drying, Mixture, Wish, draw, make_batch
from sourloam.evidence import book
from sourloam.numerics import spread

DOCS = Path(__file__).parents[2] / "docs" / "bran.md"
KEEPS = re.compile(r"(\d+) days \((\d+) to\s+(\d+)\) at (\d+) °C")


def test_how_long_bran_keeps_is_what_the_commands_say():
    told = KEEPS.findall(DOCS.read_text("utf-8"))
    assert [int(store) for *_, store in told] == [22, 8]
    parameters = draw(book(), 400, np.random.default_rng(1))
    for middle, low, high, store in told:
        wish = Wish(10.0, Mixture({"wheat_bran": 1.0}))
        case = Case(wish, 22.0, Drying("oven", 22.0, 0.3, 35.0), float(store))
        found = spread(make_batch(case, parameters).good_days)
        figures = [float(x) for x in (middle, low, high)]
        assert [float(x) for x in (found.median, found.low, found.high)] == pytest.approx(
            figures, abs=1
        )
