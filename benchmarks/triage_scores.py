"""How good are verdicts on invented cases? Brier score, calibration, false all-clears.

    .venv/bin/python benchmarks/triage_scores.py [--cases 400] [--write docs/rescue.md]

Three worlds for each stage: the shares as judged; every case with shares of its own from their
ranges; and, on top, signs that come together more than the reckoning takes them to.
``--write`` puts the table between the marks of the page.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np

from sourloam.triage import judged
from sourloam.triage.scoring import Score, invented, score, talk_about

WORLDS = {
    "shares as judged": {},
    "shares of its own for each case": {"unsure_shares": True},
    "the same, and signs come together": {"unsure_shares": True, "together": 0.3},
}
HEAD = (
    "| stage | world | Brier before | Brier after | named | named rightly | stated | "
    "false all-clear | questions |\n|---|---|---|---|---|---|---|---|---|"
)
BEGIN, END = "<!-- scores -->", "<!-- /scores -->"


def row(stage: str, world: str, found: Score) -> str:
    """One line of the table."""
    return (
        f"| {stage} | {world} | {found.brier_before:.2f} | {found.brier:.2f} | {found.sure:.0%} | "
        f"{found.right:.0%} | {found.stated:.0%} | {found.false_clear:.1%} | "
        f"{found.questions:.1f} |"
    )


def table(cases: int, seed: int) -> str:
    """The whole table in Markdown."""
    lines = [HEAD]
    for stage in ("vessel", "ground"):
        beliefs = judged(stage)
        for world, ways in WORLDS.items():
            rng = np.random.default_rng(seed)
            talks = [talk_about(case, beliefs) for case in invented(beliefs, cases, rng, **ways)]
            lines.append(row(stage, world, score(talks, beliefs)))
    return "\n".join(lines)


def main() -> None:
    """Print the table, or write it into a page."""
    ask = argparse.ArgumentParser()
    ask.add_argument("--cases", type=int, default=400)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--write", type=Path)
    asked = ask.parse_args()
    made = table(asked.cases, asked.seed)
    print(made)
    if asked.write is not None:
        text = asked.write.read_text(encoding="utf-8")
        before, _, rest = text.partition(BEGIN)
        _, _, after = rest.partition(END)
        said = f"{asked.cases} cases each, seed {asked.seed}"
        asked.write.write_text(
            f"{before}{BEGIN}\n{made}\n\n{said}.\n{END}{after}", encoding="utf-8"
        )


if __name__ == "__main__":
    main()
