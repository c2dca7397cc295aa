"""The order of the rooms in CONTRIBUTING is that of the import contract, and names every room."""

import re
import tomllib
from pathlib import Path

TOP = Path(__file__).parents[2]


def test_the_order_of_the_rooms_is_told_as_it_is_held():
    settings = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))
    contract = next(
        one for one in settings["tool"]["importlinter"]["contracts"] if one["type"] == "layers"
    )
    held = [re.findall(r"sourloam\.(\w+)", layer) for layer in contract["layers"]]
    page = (TOP / "CONTRIBUTING.md").read_text(encoding="utf-8")
    line = page[page.index("point down only:") :].split(". `make lint`")[0]
    told = [re.findall(r"`(\w+)`", part) for part in line.split(">")]
    assert [set(layer) for layer in told] == [set(layer) for layer in held]
    rooms = {file.parent.name for file in (TOP / "src/sourloam").glob("*/__init__.py")}
    assert {room for layer in told for room in layer} == rooms
