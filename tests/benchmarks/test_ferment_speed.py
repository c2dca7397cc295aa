"""The benchmark of the ferment kernel: a small run, and that a wrong answer ends it."""

import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest

from sourloam.vessel import stepping

FOLDER = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def bench():
    path = FOLDER / "benchmarks" / "ferment_speed.py"
    spec = importlib.util.spec_from_file_location("ferment_speed", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules["ferment_speed"] = module
    spec.loader.exec_module(module)
    return module


def test_the_kernel_is_within_a_hundredth_of_ph_of_the_reference(bench):
    assert 0 < bench.task_error(40, sample=12)["ph_error"] <= 0.01


@pytest.mark.slow
def test_every_solver_finds_a_tolerance_that_is_exact_enough(bench):
    layers = bench.Layers(10, 2)
    truth = bench.reference_ph(layers)
    pytest.importorskip("sksundae")
    for solver in (bench.by_lsoda, bench.by_odeint, bench.by_cvode):
        tolerance, error = bench.loosest(solver, layers, truth)
        assert tolerance <= 1e-2
        assert error <= 0.01


def test_a_solver_that_is_wrong_or_gives_up_ends_the_run(bench):
    layers = bench.Layers(10, 1)
    truth = bench.reference_ph(layers)

    def still(start, make_up, par, warm, days, rtol):
        return np.repeat(start[None], days + 1, axis=0)

    def lost(start, make_up, par, warm, days, rtol):
        raise bench.Unsolved("lost")

    for solver in (still, lost):
        with pytest.raises(bench.Unsolved, match="no tolerance keeps pH within"):
            bench.loosest(solver, layers, truth)


def test_a_kernel_that_misses_ends_the_run(bench, monkeypatch):
    monkeypatch.setattr(bench, "PH_ERROR", 1e-7)
    with pytest.raises(bench.Unsolved, match="the kernel misses by pH"):
        bench.task_error(10, sample=1)


def test_operations_count_every_call_and_every_turn_of_a_loop(bench):
    once = bench.operations(stepping._share)
    assert once == 22  # 1 - exp(-rate hours): exp 20, product, difference
    assert bench.operations(stepping._use_protein) >= once
    growth = bench.operations(stepping._logistic)
    assert bench.operations(stepping.advance) > 4 * growth + 5 * once


def test_the_document_has_room_for_the_measurement(bench):
    document = (FOLDER / "docs" / "speed.md").read_text(encoding="utf-8")
    assert "measured anew" in bench.written(document, "measured anew")
    with pytest.raises(ValueError, match="speed begins"):
        bench.written("nothing", "x")


def test_a_missed_aim_is_said_first(bench):
    other = {"solver": "x", "seconds": 80.0, "ph_error": 0.005, "ratio": 32.0, "sample": 40}
    answer = {
        "problem": {"members": 1000, "cores": 2}, "python": "3",
        "ours": {"seconds": 2.5, "ph_error": 0.004, "sample": 200},
        "others": {"lsoda-numpy": other | {"ratio": 362.0, "sample": 3}, "lsoda": other},
        "scaling_seconds": {100: 0.2, 1000: 2.0}, "scaling_exponent": 1.0,
        "one_vessel": {"median_ms": 5.0}, "memory_10000": {"peak_mib": 400.0},
        "limit": {"gflops": 3.0, "matrix_product_gflops": 50.0, "share": 0.06},
    }  # fmt: skip
    text = bench.table(answer)
    assert text.startswith("**32 times SciPy's LSODA")
    assert "the aim of 100 times is missed" in text
    assert text.index("362") > text.index("is missed")
