"""One folder for all that tests write beside their own; it goes when they end."""

import shutil
import tempfile
from pathlib import Path

FOLDER = Path(tempfile.mkdtemp(prefix="sourloam-tests-"))


def folder(name):
    made = FOLDER / name
    made.mkdir(exist_ok=True)
    return str(made)


def forget():
    shutil.rmtree(FOLDER, ignore_errors=True)
