"""No acknowledged entry is lost when the server is killed while it writes.

A kill shows that the store holds without a proper end of the process. What a power cut does to
the disk it can't show: that rests on SQLite's own promise for ``synchronous = FULL``, which
test_settings.py holds every connection to.
"""

import os

import pytest
from kill_series import WRITERS, killed_while_writing

KILLS, MANY = 20, 200
POSTGRES = os.environ.get("SOURLOAM_KILLS_DATABASE", "")


def held(kills, acknowledged, inside):
    """A fifth of the kills, at least, must fall inside a request: else nothing was tried."""
    return inside >= kills // 5 and acknowledged >= kills * WRITERS


def test_twenty_kills_in_the_middle_of_writing_lose_no_acknowledged_entry(
    tmp_path, record_property
):
    record_property("tries", KILLS)
    assert held(KILLS, *killed_while_writing(tmp_path, KILLS, seed=7))


@pytest.mark.slow
def test_two_hundred_kills_lose_no_acknowledged_entry(tmp_path, record_property):
    record_property("tries", MANY)
    assert held(MANY, *killed_while_writing(tmp_path, MANY, seed=8))


@pytest.mark.slow
@pytest.mark.skipif(not POSTGRES, reason="SOURLOAM_KILLS_DATABASE names no empty PostgreSQL")
def test_two_hundred_kills_on_postgresql_lose_no_acknowledged_entry(
    tmp_path, monkeypatch, record_property
):
    record_property("tries", MANY)
    monkeypatch.setenv("SOURLOAM_DATABASE", POSTGRES)
    assert held(MANY, *killed_while_writing(tmp_path, MANY, seed=9))
