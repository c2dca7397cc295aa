"""The pages need their settings before anything of theirs is imported."""

import os
import sys
from pathlib import Path

import passing

os.environ.setdefault("SOURLOAM_DATA", passing.folder("data"))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sourloam.logbook.settings")
sys.path.insert(0, str(Path(__file__).parents[1] / "web"))
sys.path.insert(0, str(Path(__file__).parents[1] / "logbook"))

from house_of_tests import *  # noqa: F403
