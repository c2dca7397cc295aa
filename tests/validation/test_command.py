"""``sourloam validate``, called as the command line calls it."""

import json

import pytest

from sourloam.cli.trouble import Refusal
from sourloam.cli.validate import validate

QUIET = {
    "json": False,
    "charts": None,
    "check": None,
    "write": None,
    "sensitivity": False,
    "failures": False,
    "forecast": False,
    "truths": 20,
    "rescue": False,
    "members": 20,
    "seed": 1,
}
MARKERS = "".join(
    f"<!-- {name} begins: written by `sourloam validate`, do not edit by hand -->\n"
    f"<!-- {name} ends -->\n"
    for name in ("comparison", "inputs", "soil waits")
)


def test_json_is_all_that_is_printed(capsys):
    assert validate(**QUIET | {"json": True}) == 0
    printed = json.loads(capsys.readouterr().out)
    assert {score["role"] for score in printed["scores"]} == {"kept", "chosen with"}


def test_a_stale_document_ends_with_1_and_a_renewed_one_with_0(tmp_path, capsys):
    document = tmp_path / "page.md"
    document.write_text(MARKERS, encoding="utf-8")
    assert validate(**QUIET | {"check": document}) == 1
    assert "run sourloam validate --write" in capsys.readouterr().err
    assert validate(**QUIET | {"write": document}) == 0
    assert validate(**QUIET | {"check": document}) == 0
    assert validate(**QUIET | {"check": document, "seed": 2}) == 1


def test_a_document_without_markers_or_not_there_is_one_line_of_trouble(tmp_path):
    document = tmp_path / "page.md"
    with pytest.raises(Refusal, match="no such file"):
        validate(**QUIET | {"check": document})
    document.write_text("nothing", encoding="utf-8")
    with pytest.raises(Refusal, match="comparison begins"):
        validate(**QUIET | {"write": document})
