"""One is one, and more are more."""

import pytest

from sourloam.cli.counting import counted


@pytest.mark.parametrize(
    ("number", "words", "said"),
    [
        (0, ("place",), "0 places"),
        (1, ("place",), "1 place"),
        (2, ("place",), "2 places"),
        (1, ("entry", "entries"), "1 entry"),
        (5, ("entry", "entries"), "5 entries"),
    ],
)
def test_a_count_stands_with_its_word(number, words, said):
    assert counted(number, *words) == said
