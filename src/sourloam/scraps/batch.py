"""A batch: so much of each constituent. Everything in it adds up, so mixing is addition."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

#: Constituents whose masses add up to the fresh mass, kg.
MASSES = ("water", "sugars", "starch", "fibre", "protein", "fat", "acids", "other", "ash")
#: Minerals, kg, already counted inside ``ash``.
MINERALS = ("P", "K", "Na", "Ca")
#: Further extensive quantities: buffering mol/pH; buffering x starting pH, mol;
#: loose volume m3; viable lactic bacteria and enterobacteria, cfu.
OTHERS = ("buffer", "buffer_ph", "loose_volume", "lactic_cfu", "entero_cfu")
COLUMNS = MASSES + MINERALS + OTHERS
INDEX = {name: i for i, name in enumerate(COLUMNS)}


@dataclass(frozen=True)
class Batch:
    """Amounts of shape ``(..., len(COLUMNS))``; leading axes are members, days or classes."""

    amounts: NDArray[np.float64]

    def __post_init__(self) -> None:
        if self.amounts.shape[-1] != len(COLUMNS):
            raise ValueError(f"last axis {self.amounts.shape[-1]}, expected {len(COLUMNS)}")

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        """Amount of one column, without the last axis; KeyError for an unknown name."""
        return self.amounts[..., INDEX[name]]

    def __add__(self, other: Batch) -> Batch:
        return Batch(self.amounts + other.amounts)

    def times(self, factor: ArrayLike) -> Batch:
        """Scaled by a factor without unit that broadcasts over the leading axes."""
        return Batch(self.amounts * np.asarray(factor, dtype=np.float64)[..., None])

    def total(self, axis: int = -1) -> Batch:
        """Sum over one leading axis (negative axes count from before the column axis)."""
        return Batch(self.amounts.sum(axis=axis - 1 if axis < 0 else axis))

    @property
    def fresh_kg(self) -> NDArray[np.float64]:
        """Fresh mass, kg, of the shape of the leading axes."""
        return np.asarray(self.amounts[..., : len(MASSES)].sum(axis=-1))

    @property
    def dry_kg(self) -> NDArray[np.float64]:
        """Dry mass, kg, of the shape of the leading axes."""
        return np.asarray(self.amounts[..., 1 : len(MASSES)].sum(axis=-1))

    @property
    def ph(self) -> NDArray[np.float64]:
        """Starting pH, of the shape of the leading axes: the buffering-weighted mean, exact where
        buffering is linear."""
        return self["buffer_ph"] / self["buffer"]
