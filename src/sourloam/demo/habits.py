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
    ``spoils`` makes one vessel fail. ``from_hub_m`` is where the place lies, metres east and north
    of the programme's hub; ``hours`` when it is open, hours of the day.
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
    from_hub_m: tuple[int, int] = (0, 0)
    hours: tuple[int, int] | None = None


PLACES: tuple[Habit, ...] = (
    Habit("flat", "bowls", layer_days=1, from_hub_m=(-900, 250)),
    Habit(
        "house", "scale", layer_days=1, strip_days=7, unlogged_layers=0.01, from_hub_m=(-480, 120)
    ),
    Habit("attic", "bowls", layer_days=2, drain_days=4, from_hub_m=(350, -90)),
    Habit("cottage", "bowls", layer_days=2, unlogged_layers=0.08, from_hub_m=(820, -260)),
    Habit(
        "idle",
        "bowls",
        layer_days=3,
        unlogged_layers=0.15,
        stops_before=150,
        from_hub_m=(1250, -420),
    ),
    Habit("school", "scale", drain_days=2, mark_days=4, from_hub_m=(-300, -650), hours=(9, 12)),
    Habit(
        "cafe",
        "litres",
        drain_days=2,
        mark_days=3,
        strip_days=5,
        from_hub_m=(500, 560),
        hours=(8, 11),
    ),
    Habit("garden", "litres", layer_days=2, drain_days=4, spoils=True, from_hub_m=(60, 40)),
)


def read_site(habit: Habit) -> tuple[Site, str]:
    """A place's site and the text of its file."""
    name = f"{habit.file}.toml"
    text = (files("sourloam.demo") / "places" / name).read_text(encoding="utf-8")
    return loads(text, name), text
