"""People read names, never bare ids."""

import re

import pytest

from sourloam.evidence import book
from sourloam.evidence.naming import name_of

PLAIN_WORD = re.compile(r"[A-Za-z]{2,}")


@pytest.mark.parametrize("topic", book().topics)
def test_every_name_is_words(topic):
    for row in book().topic(topic):
        assert "_" not in row.name, row.id
        assert " " in row.name or PLAIN_WORD.fullmatch(row.name), (row.id, row.name)
        assert not re.search(r"\b(?!pK1)[a-z]{1,2}\d", row.name), (row.id, row.name)


def test_no_two_rows_of_a_topic_share_a_name():
    for topic in book().topics:
        names = [row.name for row in book().topic(topic)]
        assert len(names) == len(set(names)), {n for n in names if names.count(n) > 1}


def test_a_row_with_words_of_its_own_keeps_them():
    names = {"row": {"vessel.gas": "gas above"}, "vessel": {"t_min": "coldest"}, "all": {"k": "K"}}
    assert name_of("vessel.gas", names) == "gas above"
    assert name_of("vessel.salt_in.t_min", names) == "salt in, coldest"
    assert name_of("soil.t_min.k", names) == "t min, K"


def test_names_in_the_list_belong_to_rows():
    import tomllib
    from importlib.resources import files

    text = (files("sourloam.evidence") / "tables" / "names.toml").read_text(encoding="utf-8")
    listed = tomllib.loads(text)
    assert set(listed["row"]) <= set(book().rows)
    parts = {part for key in book().rows for part in key.split(".")[1:]}
    for group in set(listed) - {"row"}:
        assert set(listed[group]) <= parts, set(listed[group]) - parts
