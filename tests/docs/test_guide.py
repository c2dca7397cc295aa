"""The guide says what the screen says."""

import re
from pathlib import Path

from tools.translations import CATALOG, read

GUIDE = Path(__file__).parents[2] / "docs" / "guide.md"


def said_on_screen():
    """Each text of the pages as a pattern: what a value fills in may be anything."""
    texts = {text for pair in read(CATALOG) for text in pair if text}
    return [
        re.compile(r".+".join(map(re.escape, re.split(r"%\(\w+\)(?:s|d|\.\d+f)|\{\w+\}", text))))
        for text in texts
    ]


def slanted(text):
    plain = re.sub(r"`[^`]*`|\*\*[^*]*\*\*", "", text)
    return {" ".join(found.split()) for found in re.findall(r"\*([^*]+)\*", plain)}


def test_each_slanted_word_of_the_guide_stands_on_a_page():
    patterns = said_on_screen()
    lost = [
        word
        for word in sorted(slanted(GUIDE.read_text(encoding="utf-8")))
        if not any(pattern.fullmatch(word) for pattern in patterns)
    ]
    assert lost == [], "docs/guide.md: no page says so (any more)"


def test_each_task_says_how_sure_or_what_can_hurt():
    tasks = GUIDE.read_text(encoding="utf-8").split("\n## ")[1:]
    assert len(tasks) > 10
    for task in tasks:
        assert "**You want**" in task, task.splitlines()[0]
        assert "**Care.**" in task or "**How sure.**" in task, task.splitlines()[0]
