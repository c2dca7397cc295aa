"""One place, one vessel, one ordinary log for the tests of forecasts."""

import datetime as dt

import pytest

from sourloam.forecast import Layer, Logged, Reading, Strip, kitchen
from sourloam.site import loads

FIRST = dt.date(2025, 9, 1)
SITE = """
[site]
name = "Test flat"
kind = "home"
start = 2025-09-01

[climate]
monthly_means = [-2.5, -1.0, 3.0, 8.0, 13.0, 16.5, 18.5, 18.0, 13.5, 8.5, 3.5, -0.5]
unit = "°C"

[room]
kind = "indoors"
temperature = "20 °C"

[[scraps]]
from = "people"
people = 3
capture = 0.6
mix = "household"

[[vessel]]
name = "19 L pail"
volume = "19 L"
plate = "1 kg"
owned = 3

[ground]
texture = "loam"
bed_area = "12 m²"
"""


@pytest.fixture(scope="session")
def site():
    return loads(SITE, "test.toml")


@pytest.fixture(scope="session")
def place(site):
    return kitchen(site, FIRST, 500)


@pytest.fixture(scope="session")
def pail(site):
    return site.to_vessels()[0]


@pytest.fixture
def log():
    """Twenty days of an ordinary kitchen, half full by its marks."""
    return Logged(
        FIRST,
        layers=tuple(Layer(d, 0.33, 0.2, "counted") for d in range(20)),
        drains=tuple(Reading(d, 60.0) for d in range(4, 20, 4)),
        marks=(Reading(7, 0.2), Reading(14, 0.4), Reading(19, 0.55)),
        strips=(Strip(10, 4.2), Strip(18, 4.2)),
    )
