"""One sourced value and the rules it must keep."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field, model_validator
from scipy import special

Standing = Literal[
    "published", "common practice, no source", "from memory, unverified", "our judgement"
]
STANDINGS: tuple[Standing, ...] = (
    "published",
    "common practice, no source",
    "from memory, unverified",
    "our judgement",
)
Distribution = Literal["fixed", "normal", "lognormal", "logitnormal", "triangular", "uniform"]
DISTRIBUTIONS: tuple[Distribution, ...] = (
    "fixed",
    "normal",
    "lognormal",
    "logitnormal",
    "triangular",
    "uniform",
)
_Z90 = float(special.ndtri(0.9))


class Row(BaseModel):
    """A value with its range, unit, conditions, source and standing.

    ``low`` and ``high`` are the 10 and 90 % points for the bell-shaped distributions
    (normal; lognormal: of the logarithm; logitnormal: of a share between 0 and 1) and the
    hard ends for ``triangular`` and ``uniform``. A ``fixed`` row has no range.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    id: Annotated[str, Field(pattern=r"^[a-z0-9_]+(\.[a-z0-9_]+)+$")]
    value: float
    low: float
    high: float
    unit: Annotated[str, Field(min_length=1)]
    distribution: Distribution
    conditions: str = ""
    citation: str = ""
    standing: Standing
    note: str = ""
    name: str = ""
    """What people read in place of the id; made from the id where a table states none."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if not self.low <= self.value <= self.high:
            raise ValueError(f"{self.id}: value must lie between low and high")
        if (self.distribution == "fixed") != (self.low == self.high):
            raise ValueError(f"{self.id}: only a fixed row has low equal to high")
        if self.distribution == "lognormal" and self.low <= 0:
            raise ValueError(f"{self.id}: a lognormal row needs low above 0")
        if self.distribution == "logitnormal" and not 0 < self.low < self.high < 1:
            raise ValueError(f"{self.id}: a logitnormal row needs a range inside 0 and 1")
        if self.standing == "published" and not self.citation:
            raise ValueError(f"{self.id}: a published row needs a citation")
        return self

    @property
    def topic(self) -> str:
        """The table this row belongs to: the first part of its id."""
        return self.id.split(".", 1)[0]

    def quantile(self, share: NDArray[np.float64]) -> NDArray[np.float64]:
        """Value at each cumulative share (any shape, between 0 and 1)."""
        if self.distribution == "fixed":
            return np.full(np.shape(share), self.value)
        if self.distribution == "uniform":
            return np.asarray(self.low + share * (self.high - self.low))
        if self.distribution == "triangular":
            width = self.high - self.low
            mode = (self.value - self.low) / width
            return self.low + width * _triangular(np.asarray(share), mode)
        return self._bell(np.asarray(special.ndtri(share)))

    def _bell(self, z: NDArray[np.float64]) -> NDArray[np.float64]:
        """Bell shape whose median is ``value`` and whose 10/90 % points are low and high."""
        forward, back = _SCALES[self.distribution]
        low, middle, high = (forward(x) for x in (self.low, self.value, self.high))
        spread = np.where(z < 0, middle - low, high - middle) / _Z90
        return np.asarray(back(middle + z * spread))


def _triangular(share: NDArray[np.float64], mode: float) -> NDArray[np.float64]:
    """Quantile of the triangle on 0 to 1 with its peak at ``mode``."""
    rising = np.sqrt(mode * share)
    falling = 1 - np.sqrt((1 - mode) * (1 - share))
    return np.asarray(np.where(share < mode, rising, falling))


def _same(x: Any) -> Any:
    return x


_SCALES: dict[str, tuple[Callable[[Any], Any], Callable[[Any], Any]]] = {
    "normal": (_same, _same),
    "lognormal": (np.log, np.exp),
    "logitnormal": (lambda p: np.log(p / (1 - p)), lambda x: 1 / (1 + np.exp(-x))),
}
