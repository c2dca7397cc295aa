"""No text, however odd, gets anything but an answer or one clear line."""

import string
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.site import Site, SiteError, load, loads

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXTS = [path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*.toml"))]
LINES = sorted({line for text in TEXTS for line in text.splitlines()})
VALUES = st.one_of(
    st.sampled_from(
        ["nan", "-inf", "0", "-1", "1e308", "9" * 400, "true", '""', "[]", "{}", "2026-02-30",
         "2026-01-01T00:00:00Z", "12:00:00", '"0 L"', '"1e300 L"', '"nan °C"', '"1/0 L"', "[[]]",
         '"\\u0000"', "'''a\nb'''", "{a = {b = {c = 1}}}", '"12-31"', '"02-29"', "0x7f", "1_000"]
    ),
    st.integers().map(str),
    st.floats().map(str),
    st.text(string.printable, max_size=20).map(lambda t: f'"{t}"'),
)  # fmt: skip


def answers(text):
    """Reads and converts; anything but SiteError gets out."""
    try:
        site = loads(text, "odd.toml")
    except SiteError as error:
        line = str(error)
        assert line.isprintable()
        assert 0 < len(line) < 800
        return
    assert isinstance(site, Site)
    first = site.place.start
    assert site.to_vessels()
    assert site.to_streams(first, first.replace(day=28))
    assert len(site.to_climate()) >= 365
    assert site.to_room().kind == site.room.kind


@settings(derandomize=True, max_examples=150, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_answered(text):
    answers(text)


@settings(derandomize=True, max_examples=100, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_are_answered(tmp_path_factory, data):
    file = tmp_path_factory.getbasetemp() / "odd.toml"
    file.write_bytes(data)
    with pytest.raises(SiteError):
        load(file)


@settings(derandomize=True, max_examples=400, deadline=None)
@given(st.sampled_from(TEXTS), st.data())
def test_an_example_with_one_value_changed_is_answered(text, data):
    lines = text.splitlines()
    at = data.draw(st.sampled_from([i for i, line in enumerate(lines) if " = " in line]))
    lines[at] = lines[at].split(" = ")[0] + " = " + data.draw(VALUES)
    answers("\n".join(lines))


@settings(derandomize=True, max_examples=200, deadline=None)
@given(st.lists(st.sampled_from(LINES), max_size=40))
def test_lines_of_the_examples_in_any_order_are_answered(lines):
    answers("\n".join(lines))


@settings(derandomize=True, max_examples=200, deadline=None)
@given(st.sampled_from(TEXTS), st.integers(0, 2000), st.integers(0, 60), st.text(max_size=8))
def test_an_example_with_a_piece_torn_out_is_answered(text, start, length, patch):
    answers(text[:start] + patch + text[start + length :])
