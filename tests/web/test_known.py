"""What is kept of a place is renewed where something changed, and there only."""

import datetime as dt

import pytest

from sourloam.ledger.due import due
from sourloam.web import reading
from sourloam.web.house import House, Inside


def inside(home):
    from zoneinfo import ZoneInfo

    home.place.refresh_from_db()
    today = dt.datetime.now(dt.UTC).date()
    zone = ZoneInfo("UTC")
    found = House(home.id, home.place.name, zone, "coordinator", "metric", today, home.place)
    return Inside(found, reading.state_of(found))


def test_the_kept_list_is_the_ledgers_own(home):
    here = inside(home)
    assert list(here.dues) == due(here.state, {}, None, here.house.today)
    home.write("fed", {"vessel": "blue", "amount": {"mass_kg": 1.0}})
    home.write("emptied", {"vessel": "green", "fate": "given"})
    after = inside(home)
    assert list(after.dues) == due(after.state, {}, None, after.house.today)
    assert after.dues != here.dues


def test_what_is_left_of_bran_that_runs_out_counts_each_layer_at_once(home):
    home.write("bran_received", {"lot": "oak-1", "mass_kg": 0.1}, 3)

    def told():
        return [one.why.data["left_kg"] for one in inside(home).dues if one.what == "bran"]

    before = told()
    assert before
    layer = {"vessel": "blue", "amount": {"mass_kg": 1.0}, "lot": "oak-1", "bran_g": 60}
    home.write("fed", layer)
    assert told() == pytest.approx([before[0] - 0.06])


def test_a_new_layer_leaves_the_other_vessels_as_they_were(home):
    before = dict(inside(home).known.vessels)
    home.write("fed", {"vessel": "blue", "amount": {"mass_kg": 1.0}})
    after = inside(home).known.vessels
    assert after["blue"] is not before["blue"]
    assert after["green"] is before["green"]


def test_another_bed_renews_every_vessel(home):
    before = dict(inside(home).known.vessels)
    home.write("planted", {"bed": "wall", "crop": "leek"})
    assert inside(home).known.vessels["green"] is not before["green"]


def test_only_new_forecasts_are_read_and_the_others_stay_the_same_objects():
    from sourloam.web.known import foreseen_of
    from sourloam.web.vessel.foresight import Foresight

    asked, at = [], dt.datetime(2026, 5, 1, tzinfo=dt.UTC)
    said = {"blue": {"chance_of_failing": 0.1}, "green": {"chance_of_failing": 0.2}}

    def load(vessels):
        asked.append(sorted(vessels))
        return {v: Foresight(dict(said[v])) for v in vessels}

    made = {"blue": at, "green": at}
    first = foreseen_of("shed-of-this-test", (1,), lambda: made, load)
    assert asked == [["blue", "green"]]
    later = {**made, "blue": at + dt.timedelta(hours=1)}
    said["blue"] = {"chance_of_failing": 0.3}
    second = foreseen_of("shed-of-this-test", (2,), lambda: later, load)
    assert asked[1:] == [["blue"]]
    assert second["green"] is first["green"]
    assert second["blue"].chance_of_failing == 0.3
    assert foreseen_of("shed-of-this-test", (2,), None, None) is second
    assert set(foreseen_of("shed-of-this-test", (3,), lambda: {"green": at}, load)) == {"green"}
