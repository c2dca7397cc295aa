"""A data folder as a server fills one, made once for all tests and all processes of a run."""

import fcntl
import os
import subprocess
import sys
from pathlib import Path

import pytest

_MAKER = Path(__file__).with_name("kept_folder.py")


@pytest.fixture(scope="session")
def kept(tmp_path_factory):
    """Its path; only to be read."""
    base = tmp_path_factory.getbasetemp()
    shared = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    made, half = shared / "kept", shared / "kept-half"
    with open(shared / "kept.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            here = {k: v for k, v in os.environ.items() if k != "DJANGO_SETTINGS_MODULE"}
            subprocess.run([sys.executable, _MAKER, half], env=here, check=True, timeout=120)
            half.rename(made)
    return made
