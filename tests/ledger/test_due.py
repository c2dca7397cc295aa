import datetime as dt
import json
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings

from sourloam.ledger import Foreseen, due, fold, parse_body, stages
from sourloam.ledger.opening import Opening, opening
from sourloam.site import Site
from strategies.ledger_entries import SITE, START, entry, fed, ledgers

DAY = START.date()
HOME = Site.model_validate(SITE)
COLD = Site.model_validate(
    SITE
    | {
        "climate": {
            "monthly_means": [-9.5, -8.0, -2.0, 5.5, 12.5, 16.5, 18.5, 17, 11, 4.5, -1.5, -7],
            "unit": "°C",
        }
    }
)
PAIL = {"vessel": "pail-1"}
SPEC = {"name": "pail", "volume": "19 L"}
BED = {"bed": "wall-bed", "name": "Wall bed"}
BED |= {"spec": {"name": "Wall bed", "length": "3 m", "width": "1 m", "texture": "loam"}}


@dataclass(frozen=True)
class Told:
    full_on: dt.date | None = None
    finished_on: dt.date | None = None
    next_drain_on: dt.date | None = None
    next_drain_ml: float | None = None
    chance_of_failing: float | None = None


def on(day):
    return DAY + dt.timedelta(days=day)


def did(number, kind, day=0, **body):
    return entry(number, kind, PAIL | body, day)


def pail(number=100, vessel="pail-1"):
    return entry(number, "vessel_added", {"vessel": vessel, "name": vessel, "spec": SPEC}, 0)


def work(*entries, today=5, told=None, site=HOME, days=14):
    forecasts = {} if told is None else {"pail-1": told}
    return due(fold([pail(), *entries]), forecasts, site, on(today), days)


def one(what, *entries, **how):
    (found,) = [d for d in work(*entries, **how) if d.what == what]
    return found


def whats(*entries, **how):
    return [d.what for d in work(*entries, **how)]


LAYERS = [fed(n, 2 * n) for n in range(3)]


def test_a_forecast_of_this_shape_is_what_the_list_asks_for():
    assert isinstance(Told(), Foreseen)


@given(ledgers())
@settings(derandomize=True, max_examples=80, deadline=None)
def test_whatever_was_logged_gives_a_list_and_each_done_writes_a_checked_body(entries):
    place = fold(entries)
    told = Told(on(40), on(60), on(45), 120.0, 0.4)
    for forecasts in ({}, {"pail-1": told}):
        for piece in due(place, forecasts, HOME, on(50)):
            plain = json.loads(json.dumps(piece.as_json()))
            assert plain["thing"] == (list(piece.thing) if piece.thing else None)
            assert (plain["kind"], plain["on"]) == (piece.kind, piece.on.isoformat())
            assert piece.why.english
            assert "%" not in piece.why.english.replace(" %", "")
            body = dict(piece.body)
            if not piece.asks:
                parse_body(piece.kind, body)


def test_a_layer_is_due_by_the_rhythm_of_the_last_ones_and_filled_in_like_the_last():
    feed = one("feed", *LAYERS, today=4)
    assert feed.on == on(6)
    assert feed.urgency == "soon"
    assert feed.body == {"vessel": "pail-1", "amount": {"mass_kg": 1.0}}
    assert feed.why.data == {"last": on(4), "days": 2}


def test_a_missed_layer_is_due_today_and_never_overdue():
    feed = one("feed", *LAYERS, today=20)
    assert (feed.on, feed.urgency) == (on(20), "today")


def test_no_layer_is_due_while_the_site_is_closed():
    closed = {"from": "2026-03-06", "to": "2026-03-15"}
    site = Site.model_validate(SITE | {"closed": [closed]})
    assert one("feed", *LAYERS, today=5, site=site).on == dt.date(2026, 3, 16)


def test_where_nothing_is_filling_the_first_clean_vessel_is_offered():
    assert one("feed", today=1).asks == ("amount",)
    both = work(pail(101, "pail-2"), *LAYERS, did(9, "set_aside", 5), today=6)
    assert [d.thing[1] for d in both if d.what == "feed"] == ["pail-2"]


def test_draining_follows_the_forecast_and_says_how_much_to_expect():
    told = Told(next_drain_on=on(7), next_drain_ml=123.0)
    drain = one("drain", *LAYERS, told=told)
    assert drain.on == on(7)
    assert drain.body["volume_ml"] == 120
    assert drain.expected_ml == 123
    assert drain.why.english == "About 120 mL has gathered under the grid by then."
    assert parse_body(drain.kind, dict(drain.body)).volume_ml == 120


def test_a_few_drops_are_not_worth_the_walk():
    assert "drain" not in whats(*LAYERS, told=Told(next_drain_on=on(7), next_drain_ml=20.0))


def test_without_a_forecast_a_vessel_is_drained_every_few_days_and_the_amount_is_asked():
    drain = one("drain", *LAYERS, did(9, "drained", 3, volume_ml=80, use="plants"), today=4)
    assert drain.on == on(5)
    assert drain.asks == ("volume_ml",)
    assert drain.body["use"] == "plants"


def test_a_vessel_is_looked_at_every_week():
    look = one("check", *LAYERS, did(9, "looked", 6, signs=[]), today=7)
    assert look.on == on(13)
    assert look.kind == "looked"


def test_a_high_chance_of_failing_asks_for_a_look_today():
    look = one("check", *LAYERS, told=Told(chance_of_failing=0.45))
    assert look.on == on(5)
    assert "45 of 100" in look.why.english
    assert look.asks == ("signs",)
    assert one("check", *LAYERS, told=Told(chance_of_failing=0.1)).asks == ()


def test_who_fed_it_has_opened_it_and_looked():
    fed = next(one for one in reversed(LAYERS) if one.kind == "fed")
    look = one("check", *LAYERS)
    assert look.on == fed.at.date() + dt.timedelta(days=7)
    assert look.why.data["last"] == fed.at.date()


def test_no_chance_of_failing_is_told_as_certain():
    look = one("check", *LAYERS, told=Told(chance_of_failing=1.0))
    assert look.why.data["percent"] == 99


def test_a_vessel_is_set_aside_when_it_is_seen_or_foreseen_to_be_full_or_fills_for_too_long():
    assert one("set_aside", *LAYERS, told=Told(full_on=on(12))).on == on(12)
    marked = did(9, "fill_marked", 5, fraction=0.96)
    assert one("set_aside", *LAYERS, marked, told=Told(full_on=on(12))).on == on(5)
    assert one("set_aside", *LAYERS, today=35).on == on(42)
    assert "set_aside" not in whats(*LAYERS)
    assert one("set_aside", *LAYERS, marked, today=6).urgency == "overdue"
    assert "96 % full" in one("set_aside", *LAYERS, marked, today=6).why.english


def test_a_full_vessel_is_not_fed():
    assert "feed" not in whats(*LAYERS, told=Told(full_on=on(5)))


RESTING = [*LAYERS, did(9, "set_aside", 6)]


def test_a_resting_vessel_is_judged_when_it_is_foreseen_to_be_sour_or_after_the_usual_rest():
    judge = [
        d for d in work(*RESTING, today=12, told=Told(finished_on=on(17))) if d.kind == "judged"
    ]
    assert [d.on for d in judge] == [on(17)]
    assert judge[0].asks == ("verdict",)
    assert [d.on for d in work(*RESTING, today=12) if d.kind == "judged"] == [on(20)]


def test_a_vessel_judged_sound_is_buried_in_the_free_bed_that_had_least():
    sound = did(10, "judged", 20, verdict="sound")
    wall = entry(11, "bed_added", BED, 0)
    long_bed = entry(12, "bed_added", BED | {"bed": "long-bed", "name": "Long bed"}, 0)
    trench = {"depth_m": 0.3, "width_m": 0.3, "length_m": 1, "cover_m": 0.2}
    before = entry(13, "buried", {"vessel": "pail-9", "bed": "long-bed", **trench}, 1)
    bury = one("bury", *RESTING, sound, wall, long_bed, before, today=21)
    assert bury.on == on(21)
    assert bury.body["bed"] == "wall-bed"
    assert bury.why.english.startswith("Its ferment is ready; Wall bed has room for it. ")
    assert "30 cm deep" in bury.why.english
    assert bury.why.data["plant"] > bury.on
    planted = entry(14, "planted", {"bed": "wall-bed", "crop": "leek"}, 3)
    other = one("bury", *RESTING, sound, wall, long_bed, before, planted, today=21)
    assert other.body["bed"] == "long-bed"
    assert parse_body("buried", dict(other.body)).length_m == pytest.approx(0.3)


def test_the_next_trench_lies_in_the_strip_dug_longest_ago():
    sound = did(10, "judged", 20, verdict="sound")
    wall = entry(11, "bed_added", BED, 0)
    trench = {"depth_m": 0.3, "width_m": 0.3, "length_m": 1, "cover_m": 0.2, "along_m": 0.3}
    first = one("bury", *RESTING, sound, wall, today=21)
    assert first.body["along_m"] == 0.3
    before = entry(13, "buried", {"vessel": "pail-9", "bed": "wall-bed", **trench}, 1)
    assert one("bury", *RESTING, sound, wall, before, today=21).body["along_m"] == 0.9


def test_more_ferment_asks_for_a_longer_trench_up_to_the_width_of_the_bed():
    sound = did(10, "judged", 20, verdict="sound")
    wall = entry(11, "bed_added", BED, 0)
    heavy = [fed(n, n, mass_kg=2.0) for n in range(3)]
    bury = one("bury", *heavy, did(9, "set_aside", 6), sound, wall, today=21)
    assert bury.body["length_m"] == pytest.approx(6 * 0.97 / 10, abs=0.01)
    huge = [fed(n, n, mass_kg=20.0) for n in range(3)]
    bury = one("bury", *huge, did(9, "set_aside", 6), sound, wall, today=21)
    assert bury.body["length_m"] == 1


def test_without_a_bed_the_bed_is_asked_for():
    assert one("bury", *RESTING, did(10, "judged", 20, verdict="sound"), today=21).asks == ("bed",)


def test_in_frozen_ground_a_ready_vessel_is_held_until_the_ground_opens():
    january = (dt.date(2027, 1, 10) - DAY).days
    story = [*LAYERS, did(9, "set_aside", 6), did(10, "judged", 20, verdict="sound")]
    place = fold([pail(), *story])
    assert stages(place, {}, COLD, dt.date(2027, 1, 10)) == {"pail-1": "held"}
    assert stages(place, {}, COLD, dt.date(2026, 7, 10)) == {"pail-1": "ready"}
    bury = one("bury", *story, today=january, site=COLD, days=200)
    assert dt.date(2027, 3, 15) < bury.on < dt.date(2027, 4, 20)
    assert "only opens" in bury.why.english
    assert "bury" not in whats(*story, today=january, site=COLD)


def test_a_rested_vessel_is_ready_by_its_forecast():
    place = fold([pail(), *RESTING])
    forecasts = {"pail-1": Told(finished_on=on(17))}
    assert stages(place, forecasts, HOME, on(16)) == {"pail-1": "resting"}
    assert stages(place, forecasts, HOME, on(17)) == {"pail-1": "ready"}


def test_a_place_without_ground_puts_its_ferment_in_the_tub():
    site = Site.model_validate(SITE | {"ground": {"none": True}})
    bury = one("bury", *RESTING, did(10, "judged", 20, verdict="sound"), today=21, site=site)
    assert (bury.kind, bury.body["fate"]) == ("emptied", "tub")


def test_an_emptied_vessel_is_washed_before_it_is_filled_again():
    emptied = did(10, "emptied", 20, fate="tub")
    assert one("wash", *RESTING, emptied, today=21).on == on(20)
    assert "feed" not in whats(*RESTING, emptied, today=21)
    assert "wash" not in whats(*RESTING, emptied, did(11, "washed", 21), today=21)


def test_a_failed_vessel_asks_what_becomes_of_it_and_nothing_else():
    found = work(*RESTING, did(10, "judged", 20, verdict="failed"), today=21)
    vessel = [d for d in found if d.what != "feed"]
    assert [(d.what, d.kind, d.asks) for d in vessel] == [("check", "emptied", ("fate",))]


def test_a_bed_may_be_planted_after_the_wait_that_the_site_states():
    site = Site.model_validate(SITE | {"ground": SITE["ground"] | {"wait": "3 weeks"}})
    trench = {"bed": "wall-bed", "depth_m": 0.3, "width_m": 0.3, "length_m": 1, "cover_m": 0.2}
    story = [*RESTING, entry(11, "bed_added", BED, 0), did(10, "buried", 20, **trench)]
    plant = one("plant", *story, today=30, site=site)
    assert plant.on == on(41)
    assert plant.asks == ("crop",)
    planted = entry(12, "planted", {"bed": "wall-bed", "crop": "leek"}, 30)
    assert "plant" not in whats(*story, planted, today=31, site=site)


def test_the_wait_is_longer_in_colder_soil():
    ground = opening(HOME, DAY, 400)
    july, february = dt.date(2026, 7, 15), dt.date(2027, 2, 1)
    assert ground.wait_days(july, None) < ground.wait_days(february, None)
    assert ground.wait_days(july, 21.0) == 21


def test_the_wait_grows_2_4_times_for_each_ten_degrees_and_ends_at_half_a_year():
    def wait(soil_c):
        return Opening(DAY, np.ones(1, bool), np.array([soil_c])).wait_days(DAY, None)

    assert [wait(c) for c in (25.0, 20.0, 10.0, 0.0, -20.0)] == [14, 14, 34, 81, 180]


def test_a_trench_of_more_than_a_year_ago_no_longer_takes_room():
    trench = {"bed": "wall-bed", "depth_m": 0.3, "width_m": 0.3, "length_m": 5, "cover_m": 0.2}
    old = entry(13, "buried", {"vessel": "pail-9", **trench}, -400)
    wall = entry(11, "bed_added", BED, -500)
    sound = did(10, "judged", 20, verdict="sound")
    assert one("bury", *RESTING, sound, wall, old, today=21).asks == ()
    late = entry(13, "buried", {"vessel": "pail-9", **trench}, -300)
    assert one("bury", *RESTING, sound, wall, late, today=21).asks == ("bed",)


def test_days_with_fewer_scraps_are_not_closed():
    fewer = {"from": "2026-03-06", "to": "2026-03-15", "share": 0.3}
    site = Site.model_validate(SITE | {"closed": [fewer]})
    assert one("feed", *LAYERS, today=5, site=site).on == on(6)


def test_bran_is_ordered_before_it_runs_out():
    lot = entry(50, "bran_received", {"lot": "lot-1", "mass_kg": 0.5})
    layers = [
        entry(n, "fed", PAIL | {"amount": {"mass_kg": 1}, "bran_g": 20}, n) for n in range(11)
    ]
    bran = one("bran", lot, *layers, today=10)
    # 220 g in 10 days leave 280 g for 12 days: less than the fortnight of lead.
    assert bran.on == on(10)
    assert bran.why.data["until"] == on(22)
    assert bran.body["mass_kg"] == pytest.approx(0.022 * 60, abs=0.05)
    ordered = entry(51, "bran_ordered", {"mass_kg": 2}, 9)
    assert "bran" not in whats(lot, ordered, *layers, today=10)


def test_a_retired_vessel_asks_for_nothing():
    assert work(*LAYERS, did(9, "vessel_retired", 5), today=6) == []


def test_the_most_pressing_work_comes_first():
    told = Told(full_on=on(3), next_drain_on=on(5), next_drain_ml=90.0)
    found = work(*LAYERS, told=told, today=5)
    assert [d.urgency for d in found] == sorted(
        (d.urgency for d in found), key=["overdue", "today", "soon"].index
    )
    assert found[0].what == "set_aside"
