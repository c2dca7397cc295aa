"""The card on the wall beside a vessel."""

import datetime as dt
from itertools import product

import pytest
import segno

from sourloam.documents import DocumentError, Printing, vessel_cards
from sourloam.documents.typesetting import typeset, typeset_with_warnings

DAY = dt.date(2026, 3, 1)


def printing(language="en", paper="a4", **more):
    return Printing(language, paper, day=DAY, **more)


@pytest.fixture(scope="module")
def shapes(home):
    return home.to_vessels()


@pytest.mark.parametrize(("language", "paper"), list(product(["en", "es"], ["a4", "letter"])))
def test_each_owned_vessel_has_one_side_with_nothing_clipped(
    plan, shapes, read_back, language, paper
):
    pages = read_back(vessel_cards(plan, shapes, printing(language, paper)))
    assert len(pages) == plan.site.vessels[0].owned == 2
    assert [round(p.width) for p in pages] == [{"a4": 595, "letter": 612}[paper]] * 2
    for page in pages:
        assert page.outside() == []
        assert "pH" in page.text  # the blanks are there
    last = {"en": "Local rules come first.", "es": "Las normas locales van primero."}[language]
    assert all(last in page.text for page in pages)


def test_the_figures_are_those_of_this_kitchen(plan, shapes, read_back):
    text = read_back(vessel_cards(plan, shapes, printing()))[0].text
    layer = plan.bran.per_layer[0]
    assert f"· {layer.mass.median:.2g} g" in text
    assert f"every {plan.liquid.drain_every_days} days" in text
    longest = max(season.days.high for season in plan.finish.by_season)
    assert f"closed, for {longest:.0f} days" in text
    for season in plan.fill[0].by_season:
        assert f"{season.days.low:.0f}–{season.days.high:.0f}" in text


def test_a_school_weighs_its_bran(plan, shapes, read_back):
    layer = plan.bran.per_layer[0]
    much = layer.model_copy(update={"spoons": layer.spoons.model_copy(update={"median": 22.0})})
    bran = plan.bran.model_copy(update={"per_layer": (much,)})
    cards = vessel_cards(plan.model_copy(update={"bran": bran}), shapes, printing())
    text = read_back(cards)[0].text
    assert "About 22 level tablespoons of 15 mL." in text
    assert "22 spoons" not in text


def test_a_vessel_of_a_logbook_has_its_own_name_and_code(plan, shapes, read_back, monkeypatch):
    from sourloam.documents import OnShelf, card

    said = []
    monkeypatch.setattr(
        card, "qr_svg", lambda text: said.append(text) or segno.make("x").svg_inline()
    )
    shelf = [OnShelf("The blue one", plan.vessels.chosen, "k7x2")]
    (page,) = read_back(vessel_cards(plan, shapes, printing(address="http://shed.example"), shelf))
    assert "The blue one" in page.text
    assert said == ["http://shed.example/v/k7x2"]


def test_whom_to_ask_stands_on_it(plan, shapes, read_back):
    asked = printing(call=("The coordinator, kitchen door", "before 16 h"))
    text = read_back(vessel_cards(plan, shapes, asked))[0].text
    assert "Ask The coordinator, kitchen door before 16 h" in text.replace("  ", " ")


def test_the_code_leads_where_the_place_is_served(plan, shapes, picture):
    served = printing(address="http://shed.local:8000/v/")
    seen = picture(vessel_cards(plan, shapes, served))
    assert modules(seen) == bits("http://shed.local:8000/v/19-l-pail-no-1")


def test_without_an_address_the_code_names_the_vessel(plan, shapes, picture):
    seen = picture(vessel_cards(plan, shapes, printing()), page=2)
    assert modules(seen) == bits(f"19 L pail no. 2\n{plan.site.name}")


def bits(text):
    return [[bool(b) for b in row] for row in segno.make(text, error="m", micro=False).matrix]


def modules(page):
    """The QR code at the top right of a page, module by module, as a camera would sample it."""
    width, height = page.size
    corner = page.crop((int(width * 0.8), 0, width, int(height * 0.115)))
    dark = corner.point(lambda level: 255 if level < 128 else 0)
    code = dark.crop(dark.getbbox())
    run = next(x for x in range(code.width) if code.getpixel((x, 2)) == 0)  # a finder's 7 modules
    size = round(code.width * 7 / run)
    step = code.width / size
    return [
        [code.getpixel((int((x + 0.5) * step), int((y + 0.5) * step))) > 0 for x in range(size)]
        for y in range(size)
    ]


def test_the_same_card_is_the_same_file(plan, shapes):
    assert vessel_cards(plan, shapes, printing()) == vessel_cards(plan, shapes, printing())


def test_names_are_text_and_never_commands(plan, shapes, read_back):
    name = "#panic() *[$x$ <b>&"
    site = plan.site.model_copy(update={"name": name})
    text = read_back(vessel_cards(plan.model_copy(update={"site": site}), shapes, printing()))
    assert name.replace(" ", "") in text[0].text.replace(" ", "")


def test_letters_that_the_type_lacks_are_refused_in_one_line(plan, shapes):
    site = plan.site.model_copy(update={"name": "台所"})
    with pytest.raises(DocumentError, match=r"no letters for .*; write it in Latin"):
        vessel_cards(plan.model_copy(update={"site": site}), shapes, printing())


def test_the_typesetter_warns_of_nothing(plan, shapes, monkeypatch):
    said = []

    def listening(sheet, data, wish):
        pdf, warnings = typeset_with_warnings(sheet, data, wish)
        said.extend(warnings)
        return pdf

    monkeypatch.setattr("sourloam.documents.card.typeset", listening)
    vessel_cards(plan, shapes, printing())
    assert said == []
    assert typeset is not listening


def test_a_file_for_keeping_and_for_reading_aloud(plan, shapes):
    pdf = vessel_cards(plan, shapes, printing())
    assert b"pdfaid:part" in pdf
    assert b"pdfuaid:part" in pdf
