"""From a site to its garden plan."""

from pathlib import Path

import pytest

from sourloam.planning.gardening import GardenError, plan_garden
from sourloam.site import load, loads

EXAMPLES = Path(__file__).parents[2] / "examples"
HOME = (EXAMPLES / "home.toml").read_text(encoding="utf-8")
READY = """
[[finished]]
name = "first pail"
ready = 2026-04-01
mass = "8 kg"
meat = "none"
"""


@pytest.fixture(scope="module")
def home():
    return plan_garden(loads(HOME + READY), 15)


def test_finished_vessels_in_the_file_take_the_place_of_foreseen_ones(home):
    assert {b.vessel for b in home.burials.plan} == {"first pail"}


@pytest.mark.slow
def test_the_shared_garden_of_the_south_digs_in_its_own_spring():
    plan = plan_garden(load(EXAMPLES / "garden.toml"), 30)
    assert plan.burials.plan
    crops = {b.name: [c.crop for c in b.plantings] for b in plan.beds}
    assert "tomato" in crops["North long bed"]
    assert all(b.next_crop for b in plan.burials.plan if b.week.month in (9, 10))


def test_progress_is_told_and_the_same_seed_gives_the_same_plan(home):
    seen = []
    again = plan_garden(loads(HOME + READY), 15, progress=lambda stage, share: seen.append(share))
    assert seen == sorted(seen)
    assert seen[-1] == 1
    assert again.model_dump_json() == home.model_dump_json()


def test_a_site_without_beds_says_what_to_write():
    with pytest.raises(GardenError, match=r"add \[\[bed\]\]"):
        plan_garden(loads(HOME.split("[[bed]]")[0]), 20)
