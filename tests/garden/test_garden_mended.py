"""What a garden plan must not do: each of these once went wrong."""

import re
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from invented_garden import START, Planting, Steady, bed, garden, parameters, vessel

from sourloam import soil
from sourloam.garden import Circumstances, Finished, Hands, garden_plan
from sourloam.garden.case import needs_kg
from sourloam.garden.ceilings import phosphorus_carried_kg_m2
from sourloam.garden.crops import crop
from sourloam.garden.plan import _case

TOMATO = Planting("tomato", 80, 200, sown=False)


def planned(beds, days=(7,), wait=14.0, frozen=(), liquid=False, meat=False, **more):
    p = parameters(beds)
    finished = [vessel(f"vessel {i + 1}", d, p, with_meat=meat) for i, d in enumerate(days)]
    made = garden(beds, finished, p, frozen_weeks=frozen, liquid=liquid)
    return garden_plan(replace(made, **more), p, foresight=Steady(wait=wait))


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ({"burial_allowed": "no"}, "Bury nothing here: your rules say that burying is not allowed"),
        ({"stream_m": 9.9}, "Bury nothing in these beds: a stream, ditch or pond is 9.9 m away"),
        ({"well_m": 49.0}, "Bury nothing in these beds: a well or spring is 49 m away"),
    ],
)
def test_nothing_is_buried_where_rules_or_water_forbid_it(place, words):
    answer = planned([bed(plantings=[TOMATO])], circumstances=Circumstances(**place))
    assert answer.burials.answer.startswith(words)
    assert answer.burials.plan == ()


def test_just_far_enough_from_water_is_far_enough():
    place = Circumstances(stream_m=10.0, well_m=50.0, burial_allowed="yes")
    assert planned([bed(plantings=[TOMATO])], circumstances=place).burials.plan


def yearly(crop, start, end):
    """A planting that comes back every year, over the year before, this one and the next."""
    return [Planting(crop, start + 365 * k, end + 365 * k) for k in (-1, 0, 1)]


def test_a_crop_that_comes_back_every_year_is_carried_away_once_a_year():
    once = bed(plantings=[Planting("potato", 50, 150), Planting("leek", 180, 340)])
    often = bed(plantings=[*yearly("potato", 50, 150), *yearly("leek", 180, 340)])
    p = parameters([often])
    crops = {name: crop(name, p) for name in ("potato", "leek")}
    carried = [phosphorus_carried_kg_m2(one, crops, p) for one in (once, often)]
    assert carried[1] == pytest.approx(carried[0])


def test_phosphorus_binds_only_where_the_gardener_states_a_limit():
    def buried(**more):
        answer = planned([bed("Plot", length=6.0, plantings=[TOMATO], **more)], days=(7, 7, 7))
        return answer.beds[0], {c.id: c.text for c in answer.cautions}

    free, told = buried()
    assert free.phosphorus_limit is None
    assert free.phosphorus_buried.median > free.phosphorus_carried
    assert "Plot" in told["phosphorus"]
    bound, told = buried(phosphorus_limit_kg_m2=0.002)
    assert bound.phosphorus_buried.median <= bound.phosphorus_limit == pytest.approx(14.4)
    assert "phosphorus" not in told


def test_nitrogen_has_a_ceiling_without_any_word_of_the_gardener():
    answer = planned([bed("Plot", length=6.0, plantings=[TOMATO])], days=(7,) * 6)
    (found,) = answer.beds
    assert found.nitrogen_buried.median <= found.nitrogen_limit == pytest.approx(17 * 7.2)
    assert not answer.burials.possible
    assert "Nitrogen sets the limit" in answer.burials.answer


def test_two_sowings_of_one_crop_in_a_year_are_carried_away_twice():
    twice = bed(plantings=[Planting("lettuce", 30, 90), Planting("lettuce", 110, 170)])
    assert twice.of_a_year() == (0, 1)


def test_a_year_of_feeding_is_held_against_a_year_of_demand():
    often = bed(plantings=yearly("potato", 50, 150))
    answer = planned([often], days=(), liquid=True)
    p = parameters([often])
    one_year = needs_kg(_case(garden([often], [], p), p, Steady()))[0] * 1000
    assert answer.feeding.beds[0].nitrogen_wanted == pytest.approx(one_year)


def test_planting_is_told_from_the_last_day_of_the_week_of_burying():
    (burial,) = planned([bed(plantings=[TOMATO])], wait=20.0).burials.plan
    assert burial.plant_from == burial.week + timedelta(days=26)


def test_the_gardeners_own_wait_is_a_floor():
    (burial,) = planned([bed(plantings=[TOMATO])], wait=10.0, least_wait_days=21.0).burials.plan
    assert burial.wait.median == 21
    (burial,) = planned([bed(plantings=[TOMATO])], wait=30.0, least_wait_days=21.0).burials.plan
    assert burial.wait.median == 30


def test_busy_weeks_take_nothing():
    busy = np.zeros(52, dtype=bool)
    busy[:4] = True
    (burial,) = planned([bed(plantings=[TOMATO])], busy=busy).burials.plan
    assert (burial.week - START).days == 28


@pytest.mark.slow
def test_ground_is_asked_about_its_own_ph_and_the_vessel_about_its_own_make():
    beds = [bed("Sour", ph=5.0, plantings=[TOMATO]), bed("Sweet", ph=8.0, plantings=[TOMATO])]
    p = parameters(beds)
    plain = soil.Portion.typical(12.0, p)
    rich = replace(plain, nitrogen_kg=plain.nitrogen_kg * 2)
    made = garden(beds, [Finished("a", 7, plain), Finished("b", 7, rich)], p, weeks=4)
    case = _case(made, p, None)
    spots = {case.spot(v, b) for v in range(2) for b in range(2)}
    assert len(spots) == 4
    # In ground of pH 8 more of the ammonia is free.
    freed = {s: float(case.foresight.available_share(s, "nitrogen", 7)[0]) for s in spots}
    assert freed[case.spot(1, 0)] > 1.1 * freed[case.spot(0, 0)]
    load = case.foresight.loads[case.spot(0, 0)][-1]
    waits = [
        float(case.foresight.wait_days(case.spot(1, b), 7, "tolerant", load)[0]) for b in range(2)
    ]
    assert waits[0] < waits[1] < np.inf


def test_of_two_free_beds_the_one_that_wants_nitrogen_gets_it():
    hungry, thrifty = (
        bed(name, plantings=[Planting(crop, 80, 300, sown=False)])
        for name, crop in (("Cabbages", "cabbage"), ("Thyme", "thyme"))
    )
    for beds in ([hungry, thrifty], [thrifty, hungry]):
        (burial,) = planned(beds).burials.plan
        assert burial.bed == "Cabbages"


def test_ferment_goes_to_the_crop_that_can_still_use_it():
    """Without reward the first bed of the list would win; neither is overfed."""
    beds = [
        bed("First", 10.0, plantings=[Planting("bean", 80, 300)]),
        bed("Second", 10.0, plantings=[Planting("sweet_corn", 80, 300)]),
    ]
    answer = planned(beds, days=(7, 7, 7))
    given = {b.name: b.nitrogen_buried.median for b in answer.beds}
    assert given["Second"] > given["First"]


def test_a_crop_that_gets_far_more_than_it_wants_is_named():
    small = bed("Plot", 6.0, plantings=[Planting("thyme", 80, 300, sown=False)])
    texts = {c.id: c.text for c in planned([small]).cautions}
    assert "thyme in Plot" in texts["overfed"]
    hungry = bed("Plot", 6.0, plantings=[Planting("cabbage", 80, 300, sown=False)])
    assert "overfed" not in {c.id for c in planned([hungry]).cautions}


def test_no_liquid_is_poured_on_frozen_ground_or_near_a_stream():
    hedge = bed("Hedge", plantings=[Planting("currant", 0, 363, False)])
    frozen = planned([hedge], days=(), liquid=True, frozen=range(10, 20))
    fed = {(w.week - START).days // 7 for w in frozen.feeding.weeks if w.beds}
    assert fed == set(range(52)) - set(range(10, 20))
    near = planned([hedge], days=(), liquid=True, circumstances=Circumstances(stream_m=3.0))
    assert near.feeding.surplus.median == near.feeding.supply.median


def test_each_bed_and_month_says_what_to_pour():
    answer = planned([bed(plantings=[TOMATO])], days=(), liquid=True)
    months = answer.feeding.months
    assert {m.bed for m in months} == {"Bed"}
    total = sum(m.liquid * m.weeks for m in months)
    used = sum(b.liquid for w in answer.feeding.weeks for b in w.beds)
    assert total == pytest.approx(used)
    assert all(m.water > 20 * m.liquid for m in months)
    assert [m for m in months if m.stop is not None] != []


def test_a_week_holds_no_more_digging_than_there_are_hands():
    p = parameters([bed(plantings=[TOMATO])])
    days = (7,) * 4
    every = planned([bed(length=40.0, plantings=[TOMATO])], days=days)
    assert len({b.week for b in every.burials.plan}) == 1
    few = planned([bed(length=40.0, plantings=[TOMATO])], days=days, hands=Hands(2.0, vessel_h=0.9))
    by_week = {}
    for b in few.burials.plan:
        by_week[b.week] = by_week.get(b.week, 0.0) + b.share
    assert sum(by_week.values()) == pytest.approx(4)
    assert max(by_week.values()) * 0.9 <= 2.0
    assert p is not None


def test_ferment_may_rest_in_cold_ground_that_can_be_dug():
    beds = [bed(plantings=[Planting("tomato", 150, 260, sown=False)])]
    p = parameters(beds)
    made = garden(beds, [vessel("vessel 1", 7, p)], p)
    warm = {t: d.copy() for t, d in made.diggable.items()}
    for days in warm.values():
        days[:, :60] = False
    answer = garden_plan(replace(made, warm=warm), p, foresight=Steady(wait=90))
    assert answer.burials.plan[0].held == 0
    assert "rests until it is warmer" in {c.id: c.text for c in answer.cautions}["winter_rest"]
    assert any("too cold" in r and "rests until it is warmer" in r for r in answer.burials.refusals)
    assert not any("frozen" in r for r in answer.burials.refusals)


def test_a_raw_salad_bed_is_refused_for_rawness_everywhere_it_is_spoken_of():
    rows = [(30, 90), (110, 170), (190, 250)]
    salad = bed("Salad bed", plantings=[Planting("lettuce", a, b) for a, b in rows])
    answer = planned([salad], meat=True, wait=30.0)
    assert "is eaten raw" in answer.burials.answer
    assert "which is eaten raw" in answer.burials.refusals[0]


def test_a_bed_over_its_limit_has_had_its_fill():
    full = bed("Plot", plantings=[TOMATO], given_kg_m2=0.020)
    answer = planned([full])
    assert "Plot has had its fill: 20 g/m² of nitrogen" in answer.burials.refusals[0]
    assert answer.beds[0].closed == answer.burials.refusals[0]


def test_a_tub_of_old_soil_is_offered_with_ratio_and_time():
    answer = planned([bed(plantings=[TOMATO])])
    lines = answer.tub.lines
    assert [line.ratio for line in lines] == [2, 4, 8]
    ready = [line.ready.median or np.inf for line in lines]
    assert ready == sorted(ready, reverse=True)
    assert 4 < ready[-1] < 21
    assert "mix 12 kg of ferment with" in answer.tub.answer
    # 12 kg with eight times as much loam of 1100 kg/m3.
    assert lines[-1].soil.median == pytest.approx(12 * 8 / 1.1, rel=0.02)


def test_a_mix_with_animal_food_counts_where_the_rules_say_there_is_none():
    place = Circumstances(animal_food_barred=True)
    answer = planned([bed(plantings=[TOMATO])], meat=True, circumstances=place)
    assert "the mix counts" in {c.id: c.text for c in answer.cautions}["animal_food"]


def test_a_crop_eaten_raw_says_when_feeding_stops_whatever_the_month():
    for picked in (85, 92, 99, 106):
        salad = bed(plantings=[Planting("lettuce", 30, 150, harvest_day=picked)])
        months = planned([salad], days=(), liquid=True).feeding.months
        (stop,) = [m.stop for m in months if m.stop is not None]
        assert 0 <= (stop - START).days - (picked - 14) < 7


def test_one_figure_is_told_for_one_thing():
    beds = [bed("Plot", length=3.5, plantings=[TOMATO])]
    p = parameters(beds, members=20)
    finished = [vessel(f"vessel {day}", day, p) for day in (7, 14)]
    answer = garden_plan(garden(beds, finished, p, liquid=True), p, foresight=Steady(members=20))
    plot, fed = answer.beds[0], answer.feeding.beds[0]
    assert plot.nitrogen_buried.median <= plot.nitrogen_limit * (1 + 1e-9)
    assert fed.nitrogen_wanted == pytest.approx(plot.plantings[0].nitrogen_wanted.median)
    given = sum(planting.nitrogen_given.median for planting in plot.plantings)
    assert fed.nitrogen_from_ferment == pytest.approx(given)


def test_keeping_most_vessels_sealed_is_called_no_lasting_answer():
    answer = planned([bed("Plot", length=1.0, plantings=[TOMATO])], days=(7, 14, 21))
    (store,) = [way.text for way in answer.burials.ways_out if way.kind == "store"]
    assert " of the three vessels" in store
    assert "no answer for a second year" in store


def test_the_ceiling_on_nitrogen_says_where_it_comes_from():
    def told(**own):
        return planned([bed("Plot", length=2.0, plantings=[TOMATO], **own)]).burials.answer

    assert "European law's ceiling for manure on fields" in told()
    assert re.search(
        r"25 g/m², and with it these beds would take up to 80.% of the ferment", told()
    )
    assert "by the nitrogen_limit that you wrote" in told(nitrogen_limit_kg_m2=0.01)


def test_a_caution_on_long_keeping_claims_no_keeping_that_is_not_planned():
    answer = planned([bed("Plot", length=1.0, plantings=[TOMATO])], days=(7, 14))
    held = {c.id: c.text for c in answer.cautions}["held"]
    assert held.startswith("Whoever keeps a vessel sealed because no bed has a place for it")


def test_roots_that_stand_already_take_up_what_comes_free_once_it_is_warm():
    """Currants written year by year, ferment buried in week 10; cold until week 30."""
    currants = bed("Currants", 6.0, 3.0, plantings=yearly("currant", 0, 364))
    p = parameters([currants])
    made = garden([currants], [vessel("vessel 1", 7, p)], p)
    warm = {t: d.copy() for t, d in made.diggable.items()}
    for days in warm.values():
        days[:, : 30 * 7] = False
    standing = currants.growing(70)
    roots = round(p["beds.rooted_after"][0])

    def stand(case):
        return case.stand(0, standing, 70)

    assert stand(_case(made, p, Steady())).rooted == roots
    cold = stand(_case(replace(made, warm=warm), p, Steady()))
    assert cold.rooted == 30 * 7 - 70
    assert cold.out == 2 * 365 - 1 - 70


def test_a_crop_that_is_set_out_later_takes_up_what_comes_free_when_it_has_rooted():
    beds = [bed(plantings=[TOMATO])]
    p = parameters(beds)
    case = _case(garden(beds, [], p), p, Steady())
    roots = round(p["beds.rooted_after"][0])
    found = case.stand(0, TOMATO, 20)
    assert (found.rooted, found.out) == (60 + roots, 180)
    assert case.stand(0, None, 20) is None


def test_nobody_digs_while_nobody_is_there():
    away = np.zeros(52, dtype=bool)
    away[:5] = True
    (burial,) = planned([bed(plantings=[TOMATO])], away=away).burials.plan
    assert (burial.week - START).days == 35
    every = planned([bed(plantings=[TOMATO])], away=np.ones(52, dtype=bool), later=2).burials
    assert every.refusals == ("Nobody is there to dig in Bed whenever ferment is ready.",)
    assert "Two vessels are finished when no week is left in this year" in every.answer


def test_a_crop_of_next_year_that_ferment_feeds_counts_and_one_that_comes_back_counts_once():
    resting = bed(plantings=[Planting("sweet_corn", 400, 500)])
    often = bed(plantings=yearly("potato", 50, 150))
    assert (resting.of_a_year(), resting.of_a_year([0])) == ((), (0,))
    assert often.of_a_year() == often.of_a_year([1, 2]) == (1,)
    answer = planned([resting], days=(7,), liquid=True)
    assert answer.feeding.beds[0].nitrogen_wanted > 0
