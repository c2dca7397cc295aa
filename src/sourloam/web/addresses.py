"""Addresses of pages, each worked out once: a page may name hundreds."""

from __future__ import annotations

from functools import lru_cache

from django.urls import get_script_prefix, reverse

_KEPT = 20_000


def address(name: str, *parts: str) -> str:
    """Where a page of ``sourloam.web`` is."""
    return _made(get_script_prefix(), name, parts)


@lru_cache(maxsize=_KEPT)
def _made(_prefix: str, name: str, parts: tuple[str, ...]) -> str:
    return reverse(f"web:{name}", args=parts)
