"""A data folder that an earlier version wrote opens in this one, and says the same."""

import json
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from plain_states import covers

from sourloam import __version__

HERE = Path(__file__).parent
VERSIONS = sorted(HERE.glob("*/folder.zip"))


def opened(folder):
    script = HERE / "plain_states.py"
    done = subprocess.run(
        [sys.executable, str(script), str(folder)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


@pytest.mark.parametrize("kept", VERSIONS, ids=lambda path: path.parent.name)
def test_a_folder_of_an_earlier_version_opens_and_says_the_same(kept, tmp_path):
    with zipfile.ZipFile(kept) as packed:
        packed.extractall(tmp_path / "data")
    before = json.loads(kept.with_name("states.json").read_text(encoding="utf-8"))
    now = opened(tmp_path / "data")
    assert now["faults"] == []
    assert covers(before, now) == []
    assert sum(len(place) for place in before["places"].values()) > 0


def test_this_version_is_kept_too():
    """Else nobody could know later whether its folders still open."""
    assert __version__ in [path.parent.name for path in VERSIONS]


def test_a_state_that_says_something_else_is_found():
    kept = {"a": [1, {"b": "x"}], "c": 2}
    assert covers(kept, kept | {"new": 1}) == []
    assert covers(kept, {"a": [1, {"b": "y"}], "c": 2}) == ["state.a[1].b: 'x' became 'y'"]
    assert covers(kept, {"a": [1], "c": 2}) != []
    assert covers(kept, {"a": [1, {"b": "x"}]}) == ["state.c: gone"]
