"""How often a vessel fails, by dose, temperature, mix and sealing: the model's own answer."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import altair as alt
import numpy as np
from numpy.typing import NDArray

from sourloam import scraps, vessel
from sourloam.evidence import Parameters, book
from sourloam.numerics.spread import Spread, spread
from sourloam.scraps import Batch
from sourloam.validation.sensitivity import usual_vessel
from sourloam.vessel import hygiene

Array = NDArray[np.float64]
_CARRIER = "wheat_bran"
_HUES = ("#0072B2", "#E69F00", "#D55E00", "#000000")
_OPEN = 0.2  # method: chances this far from 0 and 1 are called open
_APART = 0.45  # method: °C by which lines of a figure stand apart
_USUAL_DOSE = 20  # method: the dose at which sealings are compared, g/kg


@dataclass(frozen=True)
class Cell:
    """One case: what was laid, how it was kept, and how often it failed by each day asked."""

    mix: str
    dose: float
    temperature: float
    sealing: str
    by_day: Mapping[int, vessel.Failing]


@dataclass(frozen=True)
class Failures:
    """All cases, and how they were made."""

    members: int
    draws: int
    seed: int
    cells: tuple[Cell, ...]

    def table(self) -> str:
        """Two tables in Markdown: chance of failing, and what sealing does."""
        parts = [*self._of_dose(), "", self._doubt(), "", *self._of_sealing()]
        return "\n".join(parts) + "\n"

    def _doubt(self) -> str:
        """How much of the spread comes of not knowing the model's parameters."""
        early = _asked()["by_days"][0]
        cells = [cell.by_day[early].failed for cell in self.cells]
        open_ = [c.between for c in cells if _OPEN <= c.share <= 1 - _OPEN]
        if not open_:
            return "No case is open between failing and keeping."
        return (
            f"Where the chance after {early} days lies between {_OPEN:.0%} and {1 - _OPEN:.0%}, "
            f"{np.median(open_):.0%} of the spread of outcomes (median of {len(open_)} cases) lies "
            "between draws of the model's parameters, the rest between kitchens: such a chance "
            "says how little the model knows, not that so many vessels in a hundred fail."
        )

    def _of_dose(self) -> list[str]:
        asked = _asked()
        early, late = asked["by_days"]
        sealing = asked["sealing"][0]["name"]
        lines = [
            f"{self.members} vessels a case, {self.draws} draws of the model's parameters, seed "
            f"{self.seed}; {sealing}. Not sour and steady {early} days after the last layer, or "
            f"putrid on that day: share of all vessels (its noise: where eight such counts of ten "
            f"would lie) / the same {late} days after.",
            "",
            *_heading("bran, g/kg"),
        ]
        for mix in asked["mix"]:
            for dose in asked["doses"]:
                row = self._row(mix["name"], dose, sealing)
                text = " | ".join(
                    f"{_chance(cell.by_day[early].failed)} / {_chance(cell.by_day[late].failed)}"
                    for cell in row
                )
                lines.append(f"| {mix['name']} | {dose} | {text} |")
        return lines

    def _of_sealing(self) -> list[str]:
        asked = _asked()
        late = asked["by_days"][-1]
        lines = [
            f"With {_USUAL_DOSE} g/kg: the top layer takes more air than mould needs (noise) / "
            f"failed {late} days after the last layer.",
            "",
            *_heading("sealing"),
        ]
        for mix in asked["mix"]:
            for sealing in asked["sealing"]:
                row = self._row(mix["name"], _USUAL_DOSE, sealing["name"])
                said = [cell.by_day[late] for cell in row]
                text = " | ".join(f"{_chance(f.spoilt_top)} / {f.failed.share:.0%}" for f in said)
                lines.append(f"| {mix['name']} | {sealing['name']} | {text} |")
        return lines

    def _row(self, mix: str, dose: float, sealing: str) -> list[Cell]:
        wanted = (mix, dose, sealing)
        return [cell for cell in self.cells if (cell.mix, cell.dose, cell.sealing) == wanted]


def failures(
    seed: int = 1, only: Callable[[str, float, float, str], bool] | None = None
) -> Failures:
    """Run every case of ``failures.toml``; the same seed gives the same answer.

    ``only`` picks cases by mix, dose, temperature and sealing: each is the same as among all.
    """
    asked = _asked()
    members = asked["draws"] * asked["kitchens"]
    parameters = _parameters(asked["draws"], asked["kitchens"], seed)
    cells = [
        _cell(asked, parameters, mix, dose, temperature, sealing)
        for sealing in asked["sealing"]
        for mix in asked["mix"]
        for dose in (asked["doses"] if sealing is asked["sealing"][0] else [_USUAL_DOSE])
        for temperature in asked["temperatures"]
        if only is None or only(mix["name"], dose, temperature, sealing["name"])
    ]
    return Failures(members, asked["draws"], seed, tuple(cells))


def decline_table(seed: int = 1) -> str:
    """Days in which acid-resistant enteric bacteria fall by so many log10, with the caution."""
    asked = _asked()["decline"]
    rows = book()
    ids = list(rows.ids(*hygiene.EVIDENCE))
    parameters = rows.sample(ids, asked["members"], np.random.default_rng(seed))
    columns = " | ".join(f"{t} °C" for t in asked["temperatures"])
    lines = [
        hygiene.CAUTION,
        "",
        f"Days in which acid-resistant enteric bacteria fall by {asked['logs']} log10 at a steady "
        f"pH with {asked['lactic_mmol_per_l']} mmol/L lactic acid: median (10-90 %).",
        "",
        f"| pH | {columns} |",
        "|---|" + "---|" * len(asked["temperatures"]),
    ]
    for ph in asked["ph"]:
        found = [_days_to_fall(asked, parameters, ph, t) for t in asked["temperatures"]]
        text = " | ".join(f"{d.median:.0f} ({d.low:.0f}-{d.high:.0f})" for d in found)
        lines.append(f"| {ph} | {text} |")
    return "\n".join(lines) + "\n"


def _days_to_fall(
    asked: Mapping[str, Any], parameters: Parameters, ph: float, temperature: float
) -> Spread:
    one = np.ones((parameters.members, 2))
    found = vessel.enteric_decline(
        np.array([0.0, 1.0]),
        ph * one,
        asked["lactic_mmol_per_l"] * one,
        0 * one,
        np.array(float(temperature)),
        parameters,
    )
    return spread(asked["logs"] / found.log10_fall[:, -1])


def failures_chart(found: Failures) -> alt.VConcatChart:
    """Chance of failing against temperature: a row a day, a panel a dose, a line with its noise a
    mix; lines stand a little apart so that ranges do not hide each other."""
    asked = _asked()
    rows = [
        alt.hconcat(*(_panel(found, dose, day) for dose in asked["doses"])).resolve_scale(
            y="shared"
        )
        for day in asked["by_days"]
    ]
    chart: alt.VConcatChart = alt.vconcat(*rows)
    return chart


def _panel(found: Failures, dose: float, day: int) -> alt.LayerChart | alt.FacetChart:
    asked = _asked()
    mixes = [mix["name"] for mix in asked["mix"]]
    rows = [
        _point(cell, day, mixes.index(cell.mix) - (len(mixes) - 1) / 2)
        for cell in found.cells
        if cell.dose == dose and cell.sealing == asked["sealing"][0]["name"]
    ]
    axis = alt.Axis(values=asked["temperatures"])
    base = alt.Chart(alt.InlineData(values=rows)).encode(
        x=alt.X("temperature:Q", title="temperature, °C", axis=axis),
        color=alt.Color("mix:N", scale=alt.Scale(domain=mixes, range=list(_HUES)), title="scraps"),
    )
    y = alt.Y("share:Q", title=f"failed by day {day}", axis=alt.Axis(format="%"))
    shown = [base.mark_rule().encode(y=y, y2="high:Q").transform_calculate(share="datum.low")]
    shown += [base.mark_line(point=True).encode(y=y)]
    title = f"{dose} g bran/kg, {day} days"
    chart: alt.LayerChart | alt.FacetChart = alt.layer(*shown).properties(
        title=title, width=170, height=170
    )
    return chart


@cache
def _asked() -> dict[str, Any]:
    text = (files("sourloam.validation") / "failures.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _parameters(draws: int, kitchens: int, seed: int) -> Parameters:
    """Each draw of the model's parameters for some kitchens, whose scraps are all their own."""
    rows, rng = book(), np.random.default_rng(seed)
    own = rows.ids(*scraps.EVIDENCE)
    shared = [key for key in rows.ids(*vessel.EVIDENCE) if key not in own]
    model = rows.sample(shared, draws, rng)
    kitchen = rows.sample(own, draws * kitchens, rng)
    repeated = {key: np.repeat(value, kitchens) for key, value in model.items()}
    return Parameters({**repeated, **kitchen}, draws * kitchens)


def _cell(
    asked: Mapping[str, Any],
    parameters: Parameters,
    mix: Mapping[str, Any],
    dose: float,
    temperature: float,
    sealing: Mapping[str, Any],
) -> Cell:
    body = asked["vessel"]
    day = np.arange(body["layers"], dtype=np.float64) * body["days_between"]
    layer = _layer(mix["shares"], dose, body["layer_kg"], parameters)
    batch = Batch(np.repeat(layer.amounts[:, None, :], day.size, axis=1))
    leak = sealing.get("leak_l_per_day")
    settings = vessel.Settings(
        openings_per_layer=sealing.get("openings_per_layer", 1.0),
        openings_per_rest_day=sealing.get("openings_per_rest_day", 0.0),
    )
    last = max(asked["by_days"])
    course = vessel.run(
        usual_vessel(body, None if leak is None else leak / 1000),
        vessel.Feeding(day, batch),
        np.full(int(day[-1]) + last + 1, float(temperature)),
        parameters,
        settings,
    )
    draws = np.repeat(np.arange(asked["draws"]), asked["kitchens"])
    by_day = {d: vessel.chance_of_failing(course, d, draws) for d in asked["by_days"]}
    return Cell(mix["name"], dose, temperature, sealing["name"], by_day)


def _layer(shares: Mapping[str, float], dose: float, kg: float, parameters: Parameters) -> Batch:
    mass = np.array([shares.get(name, 0.0) for name in scraps.CLASSES])
    scrap = scraps.mix(kg * mass / mass.sum(), scraps.class_table(parameters))
    bran = np.full(parameters.members, kg * dose / 1000)
    return scrap + scraps.bran_batch(bran, _CARRIER, None, parameters)


def _point(cell: Cell, day: int, beside: float) -> dict[str, object]:
    chance = cell.by_day[day].failed
    shown = {"share": chance.share, "low": chance.low, "high": chance.high}
    return {"mix": cell.mix, "temperature": cell.temperature + _APART * beside, **shown}


def _heading(second: str) -> list[str]:
    temperatures = _asked()["temperatures"]
    columns = " | ".join(f"{t} °C" for t in temperatures)
    return [f"| mix | {second} | {columns} |", "|---|---|" + "---|" * len(temperatures)]


def _chance(chance: vessel.Chance) -> str:
    return f"{chance.share:.0%} ({100 * chance.low:.0f}-{100 * chance.high:.0f})"
