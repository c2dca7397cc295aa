"""Sentences that pages show in a reader's language: an English message id and what goes into it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sourloam import units

Value = str | int | float | dt.date


def gettext_noop(text: str) -> str:
    """Marks a message id for those who gather texts to translate; gives it back unchanged."""
    return text


@dataclass(frozen=True)
class Sentence:
    """``msgid`` holds places such as ``%(days)d``; ``params`` what stands there, by name."""

    msgid: str
    params: tuple[tuple[str, Value], ...] = ()

    @classmethod
    def of(cls, msgid: str, **params: Value) -> Sentence:
        """A sentence with its data."""
        return cls(msgid, tuple(sorted(params.items())))

    @property
    def data(self) -> Mapping[str, Value]:
        """The data by name, for ``gettext(msgid) % data``."""
        return dict(self.params)

    def shown(self, system: str = "metric") -> Mapping[str, Value]:
        """The data with quantities written out in a system of units; dates stay dates.

        A name that ends in ``_ml``, ``_kg``, ``_m`` or ``_c`` holds a quantity in that unit.
        """
        return {name: _written(name, value, system) for name, value in self.params}

    @property
    def english(self) -> str:
        """The sentence in English and metric units."""
        return self.msgid % self.shown()

    def as_json(self) -> dict[str, Any]:
        """Plain JSON; dates as ISO text."""
        return {
            "msgid": self.msgid,
            "params": {k: v.isoformat() if isinstance(v, dt.date) else v for k, v in self.params},
        }


_DIMENSIONS = {
    "ml": ("small_volume", 1e-6),
    "kg": ("small_mass", 1.0),
    "m": ("length", 1.0),
    "c": ("temperature", 1.0),
}


def _written(name: str, value: Value, system: str) -> Value:
    dimension = _DIMENSIONS.get(name.rpartition("_")[2]) if "_" in name else None
    if dimension is None or isinstance(value, str | dt.date):
        return value
    return units.show(value * dimension[1], dimension[0], system)
