"""The feeding table."""

import pytest
from gardens import DAY, feeding, garden

from sourloam.documents import DocumentError, Printing, feeding_table


@pytest.mark.parametrize(("language", "paper"), [("en", "a4"), ("es", "letter")])
def test_each_bed_and_month_has_its_liquid_and_water(read_back, language, paper):
    sheet = feeding_table(garden(fed=feeding()), Printing(language, paper, day=DAY))
    (page,) = read_back(sheet)
    said = {
        "en": ["April 2026", "45 mL", "14 L", "lettuce", "2; stop on 11 May", "2.3 L"],
        "es": ["abril de 2026", "45 mL", "14 L", "lechuga", "2; para el 11 de mayo", "2,3 L"],
    }[language]
    for words in said:
        assert words in page.text
    assert page.outside() == []


def test_thinning_keeps_the_careful_figure_and_says_where_none_is_enough(read_back):
    (page,) = read_back(feeding_table(garden(fed=feeding()), Printing(day=DAY)))
    assert "300" in page.text
    assert "500" in page.text
    assert "none" in page.text
    assert "358" not in page.text


def test_us_readers_get_their_units(read_back):
    (page,) = read_back(feeding_table(garden(fed=feeding()), Printing("en", "letter", "us", DAY)))
    assert "1.5 US fl oz" in page.text
    assert " mL" not in page.text


def test_a_place_without_liquid_gets_no_table():
    with pytest.raises(DocumentError, match="no liquid drains"):
        feeding_table(garden(), Printing(day=DAY))
