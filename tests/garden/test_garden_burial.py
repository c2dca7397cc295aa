import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_garden import Planting, Steady, bed, garden, parameters, vessel

from sourloam.garden.options import find_options
from sourloam.garden.plan import _case, garden_plan

TOMATO = Planting("tomato", 80, 200, sown=False)
SALAD = (
    Planting("lettuce", 30, 90),
    Planting("lettuce", 110, 170),
    Planting("lettuce", 190, 250),
    Planting("radish", 270, 300),
)


def planned(beds, days=(7,), p=None, soil=None, frozen=(), **vessels):
    p = p or parameters(beds)
    finished = [vessel(f"vessel {i + 1}", d, p, **vessels) for i, d in enumerate(days)]
    return garden_plan(
        garden(beds, finished, p, frozen_weeks=frozen), p, foresight=soil or Steady()
    )


def test_a_vessel_goes_where_hungry_tomatoes_follow():
    answer = planned(
        [bed("Herbs", plantings=[Planting("thyme", 80, 360)]), bed("Sunny", plantings=[TOMATO])]
    )
    (burial,) = answer.burials.plan
    assert burial.bed == "Sunny"
    assert burial.next_crop == "tomato"


def test_a_vessel_goes_in_as_soon_as_it_is_finished_and_the_bed_is_free():
    (burial,) = planned([bed(plantings=[TOMATO])], days=(10,)).burials.plan
    assert burial.held == 4
    assert burial.week.isoformat() == "2026-03-15"


def test_it_waits_until_the_crop_is_out():
    answer = planned([bed(plantings=[Planting("kale", 0, 60), Planting("kale", 120, 200)])])
    assert answer.burials.plan[0].week.isoformat() == "2026-05-03"


def test_the_wait_must_be_over_before_the_next_crop_goes_in():
    beds = [bed(plantings=[Planting("kale", 0, 60), Planting("kale", 80, 300)])]
    assert planned(beds, soil=Steady(wait=11)).burials.plan[0].week.isoformat() == "2026-05-03"
    # Buried on the last day of that week, day 69, twelve days end on day 81.
    assert planned(beds, soil=Steady(wait=12)).burials.plan == ()


def test_a_bed_just_too_small_for_a_vessel_takes_most_of_it():
    answer = planned([bed("Plot", length=3.5, plantings=[TOMATO])])
    (burial,) = answer.burials.plan
    assert burial.share == pytest.approx(0.875)
    assert answer.burials.left_over[0].mass == pytest.approx(1.5)
    assert "mix the rest into a tub of soil" in answer.burials.answer


def test_currants_take_ferment_with_meat_only_long_before_the_stated_picking():
    def bushes(harvest):
        crop = Planting("currant", 0, 363, False, harvest_day=harvest)
        return planned([bed("Currants", plantings=[crop])], with_meat=True).burials

    assert bushes(150).plan[0].week.isoformat() == "2026-03-08"
    assert bushes(90).plan == ()
    assert "Say when its harvest begins" in bushes(None).refusals[0]


def test_a_bed_too_shallow_for_cover_is_refused_in_words():
    answer = planned([bed("Roof box", depth=0.2, plantings=[TOMATO])])
    assert answer.burials.stored == ("vessel 1",)
    assert "Roof box has 20 cm of loose soil; a trench needs 30 cm" in answer.burials.refusals[0]


def test_fruit_bushes_take_ferment_between_their_rows():
    bushes = bed("Currants", plantings=[Planting("currant", 0, 363, sown=False)])
    (burial,) = planned([bushes]).burials.plan
    assert "between the rows of currant" in burial.reason


def test_a_garden_too_small_says_so_and_what_would_help():
    answer = planned([bed("Plot", length=2.0, plantings=[TOMATO])], days=(7, 14, 21, 200))
    found = answer.burials
    assert not found.possible
    assert "Not all of it finds a place" in found.answer
    assert "set the limit" in found.answer
    ways = {w.kind: w for w in found.ways_out}
    assert ways["more bed"].amount > 0
    assert ways["less ferment"].amount > 0
    assert ways["store"].amount >= 2
    buried = sum(b.mass.median for b in found.plan)
    assert buried == pytest.approx(48 - ways["less ferment"].amount)
    assert buried > 0


def test_the_bed_that_it_asks_for_is_enough():
    p = parameters([bed(plantings=[TOMATO])])
    short = planned([bed("Plot", length=2.0, plantings=[TOMATO])], days=(7, 14, 21), p=p)
    extra = next(w.amount for w in short.burials.ways_out if w.kind == "more bed")
    grown = planned(
        [bed("Plot", length=2.0 + extra / 1.2, plantings=[TOMATO])], days=(7, 14, 21), p=p
    )
    assert grown.burials.possible
    less = planned(
        [bed("Plot", length=2.0 + extra * 0.9 / 1.2, plantings=[TOMATO])], days=(7, 14, 21), p=p
    )
    assert not less.burials.possible


def test_a_frozen_winter_holds_vessels_and_says_until_when():
    beds = [bed("Plot", length=20.0, plantings=[Planting("tomato", 150, 300, False)])]
    answer = planned(beds, days=(7,), frozen=range(0, 10))
    (burial,) = answer.burials.plan
    assert burial.held == 63
    assert "between 1 March 2026 and 9 May 2026" in answer.burials.refusals[0]
    assert "Keep vessel 1 sealed and frost-free" in answer.burials.refusals[0]


def test_ground_frozen_all_the_time_refuses_every_bed():
    answer = planned([bed("Plot", plantings=[TOMATO])], frozen=range(52))
    assert answer.burials.plan == ()
    assert any("frozen in every week" in r for r in answer.burials.refusals)
    assert "No bed can take vessel 1 in any week" in answer.burials.answer


def test_a_sandy_salted_bed_refuses_beans_and_takes_beetroot():
    def salted(crop):
        return bed("Shore", texture="sand", ece_ds_m=2.5, plantings=[Planting(crop, 80, 350)])

    refused = planned([salted("bean")])
    assert refused.burials.plan == ()
    words = " ".join(refused.burials.refusals)
    assert "Shore is sand and already at 2.5 dS/m of salt" in words
    assert "below 90 % of its yield" in words
    assert planned([salted("beetroot")]).burials.possible


def test_salt_makes_the_trench_longer_before_a_tender_crop():
    def metres(crop):
        beds = [bed(length=40.0, plantings=[Planting(crop, 80, 350)])]
        return planned(beds, soil=Steady(salt=0.6)).burials.plan[0].length

    assert metres("bean") > 1.5 * metres("beetroot")


def test_a_raw_salad_bed_takes_no_ferment_with_meat_and_says_why():
    answer = planned([bed("Salad", plantings=SALAD)], with_meat=True)
    assert answer.burials.plan == ()
    words = " ".join(answer.burials.refusals)
    assert "Salad grows" in words
    assert "eaten raw" in words
    assert "keep 120 days between burying and picking" in words


def test_a_raw_salad_bed_takes_plant_scraps_with_a_caution():
    answer = planned([bed("Salad", plantings=SALAD)], with_meat=False, kg=4.0)
    assert answer.burials.possible
    assert "raw" in [c.id for c in answer.cautions]


def test_a_bed_refused_for_meat_leaves_the_vessel_to_another_bed():
    answer = planned(
        [bed("Salad", plantings=SALAD), bed("Plot", plantings=[TOMATO])], with_meat=True
    )
    (burial,) = answer.burials.plan
    assert burial.bed == "Plot"
    assert any(line.startswith("Salad: ") for line in burial.elsewhere)


@st.composite
def gardens(draw):
    beds = []
    for i in range(draw(st.integers(1, 3))):
        start = draw(st.integers(20, 200))
        end = start + draw(st.integers(30, 150))
        crops = [
            Planting(draw(st.sampled_from(["tomato", "kale", "bean", "beetroot"])), start, end)
        ]
        if end < 300 and draw(st.booleans()):
            crops.append(Planting("leek", end + draw(st.integers(1, 30)), 363))
        beds.append(
            bed(
                f"Bed {i}",
                length=draw(st.floats(2, 12)),
                texture=draw(st.sampled_from(["sand", "loam", "clay"])),
                plantings=crops,
                nitrogen_limit_kg_m2=draw(st.sampled_from([None, 0.01, 0.025])),
                phosphorus_limit_kg_m2=draw(st.sampled_from([None, 0.0022, 0.005])),
            )
        )
    days = sorted(draw(st.lists(st.integers(0, 300), min_size=1, max_size=4)))
    frozen = range(draw(st.integers(0, 12)))
    return beds, days, frozen, draw(st.floats(5, 60))


@given(gardens())
@settings(derandomize=True, max_examples=25, deadline=None)
def test_no_bed_is_ever_given_more_than_it_may_take(made):
    beds, days, frozen, wait = made
    answer = planned(beds, days=days, frozen=frozen, soil=Steady(wait=wait))
    for found in answer.beds:
        assert found.nitrogen_buried.median <= found.nitrogen_limit * (1 + 1e-6)
        if found.phosphorus_limit is not None:
            assert found.phosphorus_buried.median <= found.phosphorus_limit * (1 + 1e-6)
        assert found.trench_used <= found.trench_room * (1 + 1e-6)
    for burial in answer.burials.plan:
        there = next(b for b in beds if b.name == burial.bed)
        day = (burial.week - answer.start).days
        assert day // 7 not in frozen
        assert there.growing(day) is None
        following = there.next_after(day)
        if following is not None:
            assert day + wait <= there.plantings[following].start_day
    placed = {b.vessel for b in answer.burials.plan}
    for name in placed:
        parts = [b for b in answer.burials.plan if b.vessel == name]
        left = sum(x.mass for x in answer.burials.left_over if x.vessel == name)
        assert sum(b.share for b in parts) == pytest.approx(1 - left / 12)
        assert len({b.week for b in parts}) == 1
    assert len(placed) + len(answer.burials.stored) == len(days)
    assert answer.burials.possible == (not answer.burials.stored and not answer.burials.left_over)


@given(gardens(), st.floats(1.1, 2))
@settings(derandomize=True, max_examples=12, deadline=None)
def test_longer_beds_never_bury_less(made, factor):
    beds, days, frozen, wait = made

    def buried_kg(scale):
        wider = [
            bed(
                b.name,
                b.length_m * scale,
                b.width_m,
                b.texture,
                b.plantings,
                nitrogen_limit_kg_m2=b.nitrogen_limit_kg_m2,
                phosphorus_limit_kg_m2=b.phosphorus_limit_kg_m2,
            )
            for b in beds
        ]
        answer = planned(wider, days=days, frozen=frozen, soil=Steady(wait=wait))
        return sum(b.mass.median for b in answer.burials.plan)

    assert buried_kg(factor) >= buried_kg(1.0) - 1e-6


@given(gardens())
@settings(derandomize=True, max_examples=12, deadline=None)
def test_weeks_left_out_of_the_choice_would_not_have_been_better(made):
    """The search drops later weeks of the same free time; keeping them all changes nothing."""
    from sourloam.garden import options as room
    from sourloam.garden.burial import pose
    from sourloam.garden.choice import choose
    from sourloam.garden.problem import Rules

    beds, days, frozen, wait = made
    p = parameters(beds)
    finished = [vessel(f"vessel {i}", d, p) for i, d in enumerate(days)]
    case = _case(garden(beds, finished, p, frozen_weeks=frozen), p, Steady(wait=wait))
    few, _ = find_options(case)
    every = [
        found
        for v, one in enumerate(case.vessels)
        for week in range(-(-one.ready_day // 7), 52)
        for b in range(len(beds))
        if isinstance(found := room._look(room.Look(case, v, b, week)), room.Offer)
    ]
    assert len(few) <= len(every)
    short, long = (choose(pose(case, offers), Rules()) for offers in (few, every))
    assert (short is None) == (long is None)
    if short is not None:
        assert short.value == pytest.approx(long.value, abs=1e-6)


def test_no_vessel_waits_longer_than_a_long_winter():
    beds = [bed("Plot", plantings=[Planting("kale", 0, 240)])]
    assert planned(beds, days=(7,)).burials.stored == ("vessel 1",)
    assert planned(beds, days=(60,)).burials.plan[0].held == 185


def test_nothing_finished_gives_nothing_to_bury():
    answer = planned([bed(plantings=[TOMATO])], days=())
    assert answer.burials.possible
    assert "nothing to bury" in answer.burials.answer


def test_an_endless_wait_is_told_in_words_and_never_as_a_number():
    answer = planned([bed("Plot", plantings=[TOMATO])], soil=Steady(wait=np.inf))
    assert not re.search(r"\b(inf|nan|infinity)\b", answer.model_dump_json().lower())
    assert answer.burials.plan == () or answer.burials.plan[0].plant_from is None
