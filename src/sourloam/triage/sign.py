"""What a sign is: something a person can see, smell, measure or tell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

Stage = Literal["vessel", "ground"]
Group = Literal[
    "smell", "growth", "liquid", "feel", "strip", "tightness", "history", "soil", "plants", "burial"
]
#: Groups in the order in which people look.
GROUPS: tuple[Group, ...] = get_args(Group)
Effort = Literal["told", "look", "smell", "hand", "tap", "strip", "dig"]


@dataclass(frozen=True)
class Sign:
    """One sign. ``label``, ``question`` and ``how`` are English message ids.

    ``label`` names it in a list; ``question`` asks for it; ``how`` says how to find out, where
    that is no matter of course. ``picture`` is the id of a drawing and ``drawn`` tells whoever
    draws it what to show.
    ``choice`` joins signs of which only one can be there and that one question tells apart.
    """

    id: str
    label: str
    question: str
    group: Group
    effort: Effort
    drawn: str
    stage: Stage = "vessel"
    how: str = ""
    choice: str = ""

    @property
    def picture(self) -> str:
        """Id of its drawing."""
        return f"sign-{self.id.replace('_', '-')}"
