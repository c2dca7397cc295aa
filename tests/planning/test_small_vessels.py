"""Kinds that are full too soon are ruled out; what a site leaves unsaid differs by member."""

from dataclasses import replace

import numpy as np
import pytest

from sourloam import vessel
from sourloam.evidence import book
from sourloam.planning import filling
from sourloam.planning.fitting import full_too_soon
from sourloam.planning.plan import make_plan

BIN = '\n[[vessel]]\nname = "120 L bin"\nvolume = "120 L"\nowned = 1\nmost = 60\n'


@pytest.fixture(scope="module")
def canteen(make_site):
    return make_plan(make_site(replace={"people = 3": "people = 60"}, add=BIN), members=20, seed=2)


def test_a_pail_that_a_day_fills_is_ruled_out_in_one_sentence(canteen):
    (small,) = canteen.vessels.ruled_out
    assert small.vessel == "19 L pail"
    assert small.owned == 2
    assert small.days.median < book()["planning.least_fill"].value
    assert small.why.startswith("Too small here: it takes about 1")
    assert small.why.count(". ") == 0
    assert "ruled out if full in less than 2 days" in small.why
    assert "a day with scraps brings 8" in small.why


def test_what_is_ruled_out_is_neither_tabled_nor_counted(canteen):
    assert [option.vessel for option in canteen.vessels.options] == ["120 L bin"]
    assert [fill.vessel for fill in canteen.fill] == ["120 L bin"]
    assert [layer.vessel for layer in canteen.bran.per_layer] == ["120 L bin"]
    assert canteen.vessels.owned_together.vessels == ("120 L bin",)
    assert "ruled out as too small are not counted" in canteen.vessels.owned_together.verdict


def test_what_is_ruled_out_still_stands_in_the_case(canteen):
    assert [kind.name for kind in canteen.site.vessels] == ["19 L pail", "120 L bin"]


def test_the_only_kind_is_never_ruled_out(make_site):
    site = make_site(replace={"people = 3": "people = 60"}, add="")
    plan = make_plan(site, members=20, seed=2)
    assert plan.vessels.ruled_out == ()
    assert plan.vessels.options[0].vessel == "19 L pail"


def test_full_too_soon_is_judged_by_the_middle_member(case):
    filled = filling.fill(case, case.kinds[0], case.seasons[0])
    least = book()["planning.least_fill"].value
    assert not full_too_soon(filled)
    assert full_too_soon(replace(filled, full_day=np.full(case.members, least - 0.01)))
    few = np.full(case.members, 10.0)
    few[: case.members // 2 - 1] = 0.5
    assert not full_too_soon(replace(filled, full_day=few))


def test_a_plate_that_is_not_stated_differs_between_members(case, make_case):
    assert not case.kinds[0].plate_known
    assert not case.kinds[0].opened_known
    drawn = case.parameters["site.vessel.plate_mass"]
    row = book()["site.vessel.plate_mass"]
    assert row.low <= drawn.min() < drawn.max() <= row.high
    told = {'volume = "19 L"': 'volume = "19 L"\nplate = "2 kg"\nopened_per_day = 2'}
    (stated,) = make_case(replace=told).kinds
    assert stated.plate_known
    assert stated.opened_known
    assert stated.vessel.plate_mass_kg == 2


def test_a_heavier_plate_packs_more_into_the_same_vessel(case):
    kind, begin = case.kinds[0], np.full(case.members, case.first)

    def taken(plate_kg):
        plates = {"site.vessel.plate_mass": plate_kg}
        changed = replace(case, parameters=case.parameters.with_values(plates))
        return filling.fill_from(changed, kind, "spring", begin).scraps_kg

    known = replace(case, kinds=(replace(kind, plate_known=True),))
    usual = filling.fill_from(known, known.kinds[0], "spring", begin).scraps_kg
    np.testing.assert_allclose(taken(kind.vessel.plate_mass_kg), usual, rtol=1e-12)
    assert (taken(20.0) >= usual * (1 - 1e-9)).all()
    assert np.mean(taken(20.0) / usual) > 1.02


def test_each_member_has_the_plate_and_the_openings_it_was_given(case):
    kind, few = case.kinds[0], case.pick(np.array([0, 0]))
    offer = filling.offers(few, kind, np.full(2, few.first))

    def run(plate_kg, openings):
        how = vessel.Settings(openings_per_layer=openings, plate_kg=plate_kg)
        return vessel.run(kind.vessel, offer.feeding, offer.temperature_c, few.parameters, how)

    both = run(np.array([0.0, 30.0]), np.array([0.2, 4.0]))
    apart = [run(plate, often) for plate, often in ((0.0, 0.2), (30.0, 4.0))]
    for field in ("fed_kg", "oxygen_kg", "layers_taken"):
        together = getattr(both, field)
        np.testing.assert_allclose(
            together, [getattr(one, field)[i] for i, one in enumerate(apart)]
        )
    assert both.fed_kg[1] >= both.fed_kg[0]
    assert both.oxygen_kg[1] > both.oxygen_kg[0]
