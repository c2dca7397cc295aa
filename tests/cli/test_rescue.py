"""The conversation and the one-line answer of ``sourloam rescue``."""

import io
import json
import os
import re
import signal
import subprocess
import sys
import time

import pytest

from sourloam.cli import main
from sourloam.triage import CAUSES, SIGNS
from sourloam.triage.signs import asked_outright


def run(*arguments):
    with pytest.raises(SystemExit) as caught:
        main(["rescue", *arguments])
    return caught.value.code


def number(sign):
    return str([s.id for s in asked_outright(SIGNS[sign].stage)].index(sign) + 1)


def talk(monkeypatch, capsys, *lines, options=()):
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    assert run(*options) == 0
    return capsys.readouterr()


def test_signs_given_are_answered_at_once(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    assert run("--signs", "leak,lid_loose", "--absent", "opened_often") == 0
    out = capsys.readouterr().out
    assert "The vessel is damaged" in out
    assert "our judgement" in out
    assert "Look again in 1 day." in out
    assert max(map(len, out.splitlines())) <= 80


def test_the_answer_as_json_holds_every_cause_and_the_next_question(capsys):
    assert run("--signs", "rotten_smell", "--json") == 0
    data = json.loads(capsys.readouterr().out)
    assert data["cause"] is None
    vessel = {c.id for c in CAUSES.values() if c.stage == "vessel"}
    assert {one["cause"] for one in data["likely"]} == vessel
    assert data["question"]["options"][0] in SIGNS


def test_a_sign_of_the_ground_needs_no_further_option(capsys):
    assert run("--signs", "soil_smells,batch_was_bad", "--json") == 0
    assert json.loads(capsys.readouterr().out)["stage"] == "ground"


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (["--signs", "roten_smell"], "nearest is rotten_smell"),
        (["--signs", "leak", "--absent", "leak"], "say one of the two"),
        (["--signs", "leak,earth_smell"], "ask about one at a time"),
        (["--ground", "--setting", "nobody"], "nobody"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(capsys, arguments, line):
    assert run(*arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert line in err
    assert err.count("\n") == 1


def test_the_list_names_every_sign_of_its_stage(capsys):
    assert run("--list") == 0
    out = capsys.readouterr().out
    assert all(s.id in out for s in SIGNS.values() if s.stage == "vessel")
    assert run("--list", "--ground") == 0
    out = capsys.readouterr().out
    assert all(s.id in out for s in SIGNS.values() if s.stage == "ground")


def test_a_conversation_asks_until_it_is_sure(monkeypatch, capsys):
    first = number("green_mould")
    said = talk(monkeypatch, capsys, first, *["0", "y"] * 12).out
    assert "Which of these" in said
    assert "[y/n" in said
    assert "Air gets in" in said


def test_a_slip_is_asked_again_and_not_lost(monkeypatch, capsys):
    said = talk(monkeypatch, capsys, "99", "x", number("rotten_smell"), "perhaps", "q").out
    assert "99: choose numbers" in said
    assert re.search("perhaps: answer (y, n|numbers from 0 to [0-9]+), q or Enter", said)


def test_the_end_of_the_input_ends_the_conversation_with_an_answer(monkeypatch, capsys):
    said = talk(monkeypatch, capsys, number("rotten_smell")).out
    assert "Not sure yet" in said
    assert talk(monkeypatch, capsys).out.count("Tell me what you see or smell") == 1


def test_a_bulging_lid_stops_before_the_next_question(monkeypatch, capsys):
    said = talk(monkeypatch, capsys, number("lid_bulges"), "q").out
    assert said.index("Stop: gas presses") < said.index("[")


def test_a_conversation_for_json_leaves_standard_output_to_json(monkeypatch, capsys):
    said = talk(monkeypatch, capsys, number("sour_smell"), "q", options=["--json"])
    assert json.loads(said.out)["signs"] == ["sour_smell"]
    assert "What is there?" in said.err


def test_an_interrupted_conversation_ends_in_one_line():
    command = [sys.executable, "-c", "from sourloam.cli import main; main(['rescue'])"]
    process = subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    seen = b""
    while b"What is there?" not in seen:
        piece = os.read(process.stdout.fileno(), 4096)
        assert piece
        seen += piece
    time.sleep(0.1)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=30)
    assert process.returncode == 130
    assert err.decode().count("\n") == 1
    assert "interrupted" in err.decode()
