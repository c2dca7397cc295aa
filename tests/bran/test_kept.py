"""A lot in store: weaker with age, warmth and damp; tests count; nothing known keeps the usual."""

import numpy as np
import pytest

from sourloam.bran import Kept, Trial, ageing, draw_kept, today
from sourloam.evidence import book


@pytest.fixture(scope="module")
def values():
    return draw_kept(book(), 300, np.random.default_rng(3))


def days(values, **said):
    return today(ageing(Kept("wheat_bran", **{"store_c": 12.0, **said}), values), 0).good_days


def test_cool_and_dry_keeps_longer(values):
    cool, warm = days(values, store_c=5.0), days(values, store_c=28.0)
    assert cool.median > 2 * warm.median
    assert days(values, moisture=0.08).median > days(values, moisture=0.12).median


def test_a_good_count_moves_the_end_out_and_a_failed_test_ends_it(values):
    plain = Kept("wheat_bran", 12.0)
    good = Kept("wheat_bran", 12.0, tests=(Trial("plate", 8.2, day=20),))
    bad = Kept("wheat_bran", 12.0, tests=(Trial("sour_drop", np.inf, day=20),))
    before, after = (today(ageing(kept, values), 25) for kept in (plain, good))
    assert after.chance_good > before.chance_good
    failed = today(ageing(bad, values), 25)
    assert failed.condemned
    assert failed.advised_g_per_kg is None


def test_a_weak_count_raises_the_dose_up_to_the_largest(values):
    weak = Kept("wheat_bran", 12.0, tests=(Trial("plate", 6.5, day=20),))
    assert 20 < today(ageing(weak, values), 20).advised_g_per_kg <= 40


def test_of_a_bag_of_which_nothing_is_known_the_usual_dose_is_given(values):
    assert today(ageing(Kept("wheat_bran", 20.0, bought=True), values), 5).advised_g_per_kg == 20
