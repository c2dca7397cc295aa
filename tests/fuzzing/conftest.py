"""The pages need their settings before anything of theirs is imported."""

import os
import sys
import tempfile
from pathlib import Path

os.environ.setdefault("SOURLOAM_DATA", tempfile.mkdtemp(prefix="sourloam-fuzz-tests-"))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sourloam.logbook.settings")
sys.path.insert(0, str(Path(__file__).parents[1] / "web"))

from house_of_tests import *  # noqa: F403
