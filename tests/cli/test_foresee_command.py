"""`sourloam foresee` and `demo-programme`: what they refuse, in one line."""

import signal
import time

import pytest
from spoken import sourloam

from sourloam.cli import progress
from sourloam.logbook import foreseeing_all, serving


def test_a_folder_that_is_not_there_is_named(tmp_path):
    done = sourloam("foresee", "--data", tmp_path / "none")
    assert done.returncode == 2
    assert "is not there" in done.stderr
    assert done.stderr.count("\n") == 1


def test_the_demo_goes_into_a_new_folder_only(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    done = sourloam("demo-programme", "--data", tmp_path)
    assert done.returncode == 2
    assert "is not empty" in done.stderr


@pytest.mark.parametrize("arguments", [("--processes", "0"), ("--processes", "many")])
def test_a_number_that_can_not_be_is_refused(tmp_path, arguments):
    assert sourloam("foresee", "--data", tmp_path, *arguments).returncode == 2


@pytest.mark.parametrize(("number", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143)])
def test_broken_off_it_tells_how_many_places_are_kept(tmp_path, monkeypatch, number, code):
    def foresee_all(_processes, report, _everything, _workers, _members, done):
        report("starting, 0 of 3 places", 0.0)
        done.places, done.troubles = 3, {"home": "no memory"}
        signal.raise_signal(number)

    monkeypatch.setattr(serving, "prepare", lambda folder, static: None)
    monkeypatch.setattr(foreseeing_all, "foresee_all", foresee_all)
    done = sourloam("foresee", "--data", tmp_path)
    assert done.returncode == code
    assert "starting, 0 of 3 places" in done.stderr
    assert done.stderr.endswith("interrupted; 2 places kept; run it again to go on\n")


def test_long_work_speaks_also_while_nothing_comes(capsys, monkeypatch):
    monkeypatch.setattr(progress, "_BEAT_S", 0.01)
    with progress.progress("starting", steady=True):
        time.sleep(0.1)
    assert capsys.readouterr().err.count("sourloam: starting, 0% done") > 2
