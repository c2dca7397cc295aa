"""A place with its people, its vessels and some days of log."""

import os

import passing

os.environ.setdefault("SOURLOAM_DATA", passing.folder("data"))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sourloam.logbook.settings")

from house_of_tests import *  # noqa: F403
