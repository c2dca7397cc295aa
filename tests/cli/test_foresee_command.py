"""`sourloam foresee` and `demo-programme`: what they refuse, in one line."""

import pytest
from spoken import sourloam


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
