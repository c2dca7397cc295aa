"""What a place achieved, on its page and as a file."""

import pytest
from django.urls import reverse

from sourloam.logbook import achieving
from sourloam.logbook.models import Achieved

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def few(monkeypatch):
    """Few possible worlds: what is told here does not hang on their number."""
    monkeypatch.setattr(achieving, "MEMBERS", 20)


@pytest.fixture
def page(home, as_):
    def get(query="", who="reader", path="achieved"):
        return as_(who).get(f"/p/{home.id}/{path}{query}")

    return get


def test_first_it_is_being_reckoned_then_every_figure_answers_says_who(page, settings):
    first = page()
    assert first.status_code == 200
    assert b"being reckoned" in first.content
    assert b"data-again" in first.content
    assert achieving.reckon_next()
    assert not achieving.reckon_next()
    text = page().content.decode()
    assert "data-again" not in text
    assert "scraps kept from the bin" in text
    assert "not supported" in text
    assert text.count("Says who?") > 20
    assert text.count('data-word="Potassium"') == 4  # a phone shows each figure under its word
    assert "from memory, unverified" in text


def test_each_part_has_its_picture_then_a_sentence_then_its_range_then_how(page):
    page()
    while achieving.reckon_next():
        pass
    text = page().content.decode()
    for title, said in (
        ("For the garden", "of nitrogen reach the garden"),
        ("In the soil", "of its carbon are still in the soil"),
        ("What moves the saving against the landfill", "One input moves it most"),
    ):
        part = text[text.index(title) :].partition("</section>")[0]
        places = [part.index("<svg"), part.index(said), part.index("<details")]
        assert places == sorted(places), title
        if "moves" not in title:
            assert places[1] < part.index("Range: ") < places[2]


def test_the_report_is_a_pdf_once_it_is_reckoned_and_leads_back_before(page):
    assert page(path="achieved.pdf").status_code == 302
    achieving.reckon_next()
    made = page("?paper=letter", path="achieved.pdf")
    assert made["Content-Type"] == "application/pdf"
    assert made.content.startswith(b"%PDF")


def test_a_new_entry_has_it_reckoned_anew_and_shows_the_old_answer_meanwhile(page, home):
    page()
    achieving.reckon_next()
    before = Achieved.objects.get().answer["kept"]["scraps"]["median"]
    home.write("fed", {"vessel": "blue", "amount": {"mass_kg": 8.0}})
    text = page().content.decode()
    assert "being reckoned anew" in text
    assert "not supported" in text
    achieving.reckon_next()
    after = Achieved.objects.get().answer["kept"]["scraps"]["median"]
    assert after == pytest.approx(before + 8, abs=1.5)


def test_ones_own_prices_and_bin_make_another_answer_and_its_account(page):
    query = "?currency=ducats&bin_per_tonne=100,5&wells=wells&time=year"
    page(query)
    achieving.reckon_next()
    text = page(query).content.decode()
    assert "bin, by weight" in text
    assert "ducats" in text
    kept = Achieved.objects.get()
    assert kept.question["local"]["prices"]["bin_per_tonne"] == 100.5
    assert kept.question["local"]["bin"]["wells"] == "wells"


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("?bin_per_tonne=much", "write a number from 0 up"),
        ("?bin_per_tonne=-4", "write a number from 0 up"),
        ("?time=own&first=yesterday", "A day is written like"),
        ("?time=own&first=2026-03-01&last=2026-02-01", "The first day comes after the last"),
        ("?years=50", "not one of those offered"),
        ("?years=soon", "not one of those offered"),
        ("?to=moon", "not one of those offered"),
        ("?report=%00", "not one of those offered"),
    ],
)
def test_what_can_not_be_asked_is_told_in_one_line(page, query, said):
    answer = page(query)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not Achieved.objects.exists()


def test_a_time_without_layers_says_so(page):
    query = "?time=own&first=2001-01-01&last=2001-12-31"
    page(query)
    achieving.reckon_next()
    assert "no layer in that time" in page(query).content.decode()


def test_in_spanish_nothing_english_is_left_of_it(page, as_):
    as_("reader").post(reverse("web:settings"), {"units": "metric", "language": "es"})
    page()
    achieving.reckon_next()
    text = page().content.decode()
    for word in (
        "¿Quién lo dice?",
        "no se sostiene",
        "restos que no fueron a la basura",
        "vertedero",
    ):
        assert word in text
    for word in ("Says who", "not supported", "landfill<", "from memory, unverified"):
        assert word not in text


def test_strangers_find_no_such_page(page):
    assert page(who="stranger").status_code == 404
    assert page(who="stranger", path="achieved.pdf").status_code == 404


def test_it_asks_the_store_little(home, as_, django_assert_max_num_queries):
    client, address = as_("reader"), f"/p/{home.id}/achieved"
    client.get(address)
    achieving.reckon_next()
    client.get(address)
    with django_assert_max_num_queries(12):
        client.get(address)


def test_only_a_few_answers_of_a_place_are_kept(home):
    for year in range(2000, 2020):
        achieving.ask(home.id, 1, achieving.Question(first=f"{year}-01-01", last=f"{year}-12-31"))
    assert Achieved.objects.count() == 12
