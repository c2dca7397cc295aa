"""One small site, foreseen and worked through once for all tests of the room."""

import pytest

from sourloam.planning.case import foresee
from sourloam.planning.plan import make_plan
from sourloam.planning.work import carry_out
from sourloam.site import loads

HOME = """
[site]
name = "Test flat"
kind = "home"
start = 2026-03-02
[climate]
monthly_means = [4, 5, 7, 9, 12, 15, 17, 17, 15, 11, 7, 5]
unit = "°C"
[room]
kind = "indoors"
temperature = "20 °C"
[[scraps]]
from = "people"
people = 3
capture = 0.7
mix = "household"
[[vessel]]
name = "19 L pail"
volume = "19 L"
owned = 2
[ground]
texture = "loam"
bed_area = "20 m²"
wait = "14 days"
"""
MEMBERS = 40


def site_of(replace=None, add=""):
    """The small site, with pieces of its text replaced and others added at the end."""
    text = HOME
    for old, new in (replace or {}).items():
        assert old in text, old
        text = text.replace(old, new)
    return loads(text + add, "test.toml")


@pytest.fixture(scope="session")
def make_site():
    return site_of


@pytest.fixture(scope="session")
def make_case():
    def make(members=MEMBERS, **changes):
        return foresee(site_of(**changes), years=1, members=members, seed=3)

    return make


@pytest.fixture(scope="session")
def case(make_case):
    return make_case()


@pytest.fixture(scope="session")
def work(case):
    return carry_out(case, lambda stage, share: None)


@pytest.fixture(scope="session")
def plan():
    return make_plan(site_of(), members=MEMBERS, seed=3)
