"""Every value has a source, a range and a standing; drawing keeps to the range."""

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam import evidence
from sourloam.evidence.book import load

BOOK = evidence.book()
ROWS = list(BOOK)
_FINDABLE = r"\b(1[89]|20)\d\d\b|\bCFR\b|\w\.[a-z]{2,4}\b|Handbook|Extension|Directive|Government"
_UNKNOWN = (
    r"not shown|news digest|[Nn]ewspaper\b(?!.*\d{4})|authors .*from memory"
    r"|^(?!.*(\b(1[89]|20)\d\d\b|\w\.[a-z]{2,4}\b)).*stored copy"
)
TABLES = Path(evidence.__file__).parent / "tables"


def test_every_row_has_one_of_the_four_standings():
    assert {row.standing for row in ROWS} <= set(evidence.STANDINGS)
    assert len(ROWS) > 400


def test_every_published_row_has_a_full_citation():
    """Full: somebody who wrote it, and a year or a place where it can be read."""
    for row in ROWS:
        if row.standing == "published":
            text = BOOK.citation(row)
            assert len(text) > 30, row.id
            assert re.search(_FINDABLE, text), (
                row.id,
                text,
            )


def test_a_published_row_rests_on_a_source_whose_authors_and_place_are_known():
    """One whole citation at least: not only ones that own up to what was not shown."""
    for row in ROWS:
        if row.standing == "published":
            texts = [BOOK.citations[key.strip()] for key in row.citation.split(";")]
            assert not all(re.search(_UNKNOWN, text) for text in texts), (row.id, texts)


def test_no_row_but_a_published_one_passes_for_published():
    assert all(row.standing == "published" or "published" not in row.conditions for row in ROWS)


def test_every_citation_is_cited_by_a_row_or_a_check():
    used = {key.strip() for row in ROWS for key in row.citation.split(";") if key.strip()}
    checks = "".join(
        path.read_text(encoding="utf-8")
        for path in Path(__file__).parents[1].rglob("*.py")
        if path != Path(__file__)
    )
    idle = [
        key
        for key, text in BOOK.citations.items()
        if key not in used and text.split()[0].rstrip(",") not in checks
    ]
    assert not idle


@pytest.mark.parametrize("distribution", evidence.DISTRIBUTIONS)
def test_drawn_values_keep_to_the_stated_range(distribution):
    """Bell shapes: 10 and 90 % points and the median; hard ends: never beyond them."""
    low, value, high = (0.2, 0.3, 0.6) if distribution != "fixed" else (0.3, 0.3, 0.3)
    row = evidence.Row(
        id="a.b", value=value, low=low, high=high, unit="1", distribution=distribution,
        standing="our judgement",
    )  # fmt: skip
    drawn = row.quantile((np.arange(20_000) + 0.5) / 20_000)
    if distribution in ("normal", "lognormal", "logitnormal"):
        assert np.quantile(drawn, [0.1, 0.5, 0.9]) == pytest.approx([low, value, high], rel=2e-3)
    else:
        assert drawn.min() == pytest.approx(low, abs=5e-3)
        assert drawn.max() == pytest.approx(high, abs=5e-3)
        assert drawn.min() >= low
        assert drawn.max() <= high


@settings(max_examples=20, derandomize=True)
@given(st.integers(1, 300), st.integers(0, 2**32 - 1))
def test_a_draw_is_reproducible_and_does_not_depend_on_what_else_is_drawn(members, seed):
    ids = ["acids.pka.lactic", "flora.lactic.growth"]
    alone = BOOK.sample(ids[:1], members, np.random.default_rng(seed))
    both = BOOK.sample(ids[::-1], members, np.random.default_rng(seed))
    assert np.array_equal(alone[ids[0]], both[ids[0]])


def test_parameters_can_be_set_but_not_by_a_name_that_is_not_there():
    central = BOOK.central(["acids.pka.lactic"])
    assert central.with_values({"acids.pka.lactic": 3.9})["acids.pka.lactic"][0] == 3.9
    assert central["acids.pka.lactic"][0] == BOOK["acids.pka.lactic"].value
    with pytest.raises(KeyError):
        central.with_values({"acids.pka.nitric": 1.0})


BAD = {
    "value outside its range": ('value=3, low=1, high=2, distribution="uniform"', "between low"),
    "a fixed row with a range": ('value=1, low=0, high=2, distribution="fixed"', "fixed row"),
    "published without a source": ('value=1, standing="published"', "needs a citation"),
    "an unknown standing": ('value=1, standing="heard"', "standing"),
    "a citation that is nowhere": ('value=1, citation="nobody-1900"', "not in citations.toml"),
    "a row of another table": ('id="other.x", value=1', "belongs in other.toml"),
    "not a number": ("value=nan", "finite"),
}


@pytest.mark.parametrize("case", BAD)
def test_a_table_that_breaks_a_rule_is_named_in_one_line(case, tmp_path):
    fields, message = BAD[case]
    if "id=" not in fields:
        fields = 'id="topic.x", ' + fields
    if "standing" not in fields:
        fields += ', standing="our judgement"'
    (tmp_path / "citations.toml").write_text("")
    (tmp_path / "topic.toml").write_text(f'value = [{{{fields}, unit="1"}}]')
    with pytest.raises(evidence.EvidenceError, match=message) as error:
        load(tmp_path)
    assert "\n" not in str(error.value)
    assert "topic.toml" in str(error.value)
