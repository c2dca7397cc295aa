"""Every word coined for the screen, the command line and the site file is told in docs/words.md,
under where it comes from."""

import re
from collections import Counter
from pathlib import Path

import pytest
import typer

from sourloam.cli.app import app
from sourloam.ledger import KINDS
from sourloam.report.running import class_words
from sourloam.scraps import CLASSES
from sourloam.site.schema import describe
from sourloam.web import wording
from sourloam.web.bran import lot_words

TOP = Path(__file__).parents[2]
TEMPLATES = TOP / "src" / "sourloam" / "web" / "templates" / "sourloam"
ORIGINS = ("Of the trade", "Of science", "Of open standards", "Ours")
SAID = re.compile(r"""\{% translate (?:"([^"]+)"|'([^']+)') %\}""")


def plain(word):
    return word.strip().strip("*").rstrip(".?…:").casefold()


def words():
    """Each word of the page with the heading under which it stands."""
    page = (TOP / "docs" / "words.md").read_text(encoding="utf-8")
    for section in re.split(r"^## ", page, flags=re.MULTILINE)[1:]:
        heading, _, rest = section.partition("\n")
        for row in re.findall(r"^\| (?!Word)(.+?) \|", rest, re.MULTILINE):
            parts = re.split(r"; ", row) if ";" in row else re.split(r", ", row)
            for part in {*parts, row}:
                yield plain(part), heading.strip()


def of_templates(tags):
    """Texts within such tags of the pages."""
    for file in sorted(TEMPLATES.glob("*.html")):
        text = file.read_text(encoding="utf-8")
        for inside in re.findall(rf"<({tags})\b[^>]*>(.*?)</\1>", text, re.DOTALL):
            yield from (a or b for a, b in SAID.findall(inside[1]))


def short_headings():
    """A heading of three words and more, or with a full stop, is a plain phrase."""
    headings = of_templates("h[1-3]|summary|legend")
    return (text for text in headings if len(text.split()) <= 2 and text[-1] not in ".?…")


def of_commands():
    for name, command in typer.main.get_command(app).commands.items():
        yield f"`sourloam {name}`"
        yield from (
            f"`{option}`" for param in command.params for option in param.opts if "--" in option
        )


def of_site_file():
    return re.findall(r"^(?:### |\| )(`\[+[\w.]+\]+`|`\w+`)", describe(), re.MULTILINE)


COINED = {
    "the way through the pages": lambda: of_templates("nav"),
    "headings": short_headings,
    "states of vessels": lambda: map(str, wording.STAGES.values()),
    "states of lots": lambda: map(str, lot_words.STAGES.values()),
    "steps of sourness": lambda: map(str, wording.SOURNESS.values()),
    "classes of scraps": lambda: map(class_words, CLASSES),
    "kinds of entry": lambda: (kind.label for kind in KINDS.values()),
    "buttons that write down": lambda: map(str, wording.VERBS.values()),
    "roles": lambda: map(str, wording.ROLE_NAMES.values()),
    "commands and options": of_commands,
    "sections and keys of the site file": of_site_file,
}


@pytest.mark.parametrize("sort", COINED)
def test_each_word_stands_in_the_page_of_words(sort):
    coined = set(COINED[sort]())
    assert coined
    told = {word for word, _ in words()}
    missing = sorted(word for word in coined if plain(word) not in told)
    assert not missing, f"docs/words.md lacks, of {sort}: {'; '.join(missing)}"


def test_each_word_stands_once_and_under_an_origin():
    found = Counter({(word, heading) for word, heading in words()})
    assert {heading for _, heading in found} == set(ORIGINS)
    twice = [word for word, n in Counter(word for word, _ in found).items() if n > 1]
    assert twice == []
