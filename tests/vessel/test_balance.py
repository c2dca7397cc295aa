"""Mass, water, carbon, nitrogen and minerals close whatever goes in."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_layers import BOOK, IDS, layer_amounts

from sourloam import vessel
from sourloam.scraps.batch import Batch

QUANTITIES = ("mass", "water", "carbon", "nitrogen", "P", "K", "Na", "Ca")


@st.composite
def fillings(draw):
    """A seed, and layers over the whole range of scraps from lettuce to bread."""
    seed = draw(st.integers(0, 2**32 - 1))
    count = draw(st.integers(1, 12))
    rng = np.random.default_rng(seed)
    rows = []
    for _ in range(count):
        dry = rng.uniform(0.06, 0.6)
        share = rng.dirichlet([1, 1, 1, 1]) * (dry - 0.02)
        rows.append(
            layer_amounts(
                kg=rng.choice([0.0, rng.uniform(0.05, 3.0)], p=[0.1, 0.9]),
                dry=dry, sugars=share[0], starch=share[1], nitrogen=share[2] * 0.16,
                buffer=rng.uniform(0.005, 0.2), ph=rng.uniform(3.2, 8.0),
                lactic=rng.uniform(2, 8), entero=rng.uniform(2, 7),
            )
        )  # fmt: skip
    return seed, np.array(rows), rng.uniform(-10, 42, 40)


@settings(max_examples=60, derandomize=True, deadline=None)
@given(fillings())
def test_what_goes_in_is_held_drained_or_gas(pail, filling):
    seed, rows, temperature = filling
    members = 3
    parameters = BOOK.sample(IDS, members, np.random.default_rng(seed))
    feeding = vessel.Feeding(
        np.arange(float(len(rows))), Batch(np.tile(rows, (members, 1, 1))), "chopped"
    )
    course = vessel.run(pail, feeding, temperature, parameters)
    for quantity in QUANTITIES:
        assert np.abs(course.ledger.gap(quantity)).max() < 1e-9, quantity


def test_a_balance_that_is_off_shows(pail, central):
    feeding = vessel.Feeding(np.arange(3.0), Batch(np.tile(layer_amounts(), (1, 3, 1))))
    ledger = vessel.run(pail, feeding, np.full(20, 20.0), central).ledger
    ledger.held["nitrogen"][:] *= 1.001
    assert ledger.gap("nitrogen")[0] == pytest.approx(0.001, rel=0.2)
