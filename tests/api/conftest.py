"""A furnished place, and programs that hold tokens of its coordinator."""

import os
import sys
from pathlib import Path

import passing

os.environ.setdefault("SOURLOAM_DATA", passing.folder("data"))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "sourloam.logbook.settings")
sys.path.insert(0, str(Path(__file__).parents[1] / "web"))

import pytest
from house_of_tests import *  # noqa: F403
from program import Program


@pytest.fixture(autouse=True)
def unhurried(monkeypatch):
    """Every test begins with nobody having asked."""
    from sourloam.api import caller, pacing

    for name, most in (("of_tokens", pacing.ASKS), ("of_strangers", pacing.WRONG_ASKS)):
        monkeypatch.setattr(caller, name, pacing.Pace(most))


@pytest.fixture
def program(home):
    """``program(scope)`` holds a fresh token of the coordinator, or of ``who``."""

    def make(scope="log", who="coordinator", everywhere=False, name="Shed thermometer"):
        from sourloam.logbook import tokens

        person = home.people[who]
        return Program(home.id, tokens.make(person, home.id, name, scope, everywhere))

    return make
