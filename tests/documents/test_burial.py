"""The burial sheet, and its drawings to scale."""

import re
import xml.etree.ElementTree as ElementTree

import pytest
from gardens import DAY, bed, burial, garden

from sourloam.documents import Printing, burial_sheet
from sourloam.documents.ground_drawing import bed_from_above, scale_for, trench_across
from sourloam.documents.speech import Speech
from sourloam.garden.contract import TrenchPiece

SVG = "{http://www.w3.org/2000/svg}"


def boxes(drawing, kind):
    """Width and height in mm of each rectangle of a class."""
    found = ElementTree.fromstring(drawing.svg).iter(f"{SVG}rect")
    return [
        (float(rect.get("width")), float(rect.get("height")))
        for rect in found
        if kind in rect.get("class").split()
    ]


@pytest.mark.parametrize(("language", "paper"), [("en", "a4"), ("es", "letter")])
def test_each_burial_has_a_line_to_tick_off(read_back, language, paper):
    pages = read_back(burial_sheet(garden(), Printing(language, paper, day=DAY)))
    text = " ".join(page.text for page in pages)
    said = {
        "en": ["15 February", "19 L pail no. 1 (11 Feb), 80 % of it", "18 March 2027: potato",
               "19 L pail no. 2 (24 May): all of it", "the other 2.5 kg", "Local rules"],
        "es": ["15 de febrero", "19 L pail n.º 1 (11 feb), el 80 %", "18 de marzo de 2027: patata",
               "19 L pail n.º 2 (24 may): todo", "los otros 2,5 kg", "Las normas locales"],
    }[language]  # fmt: skip
    for sentence in said:
        assert sentence.replace(" ", "") in text.replace(" ", ""), sentence
    assert "2.2 m".replace(".", "," if language == "es" else ".") in text
    assert [page.outside() for page in pages] == [[]] * len(pages)


def test_the_trench_is_drawn_to_the_scale_that_it_names():
    drawn = trench_across(burial(), Speech())
    assert drawn.scale == 10
    ((wide, deep),) = boxes(drawn, "d-mixed")
    assert wide == pytest.approx(300 / 10, abs=0.01)  # 0.30 m
    assert deep == pytest.approx(100 / 10, abs=0.01)  # 0.30 m deep less 0.20 m of soil
    assert "1:10" in drawn.alt


def test_the_bed_is_drawn_to_the_scale_that_it_names():
    drawn = bed_from_above(bed("Wall bed"), [(3, burial())], Speech())
    assert boxes(drawn, "d-earth") == [pytest.approx((5000 / drawn.scale, 1200 / drawn.scale))]
    assert boxes(drawn, "d-mixed") == [
        pytest.approx((300 / drawn.scale, 1200 / drawn.scale)),
        pytest.approx((300 / drawn.scale, 1000 / drawn.scale)),
    ]


def test_a_bed_wider_than_long_lies_along_the_paper():
    piece = TrenchPiece(along=0.6, start=0.0, end=11.6)
    drawn = bed_from_above(bed("Hedge", 2.4, 60.0), [(1, burial(pieces=(piece,)))], Speech())
    assert boxes(drawn, "d-earth") == [pytest.approx((60000 / drawn.scale, 2400 / drawn.scale))]
    assert boxes(drawn, "d-mixed") == [pytest.approx((11600 / drawn.scale, 300 / drawn.scale))]


def test_the_paper_shows_the_drawing_at_its_own_size(picture):
    """A ruler laid on the sheet measures the trench: dark earth 30 mm wide at 1:10."""
    dpi = 254  # ten dots a millimetre
    page = picture(burial_sheet(garden(), Printing(day=DAY)), dpi=dpi)
    dark = [
        sum(1 for x in range(page.width // 2, page.width) if 90 < page.getpixel((x, y)) < 125)
        for y in range(300, 900, 5)
    ]
    assert max(dark) == pytest.approx(300, abs=8)


@pytest.mark.parametrize(("length", "number"), [(0.3, 5), (5.0, 50), (40.0, 500)])
def test_a_usual_scale_is_the_largest_that_fits(length, number):
    assert scale_for(length, 100) == number


def test_without_a_burial_the_sheet_says_so(read_back):
    (page,) = read_back(burial_sheet(garden(burials=()), Printing(day=DAY)))
    assert "No bed can take ferment in this time." in page.text


def test_a_trench_between_rows_names_them(read_back):
    rows = burial(plant_from=None, among_rows=True, next_crop="apple")
    (page,) = read_back(burial_sheet(garden([rows]), Printing(day=DAY)))
    assert re.search(r"between rows:\s+apple", page.text)


def test_a_long_table_goes_on_with_its_heading(read_back):
    many = [burial(f"19 L pail no. {n} (11 Feb)") for n in range(60)]
    pages = read_back(burial_sheet(garden(many), Printing(day=DAY)))
    with_lines = [page for page in pages if "15 February" in page.text]
    assert len(with_lines) > 1
    assert all("Plant from" in page.text for page in with_lines)
