"""Texts that stand in registers rather than in calls, for the list of translations."""

from __future__ import annotations

from sourloam.documents import card_words

_SEASONS = ("winter", "spring", "summer", "autumn", "all year")


def sentences() -> set[str]:
    """Every such text."""
    return {*card_words.sentences(), *_SEASONS}
