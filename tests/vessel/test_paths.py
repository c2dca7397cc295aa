"""The fast path and the plain reference path are the same equations."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_layers import BOOK, IDS, layer_amounts

from sourloam.scraps.batch import Batch
from sourloam.vessel.course import Settings
from sourloam.vessel.kernel import run_layers
from sourloam.vessel.layout import STATE
from sourloam.vessel.prepare import prepare
from sourloam.vessel.reference import reference_layer


@settings(max_examples=25, derandomize=True, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_the_fast_path_follows_the_reference_within_a_hundredth_of_ph(seed):
    rng = np.random.default_rng(seed)
    parameters = BOOK.sample(IDS, 1, rng)
    dry = rng.uniform(0.12, 0.45)
    share = rng.dirichlet([1, 1, 2]) * (dry - 0.05)
    amounts = layer_amounts(
        dry=dry, sugars=share[0], starch=share[1], buffer=rng.uniform(0.01, 0.08),
        nitrogen=0.005, ph=rng.uniform(4.5, 6.3), lactic=rng.uniform(3, 7),
    )  # fmt: skip
    days = 40
    temperature = rng.uniform(2, 34) + rng.normal(0, 2, days)
    oxygen = rng.uniform(0, 3e-4, days) * rng.integers(0, 2)
    kernel = prepare(Batch(amounts[None, None]), parameters, "chopped", np.full((1, 1), 0.02))
    fast, ph = run_layers(
        kernel.start[:, 0], kernel.make_up[:, 0], temperature[None], oxygen[None], kernel.par,
        Settings().tolerance_ph, 1,
    )  # fmt: skip
    slow, reference = reference_layer(
        kernel.start[0, 0], kernel.make_up[0, 0], temperature, oxygen, kernel.par[0], 1e-9
    )
    assert np.abs(ph[0] - reference).max() < 0.01
    for name in ("lactic", "sugar", "starch", "carbon_dioxide", "out_water", "organic_n"):
        at = STATE.index(name)
        scale = max(np.abs(slow[:, at]).max(), 1e-3)
        assert np.abs(fast[0, :, at] - slow[:, at]).max() < 0.01 * scale, name


def test_a_finer_step_brings_the_fast_path_closer():
    parameters = BOOK.central(IDS)
    kernel = prepare(Batch(layer_amounts()[None, None]), parameters, "chopped", None)
    temperature, oxygen = np.full(20, 20.0), np.zeros(20)
    _, reference = reference_layer(
        kernel.start[0, 0], kernel.make_up[0, 0], temperature, oxygen, kernel.par[0], 1e-10
    )
    errors = []
    for tolerance in (0.1, 0.01, 0.0001):
        _, ph = run_layers(
            kernel.start[:, 0], kernel.make_up[:, 0], temperature[None], oxygen[None], kernel.par,
            tolerance, 1,
        )  # fmt: skip
        errors.append(np.abs(ph[0] - reference).max())
    assert errors[2] < errors[0] / 3
    assert errors[2] < 0.002
