"""Mass, water, carbon and nitrogen close whatever goes in; minerals leave with the liquid."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_layers import BOOK, IDS, layer_amounts

from sourloam import vessel
from sourloam.scraps.batch import Batch
from sourloam.vessel.course import Settings
from sourloam.vessel.kernel import run_layers
from sourloam.vessel.layout import STATE
from sourloam.vessel.prepare import drain_potential_kg, prepare

QUANTITIES = ("mass", "water", "carbon", "nitrogen")


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


@pytest.mark.parametrize(
    ("mineral", "field"),
    [("P", "phosphorus"), ("K", "potassium"), ("Na", "sodium"), ("Ca", "calcium")],
)
def test_minerals_leave_drop_by_drop_with_the_water(central, mineral, field):
    """An account of its own: each hour's liquid takes what its water held, soluble share of it."""
    sealed = vessel.Vessel("sealed", 0.3, 0.3, 0.4, 0.05, 0.0, 2.5, lid_leak_m3_per_day=0.0)
    batch = Batch(layer_amounts(kg=2.0, dry=0.14)[None, None])
    feeding = vessel.Feeding(np.array([0.0]), batch)
    temperature = np.full((1, 30), 18.0)
    course = vessel.run(sealed, feeding, temperature, central, Settings(openings_per_layer=0.0))
    drains = drain_potential_kg(feeding.day, batch, central)
    kernel = prepare(batch, central, feeding.pieces, drains)
    state, _ = run_layers(
        kernel.start[:, 0], kernel.make_up[:, 0], temperature, np.zeros_like(temperature),
        kernel.par, Settings().tolerance_ph, 24,
    )  # fmt: skip
    water, out = (state[0, :, STATE.index(name)] for name in ("water", "out_water"))
    assert out[-1] > 0.2
    share = float(central[f"liquid.soluble.{mineral.lower()}"][0])
    held, gone = float(batch[mineral][0, 0]), 0.0
    for hour in range(out.size - 1):
        part = share * held * (out[hour + 1] - out[hour]) / (0.5 * (water[hour] + water[hour + 1]))
        held, gone = held - part, gone + part
    assert getattr(course.drained, f"{field}_kg")[0] == pytest.approx(gone, rel=0.01)
    assert getattr(course.ferment, f"{field}_kg")[0] == pytest.approx(held, rel=0.01)
