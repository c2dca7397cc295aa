"""The sheet of a batch of inoculated bran."""

import datetime as dt

import numpy as np
import pytest

from sourloam.bran import Case, Drying, Mixture, Wish, answer, draw, make_batch
from sourloam.bran.steps import Setting
from sourloam.documents import Printing, bran_sheet
from sourloam.documents.bran_words import STEPS
from sourloam.evidence import book

DAY = dt.date(2026, 3, 2)


def batch(shares=None, way="air", inoculum="bought", kg=5.0):
    parameters = draw(book(), 20, np.random.default_rng(1))
    wish = Wish(kg, Mixture(shares or {"wheat_bran": 1.0}), "molasses", inoculum)
    case = Case(wish=wish, room_c=22.0, drying=Drying(way, 22.0, 0.5, 35.0, None), store_c=22.0)
    return answer(make_batch(case, parameters), Setting(DAY), {}, 1)


@pytest.fixture(scope="module")
def made():
    return batch()


@pytest.mark.parametrize(("language", "paper"), [("en", "a4"), ("es", "letter")])
def test_a_batch_is_one_page_to_tick_off(made, read_back, language, paper):
    (page,) = read_back(bran_sheet(made, Printing(language, paper, day=DAY)))
    assert page.outside() == []
    said = {
        "en": ["wheat bran", "molasses", "CONTAINS WHEAT (GLUTEN)", "2 March 2026"],
        "es": ["salvado de trigo", "melaza", "CONTIENE TRIGO (GLUTEN)", "2 de marzo de 2026"],
    }[language]
    for words in said:
        assert words in page.text
    carrier = made.weighed[0].mass.median
    figure = f"{carrier:.2g} kg"
    assert (figure if language == "en" else figure.replace(".", ",")) in page.text


def test_the_sheet_has_a_line_for_each_kind_of_step(made, read_back):
    (page,) = read_back(bran_sheet(made, Printing(day=DAY)))
    for kind in {step.kind for step in made.steps}:
        first = STEPS[kind].partition("{")[0].split(".")[0]
        assert first.replace(" ", "") in page.text.replace(" ", "")
    low, high = made.drying.days.low, made.drying.days.high
    assert f"takes {max(low, 1):.0f} to {high:.0f} days" in page.text


def test_bran_kept_moist_is_not_dried_on_paper_either(read_back):
    (page,) = read_back(bran_sheet(batch(way="none"), Printing(day=DAY)))
    assert "trays" not in page.text
    assert "take out what a week needs" in page.text


def test_a_mix_of_carriers_is_named_in_the_readers_language(read_back):
    mixed = batch({"wheat_bran": 0.7, "rice_husk": 0.3})
    (page,) = read_back(bran_sheet(mixed, Printing("es", day=DAY)))
    assert "cascarilla de arroz" in page.text
    assert "rice husk" not in page.text


def test_best_before_stands_with_its_warmth_and_both_ends(made, read_back):
    (page,) = read_back(bran_sheet(made, Printing(day=DAY)))
    text = " ".join(page.text.split())
    packed = made.ready - dt.timedelta(days=1)
    last = packed + dt.timedelta(days=int(made.good_for.high))
    assert text.count("kept at 22 °C") == 2  # beside the batch and on the bag
    assert f"{last.day} {last:%B %Y}" in text


def test_the_sheet_tells_how_sour_is_done_and_how_strength_is_tested(made, read_back):
    (page,) = read_back(bran_sheet(made, Printing(day=DAY)))
    text = " ".join(page.text.split())
    assert "Slurry pH 4.5 or below: it is done" in text
    assert "2 g in 100 mL of milk at 30 °C must be at pH 4.6" in text


def test_each_carrier_of_a_mix_is_weighed_by_itself(read_back):
    mixed = batch({"wheat_bran": 0.7, "rice_husk": 0.3})
    wheat, husk = mixed.weighed[:2]
    assert (wheat.name, husk.name) == ("wheat bran", "rice husk")
    assert husk.mass.median == pytest.approx(wheat.mass.median * 3 / 7, rel=1e-3)
    assert husk.volume.median > wheat.volume.median * 3 / 7, "husk is the lighter of the two"
    (page,) = read_back(bran_sheet(mixed, Printing(day=DAY)))
    assert f"{husk.mass.median:.2g} kg" in page.text


def test_us_readers_weigh_and_warm_in_their_own_units(made, read_back):
    (page,) = read_back(bran_sheet(made, Printing("en", "letter", "us", day=DAY)))
    text = " ".join(page.text.split())
    assert page.outside() == []
    assert "0.071 oz (2 g) in 3.4 US fl oz (100 mL) of milk at 86 °F" in text
    assert "0.39 to 0.79 in deep" in text


def test_cups_are_told_where_somebody_would_count_them(made, read_back):
    small = bran_sheet(batch(kg=1.0), Printing(day=DAY))
    assert "Level cups" in " ".join(read_back(small)[0].text.split())
    assert "Level cups" not in " ".join(
        read_back(bran_sheet(made, Printing(day=DAY)))[0].text.split()
    )
