"""The one explicit object in which values travel from the evidence to a science room."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True)
class Parameters(Mapping[str, NDArray[np.float64]]):
    """Values by evidence id, each an array of shape ``(members,)``."""

    values_by_id: Mapping[str, NDArray[np.float64]]
    members: int

    def __post_init__(self) -> None:
        for key, array in self.values_by_id.items():
            if array.shape != (self.members,):
                raise ValueError(f"{key}: shape {array.shape}, expected ({self.members},)")
        object.__setattr__(self, "values_by_id", MappingProxyType(dict(self.values_by_id)))

    def __getitem__(self, key: str) -> NDArray[np.float64]:
        return self.values_by_id[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self.values_by_id)

    def __len__(self) -> int:
        return len(self.values_by_id)

    @property
    def ids(self) -> tuple[str, ...]:
        """Evidence ids in this object, sorted."""
        return tuple(sorted(self.values_by_id))

    def with_values(self, changes: Mapping[str, ArrayLike]) -> Parameters:
        """Copy with some ids set to a number, or to an array of shape ``(members,)``.

        Raises KeyError for an id that is not here.
        """
        merged = dict(self.values_by_id)
        for key, value in changes.items():
            if key not in merged:
                raise KeyError(key)
            merged[key] = np.broadcast_to(
                np.asarray(value, dtype=np.float64), (self.members,)
            ).copy()
        return Parameters(merged, self.members)

    def member(self, index: int) -> Parameters:
        """The values of one member, as an object with ``members == 1``."""
        return self.members_in(slice(index, index + 1))

    def members_in(self, block: slice) -> Parameters:
        """The values of some members, in order."""
        part = {k: v[block] for k, v in self.values_by_id.items()}
        return Parameters(part, len(range(*block.indices(self.members))))
