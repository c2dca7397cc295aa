"""What is counted has its singular, in every language: no "1 layers"."""

import re
from pathlib import Path

LOCALE = Path(__file__).parents[2] / "src" / "sourloam" / "web" / "locale"
COUNTED = re.compile(r"%\(n\)d (?:more |clean |full |finished |possible )?([a-z]+s)\b")
#: Said only where there are several, or of a number that the program itself chose.
SEVERAL = (
    "All %(n)d vessels",
    "entries of %(n)d places",
    "the zip holds %(n)d files",
    "is not sour %(n)d weeks after",
    "sour and steady %(n)d weeks after",
    "neither is sour %(n)d weeks after",
    "%(n)d possible ",
    "Not even %(n)d vessels",
    "are run %(n)d times",
    "counting %(n)d runs",
    "by %(n)d runs",
    "still at it after %(n)d months",
)


def entries(text):
    """Message and whether it has a plural, of each entry."""
    for block in text.split("\n\n")[1:]:
        found = re.search(r'^msgid ((?:".*"\n)+)', block, re.MULTILINE)
        if found:
            yield "".join(re.findall(r'"(.*)"', found[1])), "msgid_plural" in block


def naive(text):
    return [
        message
        for message, plural in entries(text)
        if not plural and COUNTED.search(message) and not any(part in message for part in SEVERAL)
    ]


def test_every_counted_thing_has_a_singular():
    catalogue = (LOCALE / "es" / "LC_MESSAGES" / "django.po").read_text(encoding="utf-8")
    assert len(list(entries(catalogue))) > 1000
    assert naive(catalogue) == []


def test_every_singular_and_plural_is_written_in_every_language():
    for catalogue in LOCALE.glob("*/LC_MESSAGES/django.po"):
        for block in catalogue.read_text(encoding="utf-8").split("\n\n"):
            if "msgid_plural" in block:
                assert not re.search(r'^msgstr\[\d\] ""$', block, re.MULTILINE), block


def test_a_naive_plural_is_seen():
    assert naive('head\n\nmsgid "%(n)d layers went in."\nmsgstr "x"') == ["%(n)d layers went in."]
