"""Find: a question, a crop or a name leads to its page."""

import re

import pytest
from django.urls import reverse
from django.utils import translation

from sourloam.web.finding.matching import matching
from sourloam.web.finding.questions import QUESTIONS
from sourloam.web.finding.signs import WORDS


def found(client, home, asked):
    return client.get(reverse("web:find"), {"q": asked, "at": home.id}).content.decode()


@pytest.mark.parametrize(
    ("asked", "leads_to"),
    [
        ("holiday", "/away"),
        ("lettuce", "/sow?crop=lettuce"),
        ("council", "/achieved"),
        ("smell", "/v/blue/rescue"),
        ("phone", "/settings#new-phone"),
        ("school", "/new?kind=school"),
        ("bran strength", "/lots"),
        ("bury", "/beds"),
        ("BLUE", "/v/blue"),
        ("wall b", "/beds#bed-wall"),
    ],
)
def test_a_word_leads_to_its_page(home, as_, asked, leads_to):
    main = found(as_("keeper"), home, asked).partition("<main")[2]
    assert any(url.endswith(leads_to) for url in re.findall(r'href="([^"]+)"', main))


@pytest.mark.parametrize("asked", ["lechuga", "vacaciones", "ayuntamiento", "huele", "teléfono"])
def test_spanish_words_lead_there_too(home, as_, asked):
    client = as_("keeper")
    client.cookies["django_language"] = "es"
    page = found(client, home, asked)
    assert 'class="log found"' in page
    assert "“" not in page.partition("<h1>")[2].partition("</h1>")[0]


def test_lettuce_is_answered_in_the_list(home, as_):
    assert re.search(
        r"Lettuce: (sow from|you may sow now)", found(as_("reader"), home, "letuce"[:3])
    )


def test_what_is_not_known_is_said_and_all_questions_stay(home, as_):
    text = found(as_("reader"), home, "xylophone")
    assert "Nothing here is called “xylophone”" in text
    assert all(str(q.title) in text.replace("&#x27;", "'") for q in QUESTIONS if not q.typed)


def test_a_stranger_finds_no_place(home, as_):
    answer = as_("stranger").get(reverse("web:find"), {"at": home.id})
    assert answer.status_code == 404
    text = as_("stranger").get(reverse("web:find"), {"q": "blue"}).content.decode()
    assert home.id not in text


def test_each_question_has_a_page_and_is_found_by_each_of_its_words(home):
    for language in ("en", "es"):
        with translation.override(language):
            for question in QUESTIONS:
                assert reverse(
                    f"web:{question.page}", args=[] if question.everywhere else [home.id]
                )
                for word in str(question.words).split():
                    hits = matching(QUESTIONS, word, lambda q: f"{q.title} {q.words}")
                    assert question in hits, (language, word)


def test_many_places_are_searched_without_asking_for_one_first(home, as_, people):
    from sourloam.logbook.people import make_place

    make_place(people["coordinator"], "Hall at the corner", "Europe/Dublin")
    shown = as_("coordinator").get(reverse("web:find")).content.decode()
    assert f'href="/p/{home.id}/v/blue/rescue">Blue pail, Flat at 4 Alder Row</a>' in shown
    assert shown.count("<details><summary") > 8
    assert shown.index("<details>") < shown.index("All of one place")
    one = as_("keeper").get(reverse("web:find")).content.decode()
    assert "<details><summary" not in one, "with one place alone a question leads on at once"


@pytest.mark.parametrize(
    ("asked", "leads_to"),
    [
        ("how deep", "/v/green#log-buried"),
        ("sowing", "/sow"),
        ("vinegar", "/v/blue/rescue?begun=1&amp;seen=vinegar_smell"),
        ("mould", "/v/blue/rescue?begun=1&amp;seen=green_mould"),
        ("maggots", "/v/blue/rescue?begun=1&amp;seen=flies"),
        ("smell", "/v/blue/rescue?begun=1&amp;seen=rotten_smell"),
        ("my pail smells of sewage", "/v/green/rescue?begun=1&amp;seen=rotten_smell"),
        ("pH strip", "/v/green/rescue?begun=1&amp;seen=high_strip"),
        ("pH strip", "/v/blue#log-ph_read"),
        ("bran", "/stores"),
        ("drain", "/v/blue#log-drained"),
        ("full", "/v/blue#log-set_aside"),
        ("ready", "/v/green"),
        ("lemon", "/try"),
        ("meat", "/try?b_meat=30"),
        ("winter", "/beds"),
        ("travel", "/away"),
        ("phone", "/settings#new-phone"),
        ("print", "/week.pdf"),
        ("label", "/labels"),
        ("backup", "/exchange"),
        ("yellow seedlings", "/b/wall/rescue?begun=1&amp;seen=yellow_seedlings"),
    ],
)
def test_a_word_of_a_beginner_leads_to_its_answer(home, as_, asked, leads_to):
    main = found(as_("keeper"), home, asked).partition("<main")[2]
    assert any(url.endswith(leads_to) for url in re.findall(r'href="([^"]+)"', main)), main


@pytest.mark.parametrize(
    ("asked", "leads_to"),
    [
        ("profundidad", "#log-buried"),
        ("siembra", "/sow"),
        ("vinagre", "seen=vinegar_smell"),
        ("moho", "seen=green_mould"),
        ("gusanos", "seen=flies"),
        ("olor", "seen=rotten_smell"),
        ("tira de pH", "seen=high_strip"),
        ("salvado", "/stores"),
        ("drenar", "#log-drained"),
        ("lleno", "#log-set_aside"),
        ("listo", "/v/green"),
        ("limon", "/try"),
        ("carne", "/try?b_meat=30"),
        ("invierno", "/beds"),
        ("viaje", "/away"),
        ("telefono", "/settings#new-phone"),
        ("imprimir", "/week.pdf"),
        ("etiqueta", "/labels"),
        ("copia de seguridad", "/exchange"),
    ],
)
def test_spanish_words_of_a_beginner_need_no_accents(home, as_, asked, leads_to):
    client = as_("keeper")
    client.cookies["django_language"] = "es"
    main = found(client, home, asked).partition("<main")[2]
    assert any(url.endswith(leads_to) for url in re.findall(r'href="([^"]+)"', main)), main


def test_a_sign_told_in_find_is_told_in_the_conversation(home, as_):
    client = as_("keeper")
    url = re.search(r'href="([^"]+seen=flies)"', found(client, home, "maggots"))[1]
    text = client.get(url.replace("&amp;", "&")).content.decode()
    assert '<input type="hidden" name="seen" value="flies">' in text
    assert 'name="seen" value="green_mould"' not in text, "the list of signs is passed over"


def test_every_word_of_a_sign_finds_it(home):
    for language in ("en", "es"):
        with translation.override(language):
            for sign, parts in WORDS.items():
                for word in " ".join(str(part) for part in parts).split():
                    texts = {key: " ".join(map(str, some)) for key, some in WORDS.items()}
                    hits = matching(list(texts), word, texts.__getitem__, strict=True)
                    assert sign in hits, (language, sign, word)


def test_one_sign_lies_open_and_asks_where_of_many_the_list_is_seen(home, as_):
    one = found(as_("keeper"), home, "maggots")
    assert '<details open><summary class="sign">Maggots' in one
    assert "In which vessel?" in one
    many = found(as_("keeper"), home, "smell")
    assert "<details open>" not in many
    assert many.count("<summary") >= 9
