"""Vessels of one kind are told apart beside their strips, on a phone too."""

import re

import pytest

from sourloam.drawing import SeasonPicture, Strip, draw_season


def names(*found, wide=380.0):
    strips = tuple(Strip(name, ((0, 5, "filling"),)) for name in found)
    drawn = draw_season(SeasonPicture(50.0, strips, (), title="A", wide=wide))
    return re.findall(r'class="d-word">([^<]+)</text>', drawn)


@pytest.mark.parametrize("kind", ["19 L pail", "The large tub behind the shed", "120 L drum"])
def test_their_numbers_stay(kind):
    shown = names(*(f"{kind} {number}" for number in (1, 2, 13)))
    assert [name.split()[-1] for name in shown] == ["1", "2", "13"]


def test_a_usual_name_is_whole():
    assert names("19 L pail 1") == ["19 L pail 1"]


def test_one_long_word_is_cut_at_its_end():
    (shown,) = names("W" * 60)
    assert shown.endswith("…")
