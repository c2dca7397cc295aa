"""Labels on sheets of stickers."""

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.documents import DocumentError, Printing, Stickers, vessel_labels

DAY = dt.date(2026, 3, 1)
NAMES = [f"19 L pail no. {n}" for n in range(1, 4)]


def labels(names=NAMES, stickers=None, paper="a4", language="en"):
    return vessel_labels(names, "Alder Row", Printing(language, paper, day=DAY), stickers)


@settings(derandomize=True, max_examples=12, deadline=None)
@given(wide=st.floats(40, 200), tall=st.floats(20, 120), paper=st.sampled_from(["a4", "letter"]))
def test_stickers_of_any_size_stay_on_the_paper(wide, tall, paper):
    stickers = Stickers(wide, tall)
    columns, rows = stickers.grid(paper)
    assert columns * wide <= {"a4": 210, "letter": 215.9}[paper] + 1e-9
    assert rows * tall <= {"a4": 297, "letter": 279.4}[paper] + 1e-9
    assert labels(["Bin"] * (columns * rows), stickers, paper).startswith(b"%PDF")


@pytest.mark.parametrize("size", [(70, 37), (40, 20), (99, 68), (105, 148)])
@pytest.mark.parametrize("language", ["en", "es"])
def test_each_label_stays_inside_its_sticker(read_back, size, language):
    stickers = Stickers(*size)
    columns, rows = stickers.grid("a4")
    (page,) = read_back(labels([f"Bin no. {n}" for n in range(columns * rows)], stickers,
                               language=language))  # fmt: skip
    wide, tall = (side * 72 / 25.4 for side in size)
    left, top = (page.width - columns * wide) / 2, (page.height - rows * tall) / 2
    for word_left, word_top, word_right, word_bottom, word in page.words:
        column, row = int((word_left - left) / wide), int((word_top - top) / tall)
        assert word_right <= left + (column + 1) * wide + 0.1, word
        assert word_bottom <= top + (row + 1) * tall + 0.1, word


def test_used_stickers_are_left_free_and_a_second_sheet_follows(read_back):
    first, second = read_back(labels(NAMES, Stickers(70, 37, skip=22)))
    assert ("no. 1" in first.text, "no. 2" in first.text) == (True, True)
    assert "no. 3" in second.text


@pytest.mark.parametrize(
    ("stickers", "why"),
    [
        (Stickers(float("nan"), 37), "give at least 40x20"),
        (Stickers(20, 10), "give at least 40x20"),
        (Stickers(300, 37), "wider or taller than the paper"),
        (Stickers(70, 37, skip=24), "the sheet has 24 stickers"),
    ],
)
def test_stickers_that_cannot_be_printed_are_refused_in_one_line(stickers, why):
    with pytest.raises(DocumentError, match=why):
        labels(stickers=stickers)
