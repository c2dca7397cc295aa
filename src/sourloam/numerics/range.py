"""A figure of an answer with its range, as every contract writes it."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Range(BaseModel):
    """Median with the 10 and 90 % points; None where a point lies beyond the time foreseen."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    median: float | None
    low: float | None
    high: float | None
    unit: str
