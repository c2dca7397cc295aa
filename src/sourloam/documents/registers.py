"""Texts that stand in registers rather than in calls, for the list of translations."""

from __future__ import annotations

from sourloam.documents import (
    achieved_words,
    bran_words,
    burial_words,
    calendar_words,
    card_words,
    class_words,
    feeding,
    figures,
    season_words,
    week_words,
)
from sourloam.documents import (
    round as round_sheets,
)
from sourloam.garden import crop_names

_SEASONS = ("winter", "spring", "summer", "autumn", "all year")


def sentences() -> set[str]:
    """Every such text."""
    found = {*_SEASONS, *(name.replace("_", " ") for name in crop_names())}
    found |= {*feeding.RULES, *feeding.HEAD, *feeding.THINNING}
    for words in (
        achieved_words,
        bran_words,
        burial_words,
        calendar_words,
        card_words,
        class_words,
        figures,
        round_sheets,
        season_words,
        week_words,
    ):
        found |= words.sentences()
    return found
