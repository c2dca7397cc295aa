"""Each command that stands in a document is one that can be given."""

import re
import shlex
from pathlib import Path

import pytest
import typer

from sourloam.cli.app import app

TOP = Path(__file__).parents[2]
FILES = [*(TOP / name for name in ("README.md", "CONTRIBUTING.md")), *(TOP / "docs").glob("*.md")]
ROOT = typer.main.get_command(app)


def code(text):
    """Lines of blocks, and the code within sentences."""
    plain = re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL)
    fences = re.findall(r"^```[^\n]*\n(.*?)^```", plain, re.DOTALL | re.MULTILINE)
    rest = re.sub(r"^```.*?^```", "", plain, flags=re.DOTALL | re.MULTILINE)
    lines = [line.strip() for block in fences for line in block.splitlines()]
    lines += [line.strip() for line in rest.splitlines() if line.startswith("    ")]
    return lines + [" ".join(found.split()) for found in re.findall(r"`([^`]+)`", rest)]


def given(start):
    """(document, what stands there) for each piece of code that begins so."""
    return [
        (file.name, line)
        for file in FILES
        for line in code(file.read_text(encoding="utf-8"))
        if re.match(start, line)
    ]


def fault(words):
    """What is wrong with a command's verb, options or values, or an empty text."""
    verb, *rest = [word for word in words if word not in ("…", "...")]
    if verb not in ROOT.commands:
        return f"No such command: {verb}"
    try:
        ROOT.commands[verb].make_context(verb, rest)
    except typer.BadParameter.__base__ as error:
        said = error.format_message()
        cut_short = said.startswith("Missing ") or said.endswith("requires an argument.")
        return "" if cut_short else said
    return ""


def test_each_sourloam_command_is_known_with_its_options():
    found = given(r"(\.venv/bin/)?sourloam [a-z-]")
    assert len(found) > 60
    wrong = []
    for name, line in found:
        words = shlex.split(re.split(r" [>|] ", line)[0], comments=True)
        if why := fault(words[1:]):
            wrong.append(f"{name}: {line}: {why}")
    assert wrong == []


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("plant mine.toml", "No such command"),
        ("plan x --colour y", "No such option"),
        ("print x --what wall", "Invalid value"),
    ],
)
def test_a_command_that_is_not_ours_is_seen(line, why):
    assert why in fault(line.split())


def test_each_make_target_and_script_is_there():
    rules = re.findall(r"^([a-z-]+):", (TOP / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)
    lost = [
        (name, line) for name, line in given(r"make [a-z-]+($| )") if line.split()[1] not in rules
    ]
    for name, line in given(r"(\.venv/bin/)?(python3?|pytest) [a-z]"):
        paths = [word for word in line.split() if re.fullmatch(r"[a-z_]+/[\w/.]+", word)]
        lost += [(name, line) for path in paths if not (TOP / path).exists()]
    assert lost == []
