"""Three jars of a class."""

import datetime as dt
from itertools import pairwise
from urllib.parse import parse_qsl, urlsplit

import numpy as np
import pytest

from sourloam.documents import Printing, class_kit
from sourloam.documents.class_kit import play_address
from sourloam.documents.experiment import MEASURED, evidence_ids, foresee_jars
from sourloam.evidence import book

DAY = dt.date(2026, 3, 1)
MEMBERS = 30


@pytest.fixture(scope="module")
def outlooks():
    parameters = book().sample(evidence_ids(), MEMBERS, np.random.default_rng(1))
    return foresee_jars(21.0, parameters)


def middles(outlook):
    return [ph.median for ph in outlook.ph]


def test_bran_makes_a_jar_sour_sooner_and_cold_keeps_it_from_souring(outlooks):
    with_bran, without, cold = map(middles, outlooks)
    soon = MEASURED.index(2)
    assert with_bran[soon] < without[soon] - 0.2
    assert with_bran[-1] < 4.2
    assert without[-1] < 4.4  # what lives on plants sours too, later
    assert cold[-1] > 5.0


def test_once_souring_has_begun_the_room_knows_only_down(outlooks):
    for outlook in outlooks[:2]:
        assert all(b <= a + 0.05 for a, b in pairwise(middles(outlook)[2:]))


@pytest.mark.parametrize("address", ["", "http://shed.example:8000/v"])
@pytest.mark.parametrize(("language", "paper"), [("en", "a4"), ("es", "letter"), ("es", "a4")])
def test_the_kit_has_four_pages_with_nothing_clipped(outlooks, read_back, language, paper, address):
    printing = Printing(language, paper, day=DAY, address=address)
    pages = read_back(class_kit(outlooks, MEMBERS, printing))
    assert len(pages) == 4
    assert [page.outside() for page in pages] == [[]] * 4


def test_what_was_foreseen_stands_on_the_last_page_only(outlooks, read_back):
    pages = read_back(class_kit(outlooks, MEMBERS, Printing(day=DAY)))
    for outlook in outlooks:
        end = outlook.ph[-1]
        said = f"{end.low:.1f}–{end.high:.1f}"
        assert said in pages[3].text
        assert not any(said in page.text for page in pages[:3])


def test_a_jar_gets_the_usual_dose(outlooks, read_back):
    """20 g of bran for a kg of scraps: 6 g for 300 g."""
    pages = read_back(class_kit(outlooks, MEMBERS, Printing(day=DAY)))
    assert "stir in 6 g of inoculated bran" in pages[1].text
    assert "Weigh 300 g for each jar" in pages[1].text


def test_codes_to_play_on_stand_on_the_last_page_where_something_is_served(outlooks, read_back):
    served = Printing(day=DAY, address="http://shed.example:8000/v")
    pages = read_back(class_kit(outlooks, MEMBERS, served))
    assert "Jars A and B" in pages[3].text
    assert "Jars A and C" in pages[3].text
    nowhere = read_back(class_kit(outlooks, MEMBERS, Printing(day=DAY)))
    assert "Jars A and B" not in nowhere[3].text
    assert "sourloam serve" in nowhere[3].text


def test_a_code_goes_to_the_server_and_sets_up_its_two_jars(outlooks):
    first, _, cold = (outlook.jar for outlook in outlooks)
    address = urlsplit(play_address("https://shed.example/v", first, cold))
    assert (address.scheme, address.netloc, address.path) == ("https", "shed.example", "/try")
    said = dict(parse_qsl(address.query))
    assert said["body"] == "jar"
    assert (said["a_warmth"], said["b_warmth"]) == ("21", "5")
    assert said["a_bran"] == said["b_bran"] == "20"
