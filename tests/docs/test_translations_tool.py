"""A language begins with one command, and is chosen by whoever reads as soon as it has a list."""

import gettext
import io
import sys

import pytest
from tools import translations as tool

from sourloam.logbook.languages import with_lists

WANTED = {("Shelf", ""), ("Beds", ""), ("%(n)d day", "%(n)d days")}


@pytest.fixture
def locale(tmp_path, monkeypatch):
    monkeypatch.setattr(tool, "LOCALE", tmp_path)
    monkeypatch.setattr(tool, "gathered", lambda: WANTED)
    return tmp_path


def run(monkeypatch, *words):
    monkeypatch.setattr(sys, "argv", ["translations.py", *words])
    return tool.main()


def fill(path, **words):
    text = path.read_text(encoding="utf-8")
    for english, other in words.items():
        text = text.replace(f'msgid "{english}"\nmsgstr ""', f'msgid "{english}"\nmsgstr "{other}"')
    path.write_text(text, encoding="utf-8")


def test_a_language_that_was_begun_is_offered_and_falls_back_to_english(locale, monkeypatch):
    assert run(monkeypatch, "fr") == 0
    path = locale / "fr" / "LC_MESSAGES" / "django.po"
    fill(path, Shelf="Étagère")
    assert run(monkeypatch) == 0
    assert run(monkeypatch, "--check") == 0
    assert with_lists(locale) == [("en", "English"), ("fr", "Français")]
    words = gettext.GNUTranslations(io.BytesIO(path.with_suffix(".mo").read_bytes()))
    assert words.gettext("Shelf") == "Étagère"
    assert words.gettext("Beds") == "Beds"


def test_the_rule_of_plurals_that_a_list_states_is_kept_and_asks_for_as_many_forms(
    locale, monkeypatch
):
    run(monkeypatch, "pl")
    path = locale / "pl" / "LC_MESSAGES" / "django.po"
    usual, polish = "nplurals=2; plural=(n != 1)", "nplurals=3; plural=(n==1 ? 0 : n%10<2 ? 1 : 2)"
    path.write_text(path.read_text("utf-8").replace(usual, polish), encoding="utf-8")
    run(monkeypatch)
    text = path.read_text(encoding="utf-8")
    assert polish in text
    assert text.count("msgstr[2]") == 1


def test_a_whole_language_that_lacks_words_is_told_text_by_text(locale, monkeypatch, capsys):
    run(monkeypatch, "es")
    assert run(monkeypatch, "--check") == 1
    assert "no words in es for: Beds" in capsys.readouterr().out


def test_a_list_that_was_not_compiled_is_told_in_one_line(locale, monkeypatch, capsys):
    run(monkeypatch, "fr")
    fill(locale / "fr" / "LC_MESSAGES" / "django.po", Beds="Planches")
    capsys.readouterr()
    assert run(monkeypatch, "--check") == 1
    assert capsys.readouterr().out == "fr: not as gathered; run python tools/translations.py\n"


def test_a_code_of_no_language_is_refused_in_one_line(locale, monkeypatch, capsys):
    assert run(monkeypatch, "klingon") == 1
    assert capsys.readouterr().out.startswith("klingon: no code of a language")
    assert list(locale.iterdir()) == []


def test_a_language_of_a_country_has_its_folder_as_django_looks_for_it(locale, monkeypatch):
    run(monkeypatch, "pt-br")
    assert with_lists(locale)[1] == ("pt-br", "Português Brasileiro")
