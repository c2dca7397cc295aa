"""The comparison as Markdown, and its place in docs/validation.md."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby

import numpy as np

from sourloam.validation.compare import Validation
from sourloam.validation.readings import ArmResult, Reading
from sourloam.validation.scores import DIFFERENCES, Score

_BEGIN = "<!-- {} begins: written by `sourloam validate`, do not edit by hand -->"
_END = "<!-- {} ends -->"
#: Quantities as people read them, in the order of rows and panels.
NAMES = {
    "ph": "pH",
    "lactic": "lactic acid",
    "acetic": "acetic acid",
    "butyric": "butyric acid",
    "ammonia": "ammonium",
    "titratable": "titratable acid",
    "lactic_bacteria": "lactic bacteria",
    "enterobacteria": "enterobacteria",
}
_BOUND = {"is": "", "below": "below ", "above": "above "}
_ROLE = {"kept": "kept for checking only", "chosen with": "used when choosing parameters"}


def validation_table(validation: Validation) -> str:
    """Scores of both sets, then each trial's readings beside the model, as Markdown."""
    lines = [
        f"{validation.members} members, seed {validation.seed}.",
        "",
        *_scores(validation.scores),
        "",
        *_quantities(validation.scores),
    ]
    for trial, group in groupby(validation.arms, key=lambda result: result.trial):
        lines += [
            "",
            f"### {trial.name}",
            "",
            f"{trial.citation}{f', doi {trial.doi}' if trial.doi else ''}. "
            f"{trial.kind.capitalize()}; {_ROLE[trial.role]}: {trial.role_reason}. "
            f"As published: {trial.published}."
            f"{f' **Mind:** {trial.caveat}.' if trial.caveat else ''}",
            "",
            "| arm | day | quantity | measured | model median | 10-90 % | agrees |",
            "|---|---|---|---|---|---|---|",
            *(_row(reading) for result in group for reading in _by_day(result)),
        ]
    return "\n".join(lines) + "\n"


def assumptions_table(validation: Validation) -> str:
    """What each trial was fed with, which of it was assumed, and why, as Markdown."""
    lines: list[str] = []
    for trial, group in groupby(validation.arms, key=lambda result: result.trial):
        lines += [
            f"### {trial.name}",
            "",
            f"Read at {trial.seen_at}.",
            "",
            "| arm | input | value (10-90 %) | standing | why |",
            "|---|---|---|---|---|",
        ]
        stated = [("all", trial.inputs)]
        stated += [(result.arm.name, result.arm.inputs) for result in group]
        lines += [
            f"| {name} | {key.replace('_', ' ')} | {_range(given.value, given.low, given.high)} "
            f"{given.unit} | {given.standing} | {given.why} |"
            for name, inputs in stated
            for key, given in inputs.items()
        ]
        lines.append("")
    return "\n".join(lines)


def with_tables(document: str, tables: Mapping[str, str]) -> str:
    """The document with the text between each pair of markers replaced.

    Raises ValueError naming a pair of markers that is not there.
    """
    for name, text in tables.items():
        begin, end = _BEGIN.format(name), _END.format(name)
        if begin not in document or end not in document:
            raise ValueError(f"the lines '{begin}' and '{end}' are needed to place the {name}")
        head, rest = document.split(begin, 1)
        tail = rest.split(end, 1)[1]
        document = f"{head}{begin}\n\n{text.strip()}\n\n{end}{tail}"
    return document


def _scores(scores: tuple[Score, ...]) -> list[str]:
    lines = [
        "| set | publications | pH readings | pH RMSE | the same, each publication once "
        "| of the last reading of each arm | pH bias | pH in 10-90 % band | median width of it "
        "| last lactic acid: median error (bias) | all values in band | bounds kept |",
        "|---|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    lines += [
        f"| {score.role} | {score.trials} | {score.ph_readings} | {score.ph_rmse:.2f} "
        f"| {score.ph_rmse_by_publication:.2f} | {score.ph_rmse_last:.2f} "
        f"| {score.ph_bias:+.2f} | {_percent(score.ph_inside)} | {score.ph_width:.2f} "
        f"| {_percent(score.final_lactic_error)} ({score.final_lactic_bias:+.0%}), "
        f"{score.final_lactic_readings} arms "
        f"| {_percent(score.inside)} of {score.values} | {score.bounds_kept} of {score.bounds} |"
        for score in scores
    ]
    return lines


def _quantities(scores: tuple[Score, ...]) -> list[str]:
    lines = [
        "By quantity: pH and counts as differences (model less measured, log10 for counts), "
        "contents as ratios (model to measured; upper to lower end of the band).",
        "",
        "| set | quantity | readings | in 10-90 % band | median difference or ratio "
        "| median width of the band |",
        "|---|---|---|---|---|---|",
    ]
    for score in scores:
        for one in score.quantities:
            difference = one.quantity in DIFFERENCES
            middle = f"{one.middle:+.2f}" if difference else f"x {one.middle:.2f}"
            width = f"{one.width:.2f}" if difference else f"x {_short(one.width)}"
            lines.append(
                f"| {score.role} | {NAMES[one.quantity]} | {one.readings} "
                f"| {_percent(one.inside)} | {middle} | {width} |"
            )
    return lines


def _by_day(result: ArmResult) -> list[Reading]:
    order = list(NAMES)
    return sorted(result.readings, key=lambda r: (order.index(r.quantity), r.day))


def _row(reading: Reading) -> str:
    unit = "" if reading.quantity == "ph" else f", {reading.unit}"
    return (
        f"| {reading.arm} | {_short(reading.day)} | {NAMES[reading.quantity]}{unit} "
        f"| {_BOUND[reading.relation]}{_short(reading.measured)} | {_short(reading.median)} "
        f"| {_short(reading.low)} to {_short(reading.high)} "
        f"| {_verdict(reading)} |"
    )


def _verdict(reading: Reading) -> str:
    if reading.void:
        return "not scored"
    return "yes" if reading.agrees else "**no**"


def _range(value: float, low: float, high: float) -> str:
    return f"{value:g}" if low == high else f"{value:g} ({low:g}-{high:g})"


def _short(value: float) -> str:
    """Three figures, never in powers of ten."""
    return f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"  # method: display


def _percent(share: float) -> str:
    return "-" if np.isnan(share) else f"{share:.0%}"
