from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_garden import Steady, bed, garden, parameters

from sourloam.evidence import book
from sourloam.garden import Planting
from sourloam.garden.ceilings import nitrogen_ceiling_kg_m2
from sourloam.garden.crops import crop, crop_evidence
from sourloam.garden.plan import _case
from sourloam.garden.trench import (
    Digging,
    Trench,
    air_load_kg_m,
    between_rows,
    lay_out,
    settlement_m,
    strips,
    trench_room_m,
    usual_trench,
)

SPADE = Trench(width_m=0.3, cover_m=0.2, zone_m=0.1, spacing_m=0.6)


def test_two_crops_cannot_stand_in_one_bed_at_once():
    with pytest.raises(ValueError, match="leek goes in before tomato is out"):
        bed(plantings=[Planting("tomato", 80, 200), Planting("leek", 150, 300)])


def test_a_planting_cannot_end_before_it_begins():
    with pytest.raises(ValueError, match="tomato: leaves the bed before it goes in"):
        Planting("tomato", 100, 90)


def test_an_unknown_texture_is_told_in_one_line():
    with pytest.raises(ValueError, match="texture 'silt', not sand, sandy_loam, loam, clay"):
        bed(texture="silt")


def test_a_bed_knows_what_grows_and_what_comes_next():
    found = bed(plantings=[Planting("leek", 150, 300), Planting("tomato", 20, 100)])
    assert found.growing(50).crop == "tomato"
    assert found.growing(120) is None
    assert found.plantings[found.next_after(50)].crop == "leek"
    assert found.next_after(200) is None


def test_a_trench_is_a_spade_and_a_half_wide_and_a_foot_deep():
    usual = usual_trench(parameters([bed()]), much_meat=False)
    assert usual.width_m == pytest.approx(0.3)
    assert usual.depth_m == pytest.approx(0.3)
    assert usual.cover_m == pytest.approx(0.2)


def test_much_meat_asks_for_more_soil_on_top():
    p = parameters([bed()])
    assert usual_trench(p, True).cover_m == pytest.approx(0.3)


def test_trenches_by_hand_in_a_bed_of_four_metres():
    # 4 m / 0.6 m = 6 trenches side by side, each across 1.2 m: 7.2 m
    found = bed(length=4.0)
    assert strips(found, SPADE) == 6
    assert trench_room_m(found, SPADE) == pytest.approx(7.2)


def test_ten_kilograms_a_metre_sink_by_about_five_centimetres():
    # 10/950/0.3 m layer x 0.75 + 0.3 m x 0.10 = 2.6 + 3.0 cm
    sunk = settlement_m(10.0, SPADE, parameters([bed()]))
    assert sunk[0] == pytest.approx(0.0563, rel=0.01)


@given(
    st.lists(st.floats(0.05, 4), min_size=1, max_size=6),
    st.floats(0.5, 3),
)
@settings(derandomize=True, max_examples=100, deadline=None)
def test_trenches_laid_out_keep_their_length_and_their_bed(lengths, width):
    plot = bed(length=60.0, width=width)
    places = lay_out(plot, SPADE, tuple(lengths))
    for length, pieces in zip(lengths, places, strict=True):
        assert sum(p.to_m - p.from_m for p in pieces) == pytest.approx(length, abs=1e-6)
        assert all(-1e-9 <= p.from_m <= p.to_m <= width + 1e-9 for p in pieces)
    taken = sorted((p.strip, p.from_m, p.to_m) for pieces in places for p in pieces)
    for (strip, _, end), (other, start, _) in pairwise(taken):
        assert strip != other or start >= end - 1e-6


def test_a_trench_fits_between_fruit_bushes_and_trees_but_not_roses_or_annuals():
    p = parameters([bed()])
    names = ("currant", "apple", "rose", "tomato", "pumpkin")
    values = book().central(crop_evidence(names))
    fits = {n for n in names if between_rows(crop(n, values), SPADE, p)}
    assert fits == {"currant", "apple"}


def test_the_mound_is_the_same_for_every_member_in_shape():
    p = parameters([bed()], members=30)
    assert settlement_m(np.full(30, 5.0), SPADE, p).shape == (30,)


def test_a_gardener_who_digs_deeper_lays_more_soil_on_top():
    p = parameters([bed()])
    own = usual_trench(p, False, Digging(width_m=0.4, depth_m=0.35))
    assert (own.width_m, own.cover_m, own.zone_m) == pytest.approx((0.4, 0.25, 0.1))
    assert usual_trench(p, False, Digging(depth_m=0.2)).cover_m == pytest.approx(0.2)
    assert usual_trench(p, False, Digging(width_m=0.8)).spacing_m == pytest.approx(0.8)


def test_an_orchard_has_one_trench_for_each_row_of_trees():
    trees = bed("Orchard", length=30.0, width=10.0, plantings=[Planting("apple", 0, 400)])
    annuals = bed("Plot", length=30.0, width=10.0, plantings=[Planting("leek", 0, 100)])
    p = parameters([trees, annuals])
    case = _case(garden([trees, annuals], [], p), p, Steady())
    assert trench_room_m(trees, case.trench_in(0)) == pytest.approx(100)
    assert trench_room_m(annuals, case.trench_in(1)) == pytest.approx(500)
    (piece,) = lay_out(trees, case.trench_in(0), (4.0,))[0]
    assert piece.middle_m == pytest.approx(1.5)


def test_what_was_given_already_counts_against_the_ceiling_on_nitrogen():
    given = bed(nitrogen_limit_kg_m2=0.017, given_kg_m2=0.005)
    assert nitrogen_ceiling_kg_m2(given, parameters([given])) == pytest.approx(0.012)
    full = bed(nitrogen_limit_kg_m2=0.017, given_kg_m2=0.02)
    assert nitrogen_ceiling_kg_m2(full, parameters([full])) == 0


def test_a_trench_twice_as_wide_gets_air_for_twice_the_ferment():
    p, wide = parameters([bed()]), Trench(width_m=0.6, cover_m=0.2, zone_m=0.1, spacing_m=0.9)
    assert air_load_kg_m("loam", wide, p) == pytest.approx(2 * air_load_kg_m("loam", SPADE, p))
