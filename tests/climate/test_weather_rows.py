"""The packaged record agrees with the rows that describe day-to-day weather."""

import runpy
from pathlib import Path

import pytest

from sourloam.climate import packaged_record
from sourloam.evidence import book

TOOL = Path(__file__).parents[2] / "tools" / "weather_noise.py"


@pytest.fixture(scope="module")
def found():
    record = packaged_record("mild-oceanic")
    return runpy.run_path(str(TOOL))["figures"](record.dates, record.mean_c)


def test_the_wildness_of_the_packaged_record_lies_in_its_row(found):
    row = book()["climate.weather.sd_by_swing"]
    assert found[2] == pytest.approx(0.364, abs=0.001)
    assert row.low <= found[2] <= row.high


def test_the_persistence_of_the_packaged_record_lies_in_its_row(found):
    row = book()["climate.weather.persistence"]
    assert found[3] == pytest.approx(0.7505, abs=0.0005)
    assert row.low <= found[3] <= row.high
