"""The invented places of Alder Row: who they are and how they keep their log."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources import files
from typing import Literal

from sourloam.site import Site, loads


@dataclass(frozen=True)
class Habit:
    """How the people of a place work and write.

    ``amounts``: bowlfuls, a scale, or litres by eye. Days between layers, drainings, strips and
    fill marks; shares of layers and of drainings that nobody writes down; ``stops_before`` how
    many days before today the place fell idle (nobody writes any more);
    ``spoils`` makes one vessel fail.
    """

    file: str
    amounts: Literal["bowls", "scale", "litres"]
    layer_days: int = 1
    drain_days: int = 3
    strip_days: int = 10
    mark_days: int = 7
    unlogged_layers: float = 0.04
    unlogged_drains: float = 0.05
    stops_before: int = 0
    spoils: bool = False


PLACES: tuple[Habit, ...] = (
    Habit("flat", "bowls", layer_days=1),
    Habit("house", "scale", layer_days=1, strip_days=7, unlogged_layers=0.01),
    Habit("attic", "bowls", layer_days=2, drain_days=4),
    Habit("cottage", "bowls", layer_days=2, unlogged_layers=0.08),
    Habit("idle", "bowls", layer_days=3, unlogged_layers=0.15, stops_before=150),
    Habit("school", "scale", drain_days=2, mark_days=4),
    Habit("cafe", "litres", drain_days=2, mark_days=3, strip_days=5),
    Habit("garden", "litres", layer_days=2, drain_days=4, spoils=True),
)


def read_site(habit: Habit) -> tuple[Site, str]:
    """A place's site and the text of its file."""
    name = f"{habit.file}.toml"
    text = (files("sourloam.demo") / "places" / name).read_text(encoding="utf-8")
    return loads(text, name), text
