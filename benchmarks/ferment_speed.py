"""How fast, how exact and how large: the ferment kernel against general-purpose solvers.

    .venv/bin/python benchmarks/ferment_speed.py [--members 1000] [--json FILE]
    .venv/bin/python benchmarks/ferment_speed.py --write docs/speed.md

The problem: so many members, 60 daily layers each, 90 days, closed to the air, each member at
its own constant temperature, each layer of its own make-up. Closed layers are independent, so
every solver is given the same single-layer equations. A slow solver is timed on a random sample
of layers and the time of the whole is reckoned from the sum of their lives; the sample's size is
printed. Every solver runs at the loosest tolerance that keeps pH within 0.01 of a reference at
1e-10 on the same sample. A reference or a solver that fails, or none of whose tolerances is exact
enough, ends the run: no ratio is printed beside a wrong answer.
"""

from __future__ import annotations

import argparse
import ast
import inspect
import json
import os
import platform
import resource
import subprocess
import sys
import textwrap
import time
import types
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.integrate import odeint, solve_ivp

from sourloam import evidence, vessel
from sourloam.scraps.batch import COLUMNS, INDEX, Batch
from sourloam.vessel import rates, reference, stepping
from sourloam.vessel.acidity import _residual
from sourloam.vessel.layout import STATE, WARMTH
from sourloam.vessel.prepare import drain_potential_kg, prepare
from sourloam.vessel.rates import layer_ph, warmth

LAYERS, DAYS = 60, 90
PH_ERROR = 0.01
GOAL = 100  # times LSODA
BEGIN = "<!-- speed begins: written by benchmarks/ferment_speed.py, do not edit by hand -->"
END = "<!-- speed ends -->"
TOLERANCES = (1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7)
BIG = vessel.Vessel("open-ended", 1.0, 1.0, 3.0, 0.05, 0.05, 2.5, lid_leak_m3_per_day=0.0)
SEALED = vessel.Settings(openings_per_layer=0.0)


def problem(members: int, seed: int = 11):
    """Parameters, feeding and temperatures (members,)."""
    book, rng = evidence.book(), np.random.default_rng(seed)
    ids = [i for prefix in vessel.EVIDENCE for i in book.ids(prefix)]
    parameters = book.sample(ids, members, rng)
    amounts = np.zeros((members, LAYERS, len(COLUMNS)))
    shape = (members, LAYERS)
    dry = rng.uniform(0.15, 0.30, shape)
    sugars, starch = dry * rng.uniform(0.08, 0.3, shape), dry * rng.uniform(0.05, 0.3, shape)
    protein = dry * rng.uniform(0.1, 0.2, shape)
    buffer, ph = rng.uniform(0.015, 0.045, shape), rng.uniform(5.0, 6.2, shape)
    parts = {
        "water": 1 - dry, "sugars": sugars, "starch": starch, "protein": protein, "ash": 0.05 * dry,
        "fibre": 0.95 * dry - sugars - starch - protein, "P": 0.0008, "K": 0.0024, "Na": 0.0007,
        "Ca": 0.0005, "buffer": buffer, "buffer_ph": buffer * ph, "loose_volume": 1 / 400,
        "lactic_cfu": 10 ** rng.uniform(7.5, 9.5, shape), "entero_cfu": 10.0**8,
    }  # fmt: skip
    for name, value in parts.items():
        amounts[..., INDEX[name]] = 0.3 * value
    feeding = vessel.Feeding(np.arange(float(LAYERS)), Batch(amounts))
    return parameters, feeding, rng.uniform(8, 32, members)


def ours(members: int):
    """Seconds of one warm run, and its pH by layer and day for accuracy (or None)."""
    parameters, feeding, temperature = problem(members)
    series = np.repeat(temperature[:, None], DAYS, axis=1)
    start = time.perf_counter()
    vessel.run(BIG, feeding, series, parameters, SEALED)
    return time.perf_counter() - start


class Unsolved(RuntimeError):
    """A solver gave up, or is not exact enough."""


class Layers:
    """A sample of single layers as the kernel prepares them."""

    def __init__(self, members: int, count: int, seed: int = 5) -> None:
        parameters, feeding, temperature = problem(members)
        drains = drain_potential_kg(feeding.day, feeding.batch, parameters)
        self.kernel = prepare(feeding.batch, parameters, "chopped", drains)
        rng = np.random.default_rng(seed)
        self.picks = [(rng.integers(members), rng.integers(LAYERS)) for _ in range(count)]
        self.temperature = temperature
        self.life = sum(DAYS - layer for _, layer in self.picks)

    def each(self):
        """Start state, make-up, parameters, warmth and days of each sampled layer."""
        for member, layer in self.picks:
            warm = np.empty(len(WARMTH))
            par = self.kernel.par[member]
            warmth(self.temperature[member], par, warm)
            yield (
                self.kernel.start[member, layer],
                self.kernel.make_up[member, layer],
                par,
                warm,
                DAYS - layer,
            )


def absolute(start, make_up, rtol):
    return rtol * 1e-6 * np.maximum(np.abs(start), make_up[0])


def by_lsoda(start, make_up, par, warm, days, rtol):
    """SciPy's solve_ivp with LSODA."""
    found = solve_ivp(
        lambda _, y: reference.slopes(y, make_up, par, warm, 0.0),
        (0, 24.0 * days), start, "LSODA", 24.0 * np.arange(days + 1), rtol=rtol,
        atol=absolute(start, make_up, rtol),
    )  # fmt: skip
    if not found.success:
        raise Unsolved(f"LSODA at {rtol:g}: {found.message}")
    return found.y.T


def by_odeint(start, make_up, par, warm, days, rtol):
    """SciPy's odeint (compiled LSODA)."""
    found, about = odeint(
        lambda y, _: reference.slopes(y, make_up, par, warm, 0.0),
        start, 24.0 * np.arange(days + 1), rtol=rtol, atol=absolute(start, make_up, rtol),
        mxstep=100_000, full_output=True,
    )  # fmt: skip
    if about["message"] != "Integration successful.":
        raise Unsolved(f"odeint at {rtol:g}: {about['message']}")
    return found


def by_cvode(start, make_up, par, warm, days, rtol):
    """SUNDIALS CVODE, variable-order BDF."""
    from sksundae.cvode import CVODE

    def slopes(_t, y, ydot):
        ydot[:] = reference.slopes(y, make_up, par, warm, 0.0)

    solver = CVODE(slopes, method="BDF", rtol=rtol, atol=absolute(start, make_up, rtol),
                   max_num_steps=100_000)  # fmt: skip
    found = solver.solve(24.0 * np.arange(days + 1), start)
    if not found.success:
        raise Unsolved(f"CVODE at {rtol:g}: {found.message}")
    return found.y


def by_ours(start, make_up, par, warm, days, tolerance):
    """The kernel's own step on the same layer."""
    from sourloam.vessel.kernel import NRATES, NSTATE

    work = (np.empty(NSTATE), np.empty(NSTATE), np.empty(NRATES))
    y, step, ph = start.copy(), 0.5, layer_ph(start, make_up, par, 6.0)
    rows = [y.copy()]
    for _ in range(days):
        ph, step = stepping.carry(y, make_up, par, warm, 0.0, 24.0, tolerance, step, ph, work)
        rows.append(y.copy())
    return np.array(rows)


def ph_of(states, make_up, par):
    return np.array([layer_ph(y, make_up, par, 6.0) for y in states])


def worst_error(solver: Callable, layers: Layers, tolerance: float, reference_ph: list) -> float:
    worst = 0.0
    for (start, make_up, par, warm, days), truth in zip(layers.each(), reference_ph, strict=True):
        states = solver(start, make_up, par, warm, days, tolerance)
        worst = max(worst, np.abs(ph_of(states, make_up, par) - truth).max())
    if not np.isfinite(worst):
        raise Unsolved(f"{solver.__name__} at {tolerance:g}: a pH is not a number")
    return worst


def timed(solver: Callable, layers: Layers, tolerance: float) -> float:
    start = time.perf_counter()
    for layer in layers.each():
        solver(*layer, tolerance)
    return time.perf_counter() - start


def reference_ph(layers: Layers) -> list:
    """pH of each layer by day at a tolerance of 1e-10; Unsolved where that fails or is no pH."""
    truth = [ph_of(by_odeint(*layer, 1e-10), layer[1], layer[2]) for layer in layers.each()]
    if not all(np.all((ph > 2) & (ph < 10)) for ph in truth):
        raise Unsolved("the reference left the range of pH 2 to 10")
    return truth


def loosest(solver: Callable, layers: Layers, truth: list) -> tuple[float, float]:
    """Loosest tolerance within PH_ERROR of the truth, and its error; Unsolved if there is none."""
    for tolerance in TOLERANCES:
        try:
            error = worst_error(solver, layers, tolerance, truth)
        except Unsolved:
            continue
        if error <= PH_ERROR:
            return tolerance, float(error)
    raise Unsolved(f"{solver.__name__}: no tolerance keeps pH within {PH_ERROR}")


def measure_solver(name: str, solver: Callable, sample: int, members: int) -> dict:
    """Loosest good tolerance, its error, and seconds for the whole problem."""
    layers = Layers(members, sample)
    truth = reference_ph(layers)
    tolerance, error = loosest(solver, layers, truth)
    seconds = timed(solver, layers, tolerance)
    whole = members * sum(DAYS - layer for layer in range(LAYERS))
    return {"solver": name, "sample": sample, "tolerance": tolerance, "ph_error": error,
            "seconds": seconds * whole / layers.life, "measured_seconds": seconds}  # fmt: skip


SOLVERS = {
    "lsoda-numpy": ("SciPy LSODA, right-hand side in Python and NumPy", by_lsoda, 3),
    "lsoda": ("SciPy LSODA, the same compiled right-hand side", by_lsoda, 40),
    "odeint": ("SciPy odeint, the same compiled right-hand side", by_odeint, 60),
    "cvode": ("SUNDIALS CVODE, the same compiled right-hand side", by_cvode, 60),
}


def in_another_process(task: str, members: int, plain: bool = False) -> dict:
    """Run one task of this script by itself; ``plain`` leaves every function uncompiled."""
    env = dict(os.environ, NUMBA_DISABLE_JIT="1" if plain else "0")
    done = subprocess.run(
        [sys.executable, __file__, "--task", task, "--members", str(members)],
        env=env, check=True, capture_output=True, text=True,
    )  # fmt: skip
    return json.loads(done.stdout.splitlines()[-1])


def task_memory(members: int) -> dict:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    seconds = ours(members)
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return {"members": members, "seconds": seconds, "peak_mib": after / 1024,
            "before_mib": before / 1024}  # fmt: skip


def task_ours(members: int) -> dict:
    ours(2)
    runs = sorted(ours(members) for _ in range(3))
    return {"members": members, "seconds": runs[1], "best": runs[0], "worst": runs[2]}


def task_one(_: int) -> dict:
    parameters, feeding, temperature = problem(1)
    series = np.repeat(temperature[:, None], DAYS, axis=1)
    spans = []
    for _ in range(30):
        start = time.perf_counter()
        vessel.run(BIG, feeding, series, parameters, SEALED)
        spans.append(time.perf_counter() - start)
    return {"median_ms": 1000 * float(np.median(spans[5:])), "worst_ms": 1000 * max(spans[5:])}


def task_error(members: int, sample: int = 200) -> dict:
    """Largest pH error of the kernel at its own tolerance over a larger sample of layers."""
    layers = Layers(members, sample)
    error = worst_error(by_ours, layers, vessel.Settings().tolerance_ph, reference_ph(layers))
    if error > PH_ERROR:
        raise Unsolved(f"the kernel misses by pH {error:.3f}, more than {PH_ERROR}")
    return {"ph_error": float(error), "sample": sample}


def task_steps(members: int) -> dict:
    """Steps and Newton iterations per layer and day, counted with the functions uncompiled."""
    counts = {"steps": 0, "newton": 0}
    plain_advance, plain_residual = stepping.advance, _residual

    def counting_advance(*given):
        counts["steps"] += 1
        return plain_advance(*given)

    def counting_residual(*given):
        counts["newton"] += 1
        return plain_residual(*given)

    from sourloam.vessel import acidity

    stepping.advance, acidity._residual = counting_advance, counting_residual
    layers = Layers(members, 6)
    for layer in layers.each():
        by_ours(*layer, vessel.Settings().tolerance_ph)
    life = layers.life
    return {"stages_per_layer_day": counts["steps"] / life,
            "newton_per_layer_day": counts["newton"] / life}  # fmt: skip


def operations(function) -> float:
    """Arithmetic operations written in a function and in all it calls, as often as it calls them.

    An exponential or a root counts 20, a power 40; both sides of a branch count; a loop counts as
    often as its range says, one over the parts of a step once.
    """
    plain = getattr(function, "py_func", function)
    tree = ast.parse(textwrap.dedent(inspect.getsource(plain)))
    return _counted(tree.body[0].body, plain.__globals__)


def _counted(nodes, known: dict) -> float:
    total = 0.0
    for node in nodes:
        if isinstance(node, ast.For):
            total += _times(node, known) * _counted(node.body, known)
            continue
        if isinstance(node, ast.BinOp | ast.AugAssign):
            total += 40 if isinstance(node.op, ast.Pow) else 1
        elif isinstance(node, ast.Call):
            total += _called(node, known)
        total += _counted(ast.iter_child_nodes(node), known)
    return total


def _called(node: ast.Call, known: dict) -> float:
    name = getattr(node.func, "id", "")
    if name in ("exp", "sqrt"):
        return 20
    found = known.get(name)
    ours = hasattr(found, "py_func") or isinstance(found, types.FunctionType)
    return operations(found) if ours else 0.0


def _times(loop: ast.For, known: dict) -> int:
    """How often a loop over a range runs; a state vector is as long as STATE."""
    text = ast.unparse(loop.iter).replace("y.size", str(len(STATE)))
    return len(eval(text, {**known, "range": range, "len": len, "parts": 1}))


def operations_per_stage() -> float:
    """Operations of one evaluation of the rates and one advance, without the pH iterations."""
    return operations(rates.coefficients) + operations(stepping.advance)


def peak_gflops() -> float:
    """Double-precision rate of a large matrix product on all cores, 1e9/s."""
    a = np.random.default_rng(0).random((1500, 1500))
    a @ a
    spans = []
    for _ in range(5):
        start = time.perf_counter()
        a @ a
        spans.append(time.perf_counter() - start)
    return 2 * 1500**3 / min(spans) / 1e9


def report(members: int) -> dict:
    kernel = in_another_process("ours", members)
    scale = {n: in_another_process("ours", n)["seconds"] for n in (100, 1000, 10000)}
    exponent = float(np.polyfit(np.log10(list(scale)), np.log10(list(scale.values())), 1)[0])
    answer = {
        "problem": {"members": members, "layers": LAYERS, "days": DAYS, "cores": os.cpu_count()},
        "ours": kernel | in_another_process("error", members),
        "one_vessel": in_another_process("one", 1),
        "scaling_seconds": scale,
        "scaling_exponent": exponent,
        "memory_10000": in_another_process("memory", 10000),
        "others": {},
        "python": platform.python_version(),
    }
    for name in SOLVERS:
        found = in_another_process(name, members, plain=name.endswith("numpy"))
        found["ratio"] = found["seconds"] / kernel["seconds"]
        answer["others"][name] = found
    counted = in_another_process("steps", 50, plain=True)
    stage = operations_per_stage()
    newton = operations(getattr(_residual, "py_func", _residual)) + 20 + 4
    layer_days = members * sum(DAYS - layer for layer in range(LAYERS))
    per_day = counted["stages_per_layer_day"] * stage + counted["newton_per_layer_day"] * newton
    rate = per_day * layer_days / kernel["seconds"] / 1e9
    peak = peak_gflops()
    answer["limit"] = counted | {"operations_per_stage": stage, "gflops": rate,
                                 "matrix_product_gflops": peak, "share": rate / peak}  # fmt: skip
    return answer


def show(answer: dict) -> None:
    where = answer["problem"]
    print(f"{where['members']} members x {where['layers']} daily layers x {where['days']} days, "
          f"{where['cores']} cores")  # fmt: skip
    own = answer["ours"]
    print(f"{'kernel':52} {own['seconds']:10.2f} s   pH error {own['ph_error']:.4f}")
    for found in answer["others"].values():
        print(
            f"{found['solver']:52} {found['seconds']:10.1f} s   pH error {found['ph_error']:.4f}"
            f"   x {found['ratio']:.1f}   (one core; {found['sample']} layers timed)"
        )
    scale = answer["scaling_seconds"]
    print("cost by members:", ", ".join(f"{n}: {s:.2f} s" for n, s in scale.items()),
          f"-> exponent {answer['scaling_exponent']:.3f}")  # fmt: skip
    print(f"one vessel: {answer['one_vessel']['median_ms']:.1f} ms")
    memory = answer["memory_10000"]
    print(f"10,000 members: {memory['peak_mib']:.0f} MiB at most")
    limit = answer["limit"]
    print(
        f"about {limit['gflops']:.2f} GFLOP/s of {limit['matrix_product_gflops']:.0f} that a "
        f"matrix product reaches here: {100 * limit['share']:.1f} %"
    )


def table(answer: dict) -> str:
    """What docs/speed.md says of one run, as Markdown."""
    own, where, scale = answer["ours"], answer["problem"], answer["scaling_seconds"]
    fair = {k: v for k, v in answer["others"].items() if not k.endswith("numpy")}
    plain = answer["others"]["lsoda-numpy"]
    limit = answer["limit"]
    least = min(found["ratio"] for found in fair.values())
    ratio = fair["lsoda"]["ratio"]
    verdict = "met" if ratio >= GOAL else "missed"
    rows = [
        f"| {found['solver']} | {found['seconds']:.3g} | {found['ph_error']:.4f} "
        f"| {found['ratio']:.0f} | {found['sample']} layers |"
        for found in answer["others"].values()
    ]
    grown = ", ".join(f"{seconds:.2g} s for {n}" for n, seconds in scale.items())
    return "\n".join([
        f"**{ratio:.0f} times SciPy's LSODA with the same compiled equations: the aim of {GOAL} "
        f"times is {verdict}.** Against the fastest general-purpose solver it is {least:.0f} "
        f"times, on {where['cores']} cores against one. A right-hand side in plain Python and "
        f"NumPy, as most people would first write it, takes {plain['ratio']:.0f} times as long; "
        f"that was timed on {plain['sample']} layers only and says more about Python than about "
        "solvers.",
        "",
        f"{where['cores']} cores, Python {answer['python']}:",
        "",
        "| Solver | Seconds | Largest pH error | Times ours | Sample |",
        "|---|---|---|---|---|",
        f"| our kernel, {where['cores']} cores | {own['seconds']:.2g} | {own['ph_error']:.4f} | 1 "
        f"| all {where['members'] * LAYERS} layers (error: {own['sample']}) |",
        *rows,
        "",
        f"- **Growth**: {grown} members: exponent {answer['scaling_exponent']:.2f}.",
        f"- **One vessel** (60 layers, 90 days): {answer['one_vessel']['median_ms']:.1f} ms.",
        f"- **Memory**: {answer['memory_10000']['peak_mib']:.0f} MiB at most for 10,000 members, "
        "since members are run in blocks of 500.",
        f"- **How far from the machine**: about {limit['gflops']:.2g} GFLOP/s by counting the "
        "operations written in the source (an exponential as 20, a power as 40, both sides of a "
        f"branch), against {limit['matrix_product_gflops']:.0f} that a large matrix product "
        f"reaches here: {100 * limit['share']:.1f} %.",
    ])  # fmt: skip


def written(document: str, text: str) -> str:
    """The document with the measured part between its marks renewed; ValueError without marks."""
    if BEGIN not in document or END not in document:
        raise ValueError(f"the lines '{BEGIN}' and '{END}' are needed to place the measurement")
    head, rest = document.split(BEGIN, 1)
    return f"{head}{BEGIN}\n\n{text}\n\n{END}{rest.split(END, 1)[1]}"


TASKS = {"memory": task_memory, "ours": task_ours, "one": task_one, "error": task_error,
         "steps": task_steps}  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--members", type=int, default=1000)
    parser.add_argument("--json", type=Path)
    parser.add_argument("--write", type=Path, help="renew the measured part of a document")
    parser.add_argument("--task", help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.task in TASKS:
        print(json.dumps(TASKS[given.task](given.members)))
        return
    if given.task:
        name, solver, sample = SOLVERS[given.task]
        print(json.dumps(measure_solver(name, solver, sample, given.members)))
        return
    answer = report(given.members)
    show(answer)
    if given.json:
        given.json.write_text(json.dumps(answer, indent=1) + "\n", encoding="utf-8")
    if given.write:
        document = given.write.read_text(encoding="utf-8")
        given.write.write_text(written(document, table(answer)), encoding="utf-8")


if __name__ == "__main__":
    main()
