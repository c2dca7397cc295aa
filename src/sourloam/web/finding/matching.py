"""Which texts hold the words that somebody typed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from typing import TypeVar

from django.utils.translation import gettext as _

_STEM = 4  # letters from which a longer word that was typed still counts
_SENTENCE = 2  # words of a sentence that must be known
One = TypeVar("One")


def matching(
    every: Sequence[One], asked: str, text: Callable[[One], str], strict: bool = False
) -> list[One]:
    """Those that hold all words asked for; where none does and not ``strict``, any of them."""
    wanted = _weighty(words(asked))
    if not wanted:
        return list(every)
    held = [(one, _held(words(text(one)), wanted)) for one in every]
    whole = [one for one, found in held if all(found)]
    return whole or ([] if strict else [one for one, found in held if any(found)])


def of_a_sentence(every: Sequence[One], asked: str, text: Callable[[One], str]) -> list[One]:
    """Those that hold the most words of a sentence, two at least."""
    wanted = _weighty(words(asked))
    held = [(sum(_held(words(text(one)), wanted)), one) for one in every]
    most = max((many for many, _one in held), default=0)
    return [one for many, one in held if many == most] if most >= _SENTENCE else []


def whole_words(asked: str, text: str) -> int:
    """How many of the words asked for stand whole in a text."""
    return len(set(words(asked)) & set(words(text)))


def _held(text: list[str], wanted: list[str]) -> list[bool]:
    return [any(_meets(typed, word) for word in text) for typed in wanted]


def _meets(typed: str, word: str) -> bool:
    return word.startswith(typed) or (len(word) >= _STEM and typed.startswith(word))


def _weighty(typed: list[str]) -> list[str]:
    """Without the small words of a sentence, unless nothing else was typed."""
    small = set(
        words(
            _("a an and are at can do does for how i in is it its my of on or our the to we what")
        )
    )
    return [word for word in typed if word not in small] or typed


def words(text: str) -> list[str]:
    """Small letters without accents, parted at whatever is neither letter nor digit."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    return re.findall(r"[^\W_]+", "".join(c for c in plain if not unicodedata.combining(c)))
