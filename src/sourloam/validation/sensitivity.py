"""What moves fill time, finish, liquid and final pH of a household's vessel: Sobol indices."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from importlib.resources import files
from typing import Any

import altair as alt
import numpy as np
from numpy.typing import NDArray

from sourloam import vessel
from sourloam.evidence import Parameters, book
from sourloam.scraps.batch import COLUMNS, INDEX, Batch
from sourloam.validation.compare import kernel_parameters

Array = NDArray[np.float64]
#: What is looked at: days to full, days of rest after the last layer, litres, pH at the end.
OUTPUTS = {
    "fill": "days until full",
    "rest": "days of rest until sour",
    "liquid": "litres drained",
    "ph": "pH at the end",
}
_TAILS = (0.05, 0.95)  # method: part of a parameter's distribution that is sampled
_FAT, _ASH, _ENTERO = 80.0, 60.0, 4.5  # method: held fixed, g/kg dry and log10 cfu/g
_BLUE = "#0072B2"


@dataclass(frozen=True)
class Sensitivity:
    """Total-order Sobol indices; ``total[output][factor]`` with its 95 % half-width."""

    samples: int
    runs: int
    seed: int
    labels: Mapping[str, str]
    total: Mapping[str, Mapping[str, float]]
    confidence: Mapping[str, Mapping[str, float]]
    never_sour: float

    def ranked(self, output: str, count: int) -> list[tuple[str, float]]:
        """The strongest factors of an output, strongest first."""
        by_size = sorted(self.total[output].items(), key=lambda item: -item[1])
        return [(self.labels[name], value) for name, value in by_size[:count]]

    def table(self, count: int = 8) -> str:
        """The strongest factors of every output, as Markdown."""
        lines = [
            f"{self.runs} runs ({self.samples} base samples, seed {self.seed}); "
            f"{self.never_sour:.1%} of them were not sour and steady within the horizon and "
            "count as the horizon. Index ± half of its 95 % range over resampled runs: ranks whose "
            "ranges overlap are not told apart.",
            "",
            "| rank | " + " | ".join(OUTPUTS.values()) + " |",
            "|---|" + "---|" * len(OUTPUTS),
        ]
        columns = [self._cells(output, count) for output in OUTPUTS]
        lines += [
            f"| {place + 1} | " + " | ".join(row) + " |"
            for place, row in enumerate(zip(*columns, strict=True))
        ]
        return "\n".join(lines) + "\n"

    def _cells(self, output: str, count: int) -> list[str]:
        by_size = sorted(self.total[output].items(), key=lambda item: -item[1])
        return [
            f"{self.labels[name]} {max(value, 0):.2f} ± {self.confidence[output][name]:.2f}"
            for name, value in by_size[:count]
        ]


def sensitivity(samples: int = 256, seed: int = 1) -> Sensitivity:
    """Rank what moves a vessel. ``samples`` is a power of two; runs = samples x (factors + 2).

    Needs SALib, which comes with the extra named ``check``; ImportError without it.
    """
    from SALib.analyze import sobol as analysis
    from SALib.sample import sobol as sampling

    asked = _asked()
    labels = {i["name"]: i["label"] for i in asked["input"]} | asked["parameters"]
    bounds = [[i["low"], i["high"]] for i in asked["input"]]
    bounds += [list(_TAILS)] * len(asked["parameters"])
    problem = {"num_vars": len(labels), "names": list(labels), "bounds": bounds}
    drawn = sampling.sample(problem, samples, calc_second_order=False, seed=seed)
    results, never = _vessels(dict(zip(labels, drawn.T, strict=True)), asked)
    total: dict[str, dict[str, float]] = {}
    confidence: dict[str, dict[str, float]] = {}
    for output, values in results.items():
        found = analysis.analyze(problem, values, calc_second_order=False, seed=seed)
        total[output] = dict(zip(labels, map(float, found["ST"]), strict=True))
        confidence[output] = dict(zip(labels, map(float, found["ST_conf"]), strict=True))
    return Sensitivity(samples, len(drawn), seed, labels, total, confidence, never)


def sensitivity_chart(found: Sensitivity, count: int = 10) -> alt.VConcatChart:
    """Bars of the strongest factors, a panel for each output."""
    panels = []
    for output, title in OUTPUTS.items():
        rows = [{"factor": label, "index": value} for label, value in found.ranked(output, count)]
        panels.append(
            alt.Chart(alt.InlineData(values=rows))
            .mark_bar(color=_BLUE)
            .encode(
                x=alt.X("index:Q", title="total-order Sobol index", scale=alt.Scale(domainMin=0)),
                y=alt.Y("factor:N", sort=None, title=None, axis=alt.Axis(labelLimit=260)),
            )
            .properties(title=title, width=260, height=16 * count)
        )
    return alt.vconcat(alt.hconcat(*panels[:2]), alt.hconcat(*panels[2:]))


def _asked() -> dict[str, Any]:
    text = (files("sourloam.validation") / "factors.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _vessels(drawn: dict[str, Array], asked: dict[str, Any]) -> tuple[dict[str, Array], float]:
    """Outputs of one vessel for each draw, and the share that was never sour."""
    kind, days = usual_vessel(asked["vessel"]), int(asked["vessel"]["days"])
    members = drawn["feeding"].size
    parameters = _parameters(drawn, tuple(asked["parameters"]), members)
    layers = int(days)
    one = _mix(drawn)
    batch = Batch(np.repeat(one.amounts[:, None, :], layers, axis=1))
    feeding = vessel.Feeding(np.arange(layers, dtype=np.float64), batch)
    temperature = np.repeat(drawn["temperature"][:, None], days, axis=1)
    course = vessel.run(kind, feeding, temperature, parameters)
    rest = np.minimum(course.finish_day, days) - course.last_fed_day
    results = {
        "fill": np.minimum(course.full_day, days),
        "rest": rest,
        "liquid": 1000 * course.liquid_m3.sum(axis=1),
        "ph": course.ferment.ph,
    }
    return results, float(np.mean(~np.isfinite(course.finish_day)))


def usual_vessel(
    measures: Mapping[str, float], lid_leak_m3_per_day: float | None = None
) -> vessel.Vessel:
    """A household's vessel from measures as people give them: litres, centimetres, kg."""
    usual = vessel.Vessel.of_volume(
        "a household's vessel",
        measures["volume_l"] / 1000,
        measures["height_to_diameter"],
        measures["taper"],
        measures["sump_height_cm"] / 100,
        measures["headroom_cm"] / 100,
        measures["plate_kg"],
    )
    return replace(usual, lid_leak_m3_per_day=lid_leak_m3_per_day)


def _parameters(drawn: Mapping[str, Array], varied: tuple[str, ...], members: int) -> Parameters:
    """Central values, but for the varied ones, which follow their own distribution."""
    central = kernel_parameters(1, np.random.default_rng(0))
    spread_out = Parameters({k: np.full(members, v[0]) for k, v in central.items()}, members)
    rows = book()
    return spread_out.with_values({name: rows[name].quantile(drawn[name]) for name in varied})


def _mix(drawn: Mapping[str, Array]) -> Batch:
    """One day's layer, kg, (members, columns)."""
    dry = drawn["dry_matter"] / 1000
    share = {name: drawn[name] / 1000 for name in ("sugars", "starch", "protein")}
    share |= {"fat": np.full_like(dry, _FAT / 1000), "ash": np.full_like(dry, _ASH / 1000)}
    amounts = np.zeros((dry.size, len(COLUMNS)))
    for name, part in share.items():
        amounts[:, INDEX[name]] = dry * part
    amounts[:, INDEX["fibre"]] = dry * np.maximum(1 - sum(share.values()), 0)
    amounts[:, INDEX["water"]] = 1 - dry
    amounts[:, INDEX["buffer"]] = drawn["buffering"] / 1000 * dry
    amounts[:, INDEX["buffer_ph"]] = amounts[:, INDEX["buffer"]] * drawn["start_ph"]
    amounts[:, INDEX["loose_volume"]] = 1 / drawn["loose_density"]
    amounts[:, INDEX["lactic_cfu"]] = 1000 * 10 ** drawn["lactic_bacteria"]
    amounts[:, INDEX["entero_cfu"]] = 1000 * 10**_ENTERO
    return Batch(amounts).times(drawn["feeding"])
