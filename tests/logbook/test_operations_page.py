"""The page on running the logbook tells what the program really takes."""

import re
from pathlib import Path

import sourloam.logbook
from sourloam.cli import serve

PAGE = (Path(__file__).parents[2] / "docs" / "operations.md").read_text(encoding="utf-8")
FOR_ITSELF = {"SOURLOAM_STATIC"}  # set by the server, for its own settings


def test_every_variable_of_the_environment_is_told():
    folder = Path(sourloam.logbook.__file__).parent
    code = "".join(path.read_text(encoding="utf-8") for path in folder.glob("*.py"))
    used = set(re.findall(r"SOURLOAM_[A-Z]+", code)) - FOR_ITSELF
    assert used == set(re.findall(r"SOURLOAM_[A-Z]+", PAGE))


def test_every_option_of_serve_is_told():
    code = Path(serve.__file__).read_text(encoding="utf-8")
    names = re.findall(r"^    (\w+): Annotated", code, re.MULTILINE)
    assert names == ["data", "host", "port", "demo"]
    assert all(f"--{name}" in PAGE for name in names)
