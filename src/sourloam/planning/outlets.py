"""Where finished ferment may go, and how fast: beds, what each takes in a year, people's time."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]
Days = NDArray[np.int16]
NEVER = int(np.iinfo(np.int16).max)


@dataclass(frozen=True)
class Outlets:
    """What limits the emptying of vessels; members first, then beds, days last.

    ``bed_kg`` (members, beds): scraps whose ferment each bed takes in a year. ``opens_in``
    (members, beds, days): days until it can be dug, 0 for today. ``dig_h`` (members,): hours for
    burying in a week, of which a full vessel asks ``vessel_h`` (kinds, members). ``present``
    (days,): somebody is there to empty vessels. ``eve`` (days,): the last day before a long time
    without scraps: ready vessels are emptied, and the one that is filling is closed. ``longest``
    is for how many days a closed vessel may wait.
    """

    bed_kg: Floats
    opens_in: Days
    dig_h: Floats
    vessel_h: Floats
    present: Bools
    eve: Bools
    longest: int

    def pick(self, members: slice | Ints) -> Outlets:
        """The same for some of the members, by slice or by number ``(picked,)``; a member may come
        twice."""
        return replace(
            self,
            bed_kg=self.bed_kg[members],
            opens_in=self.opens_in[members],
            dig_h=self.dig_h[members],
            vessel_h=self.vessel_h[:, members],
        )

    def within(self, days: slice) -> Outlets:
        """The same for a part of the days."""
        return replace(
            self,
            opens_in=self.opens_in[:, :, days],
            present=self.present[days],
            eve=self.eve[days],
        )

    def middle(self, sure: float) -> Outlets:
        """One member with the medians of all; a bed opens when it is open in the share ``sure``
        of them."""
        opens_in = np.quantile(self.opens_in, sure, axis=0, method="inverted_cdf")
        return replace(
            self,
            bed_kg=np.median(self.bed_kg, axis=0)[None],
            opens_in=opens_in[None].astype(np.int16),
            dig_h=np.median(self.dig_h, keepdims=True),
            vessel_h=np.median(self.vessel_h, axis=1, keepdims=True),
        )


def unlimited(members: int, days: int, open_ground: Bools) -> Outlets:
    """One bed that takes everything whenever the ground is open (members, days)."""
    return Outlets(
        bed_kg=np.full((members, 1), np.inf),
        opens_in=opening(open_ground[:, None]),
        dig_h=np.full(members, np.inf),
        vessel_h=np.zeros((1, members)),
        present=np.ones(days, dtype=bool),
        eve=np.zeros(days, dtype=bool),
        longest=NEVER - 1,
    )


def opening(open_days: Bools) -> Days:
    """Days until the next open one, of the shape of ``open_days`` (..., days).

    Beyond the last day of the window nothing opens, save that a bed which was open before is
    taken to open again on the day after it.
    """
    out = np.empty(open_days.shape, dtype=np.int16)
    after = np.where(open_days.any(axis=-1), 0, NEVER).astype(np.int16)
    for day in range(open_days.shape[-1] - 1, -1, -1):
        after = np.where(open_days[..., day], 0, np.minimum(after, NEVER - 1) + 1).astype(np.int16)
        out[..., day] = after
    return out
