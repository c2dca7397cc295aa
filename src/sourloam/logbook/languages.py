"""The languages that a reader may choose: English, and each that has a list of words."""

from __future__ import annotations

from pathlib import Path

from django.conf.locale import LANG_INFO
from django.utils.translation import to_language


def with_lists(locale: Path) -> list[tuple[str, str]]:
    """Code and own name of English and of every language with a compiled list below ``locale``."""
    lists = sorted(locale.glob("*/LC_MESSAGES/django.mo"))
    codes = ["en", *(to_language(path.parent.parent.name) for path in lists)]
    return [(code, _own_name(code)) for code in codes]


def _own_name(code: str) -> str:
    name: str = LANG_INFO[code]["name_local"]
    return name[:1].upper() + name[1:]
