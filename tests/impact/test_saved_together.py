"""Many places added up: what nobody knows of gases errs at all of them alike, a scale at one."""

import json
import tomllib
from pathlib import Path

import invented_log
import numpy as np
import pytest

from sourloam.impact import Asked, LogError, Saved, impact_of_log, saved_of_log, saved_together
from sourloam.ledger import PlaceState, fold, parse_entry

HOME = Path(__file__).parents[2] / "examples" / "home.toml"


@pytest.fixture(scope="module")
def state():
    site = tomllib.loads(HOME.read_text(encoding="utf-8"))
    site["ground"] = site.get("ground", {}) | {"wait": "21 days"}
    plain = json.loads(json.dumps(site, default=str))
    described = invented_log.entry(999, "place_described", 0, site=plain)
    return fold([parse_entry(one) for one in (described, *invented_log.raw())])


@pytest.fixture(scope="module")
def each(state):
    return [saved_of_log(state, number) for number in (1, 2, 3, 4)]


def width(found):
    return (found.high - found.low) / found.median


def spread_alone(each):
    """How wide the sum would be if everything erred by itself at each place."""
    worlds = [one.ways_kg["landfill"] - one.ways_kg["ferment"] for one in each]
    shuffled = [np.random.default_rng(n).permutation(row) for n, row in enumerate(worlds)]
    low, middle, high = np.quantile(np.sum(shuffled, axis=0), (0.1, 0.5, 0.9))
    return (high - low) / middle


def test_what_is_not_known_of_landfills_does_not_even_out_over_places(each):
    together = saved_together(each)
    landfill, one = together.comparisons[0], saved_together(each[:1]).comparisons[0]
    assert landfill.id == "landfill"
    assert together.places == 4
    assert width(landfill.saved) > 0.85 * width(one.saved)
    assert width(landfill.saved) > 1.4 * spread_alone(each)


def test_what_moves_it_most_is_what_all_places_share(each):
    movers = saved_together(each).movers
    assert 1 <= len(movers) <= 3
    assert all(0.25 <= abs(r) <= 1 for _key, r in movers)
    assert not any(key.startswith(("waste", "bran.dose")) for key, _r in movers)


def test_a_place_alone_saves_what_its_own_page_says(each, state):
    page = impact_of_log(state, None, Asked(200))
    told = {one.id: one.saved for one in page.comparisons}
    found = saved_together(each[:1])
    for one in found.comparisons:
        assert one.saved.median == pytest.approx(told[one.id].median, rel=0.15, abs=0.3)


def test_driving_to_places_is_taken_off(each):
    without, with_ = saved_together(each), saved_together(each, 100.0)
    off = without.comparisons[0].saved.median - with_.comparisons[0].saved.median
    assert off == pytest.approx(100 * 0.18, rel=0.15)
    assert with_.routes[0].total.median > without.routes[0].total.median + 10


def test_each_scale_errs_by_itself(each):
    off = np.corrcoef(each[0].scraps_kg, each[1].scraps_kg)[0, 1]
    assert abs(off) < 0.3


def test_what_is_kept_of_a_place_is_read_back(each):
    again = Saved.from_json(each[0].as_json())
    np.testing.assert_allclose(again.scraps_kg, each[0].scraps_kg, rtol=1e-4)
    assert set(again.ways_kg) == set(each[0].ways_kg)


@pytest.mark.parametrize(
    "kept", [{}, {"scraps_kg": [1.0], "ferment": [1.0], "ferment_if_burnt": [1.0], "heap": [1.0]}]
)
def test_anything_else_is_refused(kept):
    with pytest.raises(ValueError, match="possible worlds"):
        Saved.from_json(kept)


def test_no_place_and_no_log_save_nothing():
    assert saved_together([]) is None
    with pytest.raises(LogError):
        saved_of_log(PlaceState(), 1)
