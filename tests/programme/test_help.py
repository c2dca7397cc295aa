"""Who has stopped, who needs help, what is full when, what lacks."""

import datetime as dt
from dataclasses import replace

import pytest
from programme_facts import TODAY, ago, ahead, filling, free, place, resting

from sourloam.programme import (
    Exchange,
    beds_short,
    bran_need,
    calls,
    chance_full,
    drawn,
    figures,
    fleet,
    full_by,
    needing_help,
    next_full,
    read_facts,
    silence,
)
from sourloam.programme.facts import BranFacts, GroundFacts, VesselFacts


def quiet_for(days, every=3, **more):
    return silence(place(every=every, quiet=days, **more), TODAY, drawn())


def test_longer_silence_is_likelier_to_be_for_good():
    chances = [quiet_for(days).chance[1] for days in (1, 6, 14, 30, 60)]
    assert chances == sorted(chances)
    assert chances[0] < 0.02
    assert chances[-1] > 0.9


def test_a_silence_of_a_holiday_is_not_taken_for_the_end():
    low, middle, _high = quiet_for(14).chance
    assert low < middle < 0.5


def test_the_same_silence_says_less_where_people_write_seldom():
    assert quiet_for(21, every=14).chance[1] < quiet_for(21, every=2).chance[1] * 0.7


def test_closed_days_are_no_silence():
    closed = tuple(ago(n) for n in range(1, 31))
    assert quiet_for(31, closed=closed).days == 1


def test_a_place_that_joined_and_never_began_is_told_as_an_idle_vessel():
    mute = replace(place(), entry_days=(), vessels=(), bran=None)
    assert silence(mute, TODAY, drawn()) is None
    fresh, late, lost = (replace(mute, joined=ago(days)) for days in (1, 40, 200))
    assert needing_help([fresh], TODAY, drawn()) == []
    (one,) = needing_help([late], TODAY, drawn())
    assert "nothing was written there yet" in one.risks[0].why.english
    assert (one.risks[0].what, one.long_quiet, one.silence.began) == ("stopped", False, False)
    assert needing_help([lost], TODAY, drawn())[0].long_quiet
    assert figures([late], (), TODAY, drawn()).active[1] < 0.5


def test_chance_of_being_full_meets_the_points_that_were_foreseen():
    days = (ahead(3), ahead(5), ahead(9))
    low, middle, high = (chance_full(days, TODAY, n) for n in (2, 5, 9))
    assert low < 0.11
    assert 0.5 <= middle < 0.65
    assert 0.88 < high < 0.95
    assert chance_full((None, None, None), TODAY, 30) == 0


def test_full_vessels_add_up_over_places_with_a_range():
    places = [place(f"House {n}", vessels=(filling(), resting())) for n in range(20)]
    rows = full_by(places, TODAY, (0, 5, 60))
    assert rows[0].vessels[1] == pytest.approx(20, abs=0.5)
    assert rows[1].vessels[0] < rows[1].vessels[1] < rows[1].vessels[2] <= 40
    assert rows[2].vessels[1] == pytest.approx(40, abs=0.1)
    assert len(next_full(places, TODAY, 9, 0.5)) == 20


def reasons(*args, **more):
    found = needing_help([place(*args, **more)], TODAY, drawn())
    return [risk.what for risk in found[0].risks] if found else []


def test_a_place_where_all_is_well_is_left_alone():
    assert reasons() == []


def test_what_is_wrong_is_told_the_most_pressing_first():
    failed = VesselFacts("red", "Red pail", "failed", 10.0, ago(3))
    likely = filling("Old pail", failing=(0.2, 0.5, 0.8), drain_by=ago(9))
    bare = BranFacts(0.0, (0.01, 0.02, 0.03))
    assert reasons(quiet=60, vessels=(failed, likely), bran=bare) == [
        "failed", "nowhere", "failing", "stopped", "bran", "undrained",
    ]  # fmt: skip


def test_of_places_as_pressing_the_one_with_more_reasons_comes_first():
    failed = VesselFacts("red", "Red pail", "failed", 10.0, ago(3))
    undrained = filling("Old pail", drain_by=ago(9))
    fewer = place("Alder", vessels=(failed, free()))
    more = place("Birch", vessels=(failed, undrained, free()))
    found = needing_help([fewer, more], TODAY, drawn())
    assert [one.place.name for one in found] == ["Birch", "Alder"]


def test_the_usual_gap_of_who_wrote_today_is_the_middle_one():
    facts = replace(place(), entry_days=(ago(10), ago(8), ago(3), TODAY))
    assert silence(facts, TODAY, drawn()).usual_days == 3


def test_full_and_nothing_free_is_nowhere_with_its_chance():
    one = needing_help([place(vessels=(filling(), resting()))], TODAY, drawn())[0]
    assert one.risks[0].what == "nowhere"
    assert 0.9 < one.risks[0].chance[1] <= 1
    assert "Blue pail" in one.risks[0].why.english
    assert reasons(vessels=(filling(low=40, middle=50, high=60), resting())) == []
    assert reasons(vessels=(filling(), resting(), free())) == []


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"quiet": 60, "vessels": (filling(failing=(0.3, 0.6, 0.8)), free())}, "gone wrong"),
        ({"quiet": 60, "vessels": (resting(), resting("Jar"))}, "everything is full"),
        ({"quiet": 60, "bran": BranFacts(0.0, (0.01, 0.02, 0.03))}, "bring bran"),
        ({"quiet": 60}, "whether they want to go on"),
        ({"quiet": 24}, "A kind word"),
    ],
)
def test_the_kind_word_or_visit_fits_what_may_have_put_them_off(more, said):
    found = needing_help([place(**more)], TODAY, drawn())[0]
    assert said in next(r for r in found.risks if r.what == "stopped").helps.english


def test_bran_of_one_place_does_not_serve_another():
    rich = place("Rich", bran=BranFacts(50.0, (0.01, 0.02, 0.03)))
    poor = place("Poor", bran=BranFacts(0.1, (0.015, 0.02, 0.03)))
    need = bran_need([rich, poor], 0.0, drawn())
    assert need.make_kg[0] < 28 * 0.02 - 0.1 < need.make_kg[2]
    assert [one.name for one, _days in need.lacking] == ["Poor"]
    assert need.take_kg[0] < 28 * 0.02 - 0.1 < need.take_kg[2]
    (call,) = calls([replace(poor, vessels=(resting(),))], [], {}, TODAY, TODAY)
    assert call.bran_kg == pytest.approx(28 * 0.02 - 0.1, abs=0.05)
    assert bran_need([rich, poor], 5.0, drawn()).make_kg == (0.0, 0.0, 0.0)


def test_a_place_that_keeps_no_stock_uses_bran_but_is_not_told_as_running_short():
    handed = place("Handed", bran=BranFacts(0.0, (0.01, 0.02, 0.03), keeps_stock=False))
    need = bran_need([handed], 0.0, drawn())
    assert need.asked_kg[1] == pytest.approx(28 * 0.02, rel=0.1)
    assert need.lacking == ()


def test_beds_too_small_are_told_in_square_metres_and_frozen_ground_as_held():
    small = GroundFacts(0.5, (6.0, 10.0, 11.0), 0.6, TODAY)
    frozen = GroundFacts(20.0, (6.0, 10.0, 11.0), 0.6, ahead(90))
    full = (resting(kg=15.0), resting("Jar", kg=15.0))
    found = beds_short(
        [place(vessels=full), place("Small", vessels=full, ground=small),
         place("Frozen", vessels=full, ground=frozen)], TODAY,
    )  # fmt: skip
    assert [(row.place.name, row.held) for row in found] == [("Frozen", True), ("Small", False)]
    assert found[1].lacking_m2[1] == pytest.approx((30 - 5) / 10 * 0.6)
    assert found[1].lacking_m2[0] < found[1].lacking_m2[1] < found[1].lacking_m2[2]


def test_an_exchange_needs_one_vessel_a_place_and_those_that_rest():
    found = fleet(Exchange(100, fill_days=28, round_days=7, rest_days=14), drawn())
    flow = 100 / 28
    assert found.vessels[1] == pytest.approx((100 + flow * (3.5 + 14 + 2)) * 1.075, rel=0.03)
    assert found.at_home == 200
    assert found.weekly == pytest.approx(25)
    with pytest.raises(ValueError, match="more than 0"):
        fleet(Exchange(100, 0, 7, 14), drawn())


def test_facts_survive_being_kept_as_json():
    one = place(
        vessels=(filling(failing=(0.1, 0.2, 0.3)), resting()), closed=(dt.date(2026, 5, 1),)
    )
    assert read_facts(one.as_json()) == one


def test_a_silence_of_long_ago_is_no_news_of_today():
    recent, old = needing_help([place("A", quiet=60), place("B", quiet=200)], TODAY, drawn())
    assert (recent.place.name, recent.long_quiet) == ("A", False)
    assert (old.place.name, old.long_quiet) == ("B", True)
