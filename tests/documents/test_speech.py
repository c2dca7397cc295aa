"""What sheets say, in both languages."""

import ast
import datetime as dt
import string
from pathlib import Path

import pytest

from sourloam.documents import speech
from sourloam.documents.registers import sentences
from sourloam.documents.speech import Speech, spanish
from sourloam.numerics import Range

ROOM = Path(speech.__file__).parent


def written():
    """Every sentence that the room's code says."""
    found = set(sentences())
    for path in ROOM.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
                many = {"say": 1, "many": 2}.get(node.func.attr, 0)
                texts = [a.value for a in node.args[:many] if isinstance(a, ast.Constant)]
                found |= {text for text in texts if isinstance(text, str)}
                found |= {
                    end.value
                    for a in node.args[:many]
                    if isinstance(a, ast.IfExp)
                    for end in (a.body, a.orelse)
                    if isinstance(end, ast.Constant)
                }
    return found


def holes(text):
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def test_every_sentence_is_in_spanish_and_none_is_left_over():
    assert written() - set(spanish()) == set()
    assert set(spanish()) - written() == set()


@pytest.mark.parametrize("english", sorted(spanish()))
def test_a_translation_keeps_the_values(english):
    assert holes(spanish()[english]) == holes(english)


def test_figures_are_those_of_the_reader():
    quantity = Range(median=1.58, low=1.23, high=2.02, unit="m")
    assert Speech("en").ends(quantity) == "1.2 to 2 m"
    assert Speech("es").ends(quantity) == "1,2 a 2 m"
    assert Speech("en", "us").figure(1.58, "m") == "5.2 ft"


def test_dates_read_as_people_say_them():
    day = dt.date(2026, 4, 1)
    assert Speech("en").day(day) == "1 April"
    assert Speech("es").day(day, year=True) == "1 de abril de 2026"


@pytest.mark.parametrize(
    ("number", "said"), [(0.5, "½ spoon"), (1, "1 spoon"), (3.28, "3½ spoons"), (4.1, "4 spoons")]
)
def test_spoons_are_counted_to_the_half(number, said):
    assert Speech("en").many("{n} spoon", "{n} spoons", number) == said


def test_spoons_are_counted_in_halves_only_as_long_as_anybody_would():
    speech = Speech()
    assert [speech.count(n) for n in (0.4, 2.5, 9.5, 12.4, 125.5)] == ["½", "2½", "9½", "12", "126"]
