"""What is asked: how many possible worlds, by which weights, over how many years."""

from __future__ import annotations

from dataclasses import dataclass, field

from sourloam.impact.money import Local

REPORTS = ("ar5", "ar6")
HORIZONS = (20, 100)  # method: those for which the reports give weights
_LEAST_MEMBERS = 20  # method: fewer give no 10 and 90 % points


@dataclass(frozen=True)
class Asked:
    """How to reckon: members, seed, report of the weights, horizon in years, local facts."""

    members: int = 500  # method: steadies the 10 and 90 % points to a few parts in a hundred
    seed: int = 1
    report: str = "ar6"
    years: int = 100
    local: Local = field(default_factory=Local)

    def __post_init__(self) -> None:
        if self.members < _LEAST_MEMBERS:
            raise ValueError(f"members {self.members}: give at least {_LEAST_MEMBERS}")
        if self.report not in REPORTS or self.years not in HORIZONS:
            raise ValueError(
                f"{self.report}, {self.years} years: give one of {', '.join(REPORTS)} and "
                f"{' or '.join(str(y) for y in HORIZONS)} years"
            )
