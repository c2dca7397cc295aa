"""From the last layer to sowing, by the log and by the place's own soil."""

import datetime as dt
import tomllib
from pathlib import Path

import numpy as np
import pytest

from sourloam.evidence import book
from sourloam.impact.turnaround import together, turnaround
from sourloam.planning.waiting import FORESEEN_DAYS
from sourloam.site import Site

HOME = Path(__file__).parents[2] / "examples" / "home.toml"
MEMBERS = 60


def place(**ground):
    document = tomllib.loads(HOME.read_text(encoding="utf-8"))
    document.pop("bed", None)
    document["ground"] = ground or document["ground"]
    return Site.model_validate(document)


def found(site, **log):
    rows = ("impact_claims.rest_days", "impact_claims.soil_days")
    p = book().sample(rows, MEMBERS, np.random.default_rng(3))
    return turnaround(site, p, np.random.default_rng(4), **log)


def test_a_trench_dug_in_autumn_works_longer_than_one_dug_in_june():
    autumn, june = (found(place(), burials=[dt.date(2026, month, 10)]) for month in (11, 6))
    assert np.median(autumn.soil_c) < np.median(june.soil_c) - 5
    assert np.median(autumn.soil_days) > 1.5 * np.median(june.soil_days)
    assert autumn.soil_days.max() <= FORESEEN_DAYS
    assert june.known == "ground"
    assert "soil.acid.uptake" in june.sources


def test_rests_are_those_of_the_log_once_there_are_three():
    site = place(none=True)
    logged = found(site, rests=[20.0, 30.0, 40.0])
    assert set(logged.rest_days) == {20.0, 30.0, 40.0}
    assert logged.known == "rested"
    assert "impact_claims.rest_days" not in logged.sources
    few = found(site, rests=[90.0, 91.0])
    assert few.rest_days.max() <= book()["impact_claims.rest_days"].high
    assert few.known == "usual"


def test_a_wait_that_the_person_states_is_taken_and_claims_no_model():
    own = found(place(texture="loam", bed_area="12 m²", wait="40 days"))
    assert own.soil_days == pytest.approx(40.0)
    assert "soil.acid.uptake" not in own.sources


def test_several_places_take_turns_and_are_known_as_badly_as_the_least_known():
    one = found(place(none=True), rests=[20.0, 20.0, 20.0])
    other = found(place(none=True))
    both = together([one, other])
    assert np.all(both.rest_days[::2] == 20.0)
    assert np.array_equal(both.rest_days[1::2], other.rest_days[1::2])
    assert both.known == "usual"
    assert both.soil_c is None
    assert "impact_claims.rest_days" in both.sources
