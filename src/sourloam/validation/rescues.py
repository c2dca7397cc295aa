"""How good verdicts of the rescue are on invented cases, as a table."""

from __future__ import annotations

from typing import Any, Literal

import numpy as np

from sourloam.numerics.progress import Progress
from sourloam.triage import judged
from sourloam.triage.scoring import Score, invented, score, talk_about

_WORLDS: dict[str, dict[str, Any]] = {
    "shares as judged": {},
    "shares of its own for each case": {"unsure_shares": True},
    "the same, and signs come together": {"unsure_shares": True, "together": 0.3},
}
_HEAD = (
    "| stage | world | Brier before | Brier after | named | named rightly | stated | "
    "false all-clear | questions |",
    "|---|---|---|---|---|---|---|---|---|",
)


def rescue_table(cases: int, seed: int, report: Progress) -> str:
    """Brier score, calibration and false all-clears by stage and world, as Markdown.

    Three worlds for each stage: the shares as judged; every case with shares of its own from
    their ranges; and, on top, signs that come together more than the reckoning takes them to.
    """
    stages: tuple[Literal["vessel", "ground"], ...] = ("vessel", "ground")
    lines, asked = list(_HEAD), [(stage, world) for stage in stages for world in _WORLDS]
    for number, (stage, world) in enumerate(asked):
        report("asking about invented cases", number / len(asked))
        beliefs = judged(stage)
        rng = np.random.default_rng(seed)
        drawn = invented(beliefs, cases, rng, **_WORLDS[world])
        lines.append(_row(stage, world, score([talk_about(c, beliefs) for c in drawn], beliefs)))
    return "\n".join([*lines, "", f"{cases} cases each, seed {seed}."])


def _row(stage: str, world: str, found: Score) -> str:
    return (
        f"| {stage} | {world} | {found.brier_before:.2f} | {found.brier:.2f} | {found.sure:.0%} | "
        f"{found.right:.0%} | {found.stated:.0%} | {found.false_clear:.1%} | "
        f"{found.questions:.1f} |"
    )
