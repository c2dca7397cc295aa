"""The report on what was achieved, read back."""

import datetime as dt
import re
import sys
from pathlib import Path

import pytest

from sourloam.documents import Printing, achieved_report
from sourloam.documents.achieved_account import account
from sourloam.documents.achieved_words import sentences, spanish_sources
from sourloam.documents.speech import Speech
from sourloam.evidence import book
from sourloam.impact import Asked, Local, impact_of_log
from sourloam.impact.sourcing import FURTHER
from sourloam.site import load

ROOT = Path(__file__).parents[2]
sys.path.append(str(ROOT / "tests" / "impact"))
DAY = dt.date(2026, 4, 1)
PRICES = {"currency": "ducats", "bin_per_tonne": 100.0, "hours": 3, "wage_per_hour": 10.0}


@pytest.fixture(scope="module")
def answer():
    import invented_log

    local = Local.model_validate({"prices": PRICES, "bin": {"wells": "wells"}, "driven_km": 5})
    asked = Asked(members=40, local=local)
    return impact_of_log(invented_log.state(), load(ROOT / "examples" / "home.toml"), asked)


@pytest.fixture(scope="module")
def told(answer):
    return account(answer, Speech())


@pytest.mark.parametrize(("language", "paper"), [("en", "a4"), ("es", "letter")])
def test_pictures_and_verdicts_stand_on_the_first_page_and_nothing_is_clipped(
    answer, read_back, language, paper
):
    pages = read_back(achieved_report(answer, Printing(language, paper, day=DAY)))
    assert [page.outside() for page in pages] == [[]] * len(pages)
    said = account(answer, Speech(language))
    first = pages[0].text
    for row in said.ways.rows:
        assert row.name in first
        assert row.figure in first
    for claim in said.claims:
        assert claim.word in first
    for row in said.garden.rows:
        assert row.figures[0] in first


def test_every_number_in_brackets_is_a_footnote_that_says_who(answer, read_back, told):
    pages = read_back(achieved_report(answer, Printing(day=DAY)))
    text = " ".join(page.text for page in pages)
    body, _, notes = text.rpartition("6. Who says so")
    named = {
        int(n) for group in re.findall(r"\[(\d+(?:, \d+)*)\]", body) for n in group.split(", ")
    }
    assert len(named) > 40
    assert named <= {source.number for source in told.sources}
    for source in told.sources:
        assert f"{source.name}: {source.value}; {source.standing}." in notes
        assert f" {source.number} " in f" {notes} "


def test_no_table_shows_a_figure_without_its_range(told):
    """Where both ends are alike, nothing of it was uncertain: none was thrown away by hand."""
    tables = (told.compared, told.garden, told.carbon, told.handling, *told.parts)
    single = re.compile(r"^[\u2212\d.,]+( [a-zA-Z/0-9-]+)?$")
    for table in tables:
        for row in table.rows:
            for figure in row.figures:
                assert not single.match(figure), (table.title, row.name, figure)


def test_every_part_and_every_verdict_has_its_footnotes(told):
    assert all(row.notes for table in told.parts for row in table.rows)
    assert all(claim.notes for claim in told.claims)
    assert all(moved.notes for moved in told.moved)
    assert told.kept_notes


def test_the_money_is_the_readers_own(told, answer, read_back):
    assert told.money.head[1] == "ducats"
    text = " ".join(p.text for p in read_back(achieved_report(answer, Printing(day=DAY))))
    assert "paid hours" in text
    assert "\u221230" in text


def test_all_that_an_answer_says_has_a_translation(answer):
    known = sentences()
    said = {reason for claim in answer.claims for reason in (claim.statement, claim.reason.text)}
    said |= {claim.figure_words for claim in answer.claims} | {c.verdict for c in answer.claims}
    said |= {*answer.cautions, *answer.provenance.notes, *(x.text for x in answer.kept.measured)}
    said |= {line.name for line in answer.money.lines}
    for route in answer.routes:
        said |= {part.name.rpartition(": ")[2] for part in route.parts}
        said |= {where.name for where in (*route.carbon, *route.nitrogen)}
    assert said - known == set()


def test_every_row_that_may_be_cited_has_its_spanish():
    wanted = {
        key for prefix in ("impact", "impact_waste", "impact_claims") for key in book().ids(prefix)
    }
    assert {*wanted, *FURTHER} - set(spanish_sources()) == set()
    assert set(spanish_sources()) <= set(book().rows)
    for row in spanish_sources().values():
        assert row["name"]


def test_sources_of_an_answer_are_all_in_spanish(answer):
    assert {source.id for source in answer.sources} <= set(spanish_sources())


def test_us_readers_get_pounds_and_spanish_ones_a_comma(answer):
    us, spanish = account(answer, Speech("en", "us")), account(answer, Speech("es"))
    assert us.kept.endswith(" lb")
    assert "lb CO2e" in us.ways.unit
    assert any("," in row.figure for row in spanish.ways.rows)
    assert not any(re.search(r"\d\.\d", f) for row in spanish.garden.rows for f in row.figures)
