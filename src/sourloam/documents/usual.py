"""What a place usually does, read from its log."""

from __future__ import annotations

from itertools import pairwise
from statistics import median

from sourloam.evidence import book
from sourloam.ledger import PlaceState

_FEW = 5  # drainings that follow another, from which a rhythm can be read


def drain_rhythm(state: PlaceState) -> int:
    """Days from one draining to the next as this place does it; while it has few, as is usual."""
    turns = (turn for vessel in state.vessels for turn in vessel.turns)
    apart = [(b.day - a.day).days for turn in turns for a, b in pairwise(turn.drains)]
    apart = [days for days in apart if days > 0]
    if len(apart) < _FEW:
        return round(book()["practice.drain"].value)
    return max(1, round(median(apart)))
