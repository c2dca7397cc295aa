"""What is offered to a vessel: layers with their days, and how finely they were cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sourloam.scraps.batch import MASSES, MINERALS, Batch

_MASSES = len(MASSES + MINERALS)
Pieces = Literal["minced", "chopped", "whole"]


@dataclass(frozen=True)
class Feeding:
    """Layers offered in order.

    ``day``: (layers,) whole days since the start of the run, not falling. ``batch``: amounts
    (members, layers, columns), scraps and bran together. A layer of no mass is no feeding.
    """

    day: NDArray[np.float64]
    batch: Batch
    pieces: Pieces = "chopped"

    def __post_init__(self) -> None:
        if self.batch.amounts.ndim != 3:
            raise ValueError("batch must have the axes members, layers, columns")
        if self.day.shape != (self.batch.amounts.shape[1],):
            raise ValueError(f"{self.day.size} days for {self.batch.amounts.shape[1]} layers")
        if self.day.size and (np.any(np.diff(self.day) < 0) or self.day[0] < 0):
            raise ValueError("days must not fall, nor begin before day 0")
        if not np.all(np.isfinite(self.batch.amounts)) or np.any(
            self.batch.amounts[..., :_MASSES] < 0
        ):
            raise ValueError("amounts must be finite and not below 0")

    @property
    def members(self) -> int:
        """Number of members."""
        return int(self.batch.amounts.shape[0])
