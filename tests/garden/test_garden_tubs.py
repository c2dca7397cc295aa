"""A place without a bed, and trenches laid lighter than they must be."""

from datetime import timedelta

import numpy as np
import pytest
from invented_garden import START, Planting, Steady, bed, garden, parameters, vessel

from sourloam.garden import Hands, TubInput, garden_plan, tub_plan
from sourloam.garden.chart import garden_chart

WEEKS, DAYS = 20, 20 * 7 + 160
TOMATO = Planting("tomato", 80, 200, sown=False)


def tubbed(days=(10, 60), kg=12.0, outside=2.0):
    p = parameters([])
    return tub_plan(
        TubInput(
            name="Top flat",
            start=START,
            weeks=WEEKS,
            vessels=tuple(vessel(f"vessel {i}", d, p, kg=kg) for i, d in enumerate(days)),
            texture="loam",
            room_c=np.full((1, DAYS), 20.0),
            air_c=np.full((1, DAYS), outside),
        ),
        p,
    )


def test_without_a_bed_every_vessel_goes_through_tubs_with_its_days():
    plan = tubbed()
    first, second = plan.tubs.batches
    assert first.mixed == START + timedelta(days=10)
    assert first.ready_from == first.mixed + timedelta(days=int(first.ready.high))
    assert first.outside_from is None or first.outside_from > first.ready_from
    assert second.tubs == 1
    assert plan.beds == ()
    assert "There is no bed" in plan.burials.answer
    assert {"tub", "hands", "local"} <= {c.id for c in plan.cautions}


def test_tubs_that_stand_at_once_are_counted():
    alone, together = tubbed(days=(10, 110)), tubbed(days=(10, 10, 10))
    assert alone.tubs.at_once == 1
    assert together.tubs.at_once == 3
    assert max(together.tubs.in_use) == 3
    assert together.tubs.soil.median == pytest.approx(1.5 * alone.tubs.soil.median)


def test_a_large_vessel_fills_several_tubs():
    assert tubbed(days=(10,), kg=60.0).tubs.batches[0].tubs == 5


def test_no_vessel_no_tub():
    plan = tubbed(days=())
    assert plan.tubs is None
    assert "nothing to mix" in plan.burials.answer


def test_trenches_are_laid_at_half_the_load_where_room_and_hands_allow():
    def load(length, **more):
        beds = [bed("Plot", length=length, plantings=[TOMATO])]
        p = parameters(beds)
        made = garden(beds, [vessel("vessel 1", 7, p)], p)
        made = made if not more else type(made)(**{**vars(made), **more})
        (burial,) = garden_plan(made, p, foresight=Steady()).burials.plan
        return burial

    roomy = load(10.0)
    busy = load(10.0, hands=Hands(1.5, metre_h=1.0))
    assert roomy.load == pytest.approx(busy.load / 2)
    assert "laid thinner, 5 kg on a metre" in roomy.reason
    assert "as thick as gets air enough" in busy.reason


@pytest.mark.parametrize("narrow", [False, True])
def test_tubs_and_beds_can_be_drawn_on_a_desk_and_on_a_phone(narrow):
    beds = [bed("Plot", plantings=[TOMATO])]
    p = parameters(beds)
    dug = garden_plan(garden(beds, [vessel("one", 7, p)], p, liquid=True), p, foresight=Steady())
    for plan in (dug, tubbed()):
        spec = garden_chart(plan, system="us", narrow=narrow).to_dict()
        widths = [part.get("width", 0) for part in spec["vconcat"]]
        assert max(widths) <= (350 if narrow else 820)
    assert " ft, loam" in garden_chart(dug, system="us").to_json()
    assert " m, loam" in garden_chart(dug).to_json()
