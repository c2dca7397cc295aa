"""Sentences that pages show in a reader's language: an English message id and what goes into it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

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

    @property
    def english(self) -> str:
        """The sentence in English."""
        return self.msgid % self.data

    def as_json(self) -> dict[str, Any]:
        """Plain JSON; dates as ISO text."""
        return {
            "msgid": self.msgid,
            "params": {k: v.isoformat() if isinstance(v, dt.date) else v for k, v in self.params},
        }
