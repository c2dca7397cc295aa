"""Filling, resting, dosing, draining, burying: facts that any site must show."""

from dataclasses import replace

import numpy as np
import pytest

from sourloam.evidence import book
from sourloam.planning import filling
from sourloam.planning.burying import Used, bury, labour_of, waits
from sourloam.planning.dosing import dosing, layers_per_day, raised_because
from sourloam.planning.draining import _trickle, rhythm
from sourloam.planning.resting import Resting, rest, rest_from
from sourloam.planning.trenches import trench_of


def test_what_a_vessel_takes_is_the_scraps_of_its_days_to_fill(case, work):
    """Cumulated day by day, the scraps reach the capacity on the day it is full."""
    kind, season = case.kinds[0], case.seasons[0]
    begin = filling.first_days(case, season)
    one = next(f for f in work.filled[kind.vessel.name] if f.season == season)
    for m in np.flatnonzero(np.isfinite(one.full_day))[:10]:
        came = np.cumsum(case.scraps_kg[m, begin[m] :])
        before = came[int(one.full_day[m]) - 1]
        assert one.scraps_kg[m] == pytest.approx(before, rel=0.06)


def test_a_vessel_that_takes_more_than_was_held_out_is_fed_on_while_scraps_come(case, monkeypatch):
    """As one does from which much drains: not filled yet is no reason to say that it never is."""
    usual = filling.fill(case, case.kinds[0], case.seasons[0])
    monkeypatch.setattr(filling, "_SLACK", 0.5)
    starved = filling.fill(case, case.kinds[0], case.seasons[0])
    assert np.isfinite(starved.full_day).mean() > 0.8
    both = np.isfinite(starved.full_day) & np.isfinite(usual.full_day)
    np.testing.assert_allclose(starved.full_day[both], usual.full_day[both], rtol=0.1)


def test_more_people_fill_a_vessel_sooner(case, make_case, work):
    many = make_case(replace={"people = 3": "people = 6"})
    ours = work.filled["19 L pail"][0]
    theirs = filling.fill(many, many.kinds[0], many.seasons[0])
    assert np.median(many.scraps_kg) == pytest.approx(2 * np.median(case.scraps_kg), rel=1e-9)
    assert np.median(theirs.full_day) < 0.7 * np.median(ours.full_day)


def test_groups_of_members_do_not_change_who_is_who(case):
    kind, season = case.kinds[0], case.seasons[0]
    begin = filling.first_days(case, season)
    whole = filling.fill_from(case, kind, season, begin)
    few = np.array([5, 11, 2])
    part = filling.fill_from(case.pick(few), kind, season, begin[few])
    np.testing.assert_allclose(whole.scraps_kg[few], part.scraps_kg, rtol=0.08)


def colder(case, day):
    """Rest of each member in its room, and in a room 6 K colder."""
    warm = rest_from(case, case.kinds[0], day)
    return warm, rest_from(replace(case, room_c=case.room_c - 6), case.kinds[0], day)


@pytest.mark.parametrize("half_year", [0, 1])
def test_a_colder_room_lengthens_the_middle_rest(case, half_year):
    """Not every member's: a cold layer sours later, but may come to rest sooner and less sour."""
    warm, cold = colder(case, case.first + 180 * half_year)
    assert np.median(cold) >= np.median(warm) + 3
    assert (cold >= warm).mean() > 0.75


def test_frost_puts_the_rest_off_and_does_not_fail_it(case):
    frost = case.room_c.copy()
    frost[:, case.first : case.first + 90] = -8.0
    frozen = rest(replace(case, room_c=frost), case.kinds[0])
    assert np.isfinite(frozen.rest_days[:, 0]).mean() > 0.9
    assert np.nanmin(frozen.rest_days[:, 0]) > 90


def test_rest_between_two_closings_lies_on_the_line_and_repeats_each_year():
    knots = np.array([365, 395, 425])
    resting = Resting(knots, np.array([[10.0, 20.0, np.inf]]), np.zeros((1, 3)))
    days = resting.on_every_day(800, 365)
    assert days[0, 365] == days[0, 730] == days[0, 0] == 10
    assert days[0, 380] == 15
    assert days[0, 396] == 20  # beside one that fails, the nearer one counts
    assert np.isinf(days[0, 424])


def test_the_larger_of_share_and_dusting_is_dosed_and_nothing_without_scraps(case):
    kind = case.kinds[0]
    dose = dosing(case, kind)
    surface = kind.vessel.section_m2
    scraps = np.tile([0.0, 0.01, 5.0], (case.members, 1))
    bran = dose.layer_kg(scraps, surface)
    assert (bran[:, 0] == 0).all()
    np.testing.assert_allclose(bran[:, 1], dose.depth_kg_m2 * surface)
    np.testing.assert_allclose(bran[:, 2], 5 * dose.share)


def test_much_animal_matter_or_old_scraps_raise_the_dose(case, make_case):
    assert raised_because(case, case.kinds[0]) == ()
    meaty = make_case(replace={'mix = "household"': "mix = {meat_fish = 0.3, fruit_veg = 0.7}"})
    assert "meat" in raised_because(meaty, meaty.kinds[0])[0]
    factor = dosing(meaty, meaty.kinds[0]).factor
    assert 1.5 < factor.min() < factor.max() < 2.5
    rare = replace(case.kinds[0], opened_per_day=0.5)
    assert "longer than a day" in raised_because(case, rare)[0]


def test_a_dose_of_ones_own_is_taken_as_it_is(make_case):
    own = make_case(add='[bran]\ndose = "33 g/kg"\n')
    dose = dosing(own, own.kinds[0])
    np.testing.assert_allclose(dose.layer_kg(np.ones((own.members, 1)), 1.0), 0.033)


def test_a_canteen_lays_several_layers_a_day(make_case):
    many = make_case(replace={"people = 3": "people = 60"})
    assert layers_per_day(many, many.kinds[0]) >= 3


def test_liquid_bound_in_scraps_all_drains_in_the_end(case):
    bound = np.zeros((case.members, 400))
    bound[:, 10] = 7.0
    out = _trickle(case, bound)
    np.testing.assert_allclose(out.sum(axis=1), 7.0, rtol=1e-6)
    assert (np.diff(out[:, 10:], axis=1) <= 0).all()


def test_the_rhythm_of_draining_is_worth_the_walk_and_spares_the_sump():
    worth = book()["planning.drain.worth"].value
    assert rhythm(np.array([worth / 2.5]), 2000.0) == (3, 50)  # half of 2 L at 20 mL a day
    assert rhythm(np.array([10 * worth]), 100_000.0) == (2, 100)
    assert rhythm(np.array([300.0]), 400.0) == (1, 1)  # half of it in less than a day
    assert rhythm(np.array([20.0]), 130.0) == (3, 3)


def test_a_vessel_that_hardly_drains_is_looked_at_as_often_as_is_usual():
    usual = book()["practice.drain"]
    assert rhythm(np.array([0.0]), 2000.0) == (usual.high, None)
    assert rhythm(np.array([5.0]), 2000.0) == (usual.high, 200)


def test_bed_and_trench_worked_by_hand(case, work):
    """Nitrogen of a year over 17 g/m2; ferment over the lesser load."""
    filled = work.filled["19 L pail"]
    found = bury(case, Used(case.kinds[0], filled), work.alone(case.kinds[0]).outlets)
    ferment = np.mean([f.ferment_kg for f in filled], axis=0)
    nitrogen = np.mean([f.ferment_nitrogen_kg for f in filled], axis=0) * 1000
    yearly = case.scraps_kg[:, case.planned].sum(axis=1)
    vessels = yearly / np.mean([f.scraps_kg for f in filled], axis=0)
    trench = trench_of(case.site)
    room = 0.3 * 0.1 / (1 + case.parameters["ground.soil_per_ferment"])
    load = np.minimum(
        case.parameters["ground.load.loam"], room * case.parameters["ground.ferment_density"]
    )
    np.testing.assert_allclose(found.trench_m, ferment / load)
    by_nitrogen = vessels * nitrogen / 17
    by_spacing = vessels * ferment / load * trench.spacing
    np.testing.assert_allclose(found.area_m2, np.maximum(by_nitrogen, by_spacing))


def test_the_share_that_beds_take_is_what_each_may_be_given(case, work):
    """20 m2 without plantings: its nitrogen over that of the year."""
    found = work.burying
    share = np.minimum(20 * 17 / (found.vessels_per_year * found.nitrogen_g), 1)
    np.testing.assert_allclose(found.taken_share, share, rtol=1e-9)
    yearly = case.scraps_kg[:, case.planned].sum(axis=1)
    phosphorus = share * yearly * case.mix["P"] / case.mix.fresh_kg * 1000 / 20
    np.testing.assert_allclose(found.phosphorus_g_m2, phosphorus, rtol=1e-9)
    assert found.carried_g_m2 == pytest.approx(book()["beds.phosphorus.limit"].value)


def test_the_layers_of_each_kind_count_for_the_hours_by_its_share_of_the_scraps(make_case):
    bin_ = '[[vessel]]\nname = "120 L bin"\nvolume = "120 L"\n'
    case = make_case(members=12, replace={"people = 3": "people = 30"}, add=bin_)
    pail, large = case.kinds
    alone = [labour_of(case, {kind: 1.0}).routine_h for kind in (pail, large)]
    assert alone[0] > alone[1]
    half = labour_of(case, {pail: 0.5, large: 0.5}).routine_h
    assert half == pytest.approx(sum(alone) / 2)


def test_a_wait_stated_by_the_site_is_kept(make_case):
    own = make_case(replace={"14 days": "3 weeks"})
    assert (waits(own, np.array([own.first])) == 21).all()
