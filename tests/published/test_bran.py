"""Inoculated bran against printed figures.

No isotherm, drying series or storage series of soured, dried bran was found; these are of wheat,
of wheat mill feed, and of lactic bacteria dried by other ways. Where ours lies outside, the test
is marked as a miss and must stay one.
"""

import numpy as np
import pytest

from sourloam.bran import EVIDENCE, Case, Drying, Mixture, Wish, draw, make_batch
from sourloam.bran.drying import dried
from sourloam.bran.keeping import weekly_loss
from sourloam.bran.measures import cups
from sourloam.bran.sorption import balance_moisture, wheat_moisture
from sourloam.bran.water import water_to_reach_kg
from sourloam.evidence import book
from sourloam.scraps import CARRIERS

ONE = np.ones(1)
GAS_CONSTANT = 8.314


@pytest.fixture(scope="module")
def usual():
    ids = dict.fromkeys(key for prefix in EVIDENCE for key in book().ids(prefix))
    return book().central(ids)


@pytest.fixture(scope="module")
def drawn():
    return draw(book(), 1000, np.random.default_rng(1))


def between(values, low=0.1, high=0.9):
    return np.quantile(values, (low, high))


# --- isotherm


@pytest.mark.parametrize(
    ("humidity", "warm", "moisture"),
    [
        (0.71, 25.0, 0.140),  # Adams and Moss, Food Microbiology, 5.5
        (0.50, 32.2, 0.108),  # extension guide to soft red winter wheat, beside its table 6
        (0.65, 15.6, 0.132),  # a grain-storage adviser's answer, 60 °F
        (0.65, -1.1, 0.141),  # the same, 30 °F
        (0.65, 25.3, 0.130),  # the same, 75 to 80 °F
    ],
)
def test_wheat_in_balance_with_air_by_printed_points(humidity, warm, moisture, usual):
    """The equation alone reads up to a point high; with the shift, half a point. The shift was
    made from the first two points: the other three are independent of it."""
    bare = wheat_moisture(humidity, warm, usual)[0]
    assert 0.0 < bare - moisture < 0.0101
    assert balance_moisture(humidity, warm, ONE, usual)[0] == pytest.approx(moisture, abs=0.0051)


def test_wheat_mill_feed_at_13_to_13_5_percent_takes_up_water_above_65_percent_humidity(usual):
    """Kansas State University, Cattlemen's Day 1998, report 804: pelleted wheat middlings of
    summer, in typical summer warmth (27 °C taken here). The feed nearest to bran with a figure."""
    assert 0.130 <= balance_moisture(0.65, 27, ONE, usual)[0] <= 0.135


# --- moisture balance


@pytest.mark.parametrize(("litres_per_kg", "gives"), [(0.52, 0.421), (1.0, 0.56), (0.55, 0.432)])
def test_what_recipes_in_circulation_really_give(litres_per_kg, gives):
    """A teaching page of 2024 (US cup to a pound), a gardening site of 2018 (twenty cups to ten
    pounds), a farm's page of 2016 (2.5 L to 4.5 kg); bran at 12 % moisture."""
    assert water_to_reach_kg(gives, 1.0, 0.12) == pytest.approx(litres_per_kg, rel=0.01)


@pytest.mark.xfail(strict=True, reason="a miss of the recipe's: its own amounts give 42 %")
def test_the_recipe_that_says_about_30_percent():
    assert water_to_reach_kg(0.30, 1.0, 0.12) == pytest.approx(0.52, rel=0.1)


# --- spoons and cups


@pytest.mark.parametrize(("carrier", "grams"), [("wheat_bran", 58), ("rice_bran", 118)])
def test_a_us_cup_of_crude_bran_weighs_what_the_food_table_says(carrier, grams):
    """USDA SR 28, foods 20077 and 20060. For rice bran our density is the mean of that and of
    FAO's 320-330 kg/m3: it lies between."""
    assert carrier in CARRIERS
    row = book()[f"scraps.{carrier}.density"]
    ours = 1000 / cups(1.0, row.value, "us_cup")
    assert ours == pytest.approx(grams, rel=0.01 if carrier == "wheat_bran" else 0.21)


# --- drying


def test_a_thin_layer_turned_daily_dries_in_a_few_days(drawn):
    """A handbook of 2014 (chapter 4, excerpt): air-dry in a thin layer, turn daily, a few days."""
    how = Drying("air", 21, 0.45)
    some = np.ones(drawn.members)
    found = dried(how, 0.4 * some, 0.12 * some, some, drawn).days
    low, high = between(found)
    assert 2 <= np.median(found) <= 4
    assert low > 0.7
    assert high < 8


# --- strength


def test_a_home_made_culture_on_a_carrier_holds_ten_million_cells_a_gram(drawn):
    """Hong Duc University: 1.02e7 lactic bacteria a gram in the finished product."""
    case = Case(
        Wish(5, Mixture({"rice_bran": 1.0}), inoculum="serum", cells=7.93),
        25,
        Drying("oven", 25, 0.5),
        20,
    )
    packed = make_batch(case, drawn).strength[:, 0]
    assert np.median(packed) == pytest.approx(np.log10(1.02e7), abs=0.3)


def test_half_lives_of_a_freeze_dried_culture_give_the_effect_of_warmth(usual):
    """Achour et al. 2001: 43 d at 4 °C, 7 d at 25 °C; hence 59.4 kJ/mol and 2.37 for 10 degrees.
    The source of our row: consistent, not independent."""
    fast, slow = (7 * np.log10(2) / days for days in (7, 43))
    energy = GAS_CONSTANT * np.log(fast / slow) / (1 / 277.15 - 1 / 298.15)
    assert energy == pytest.approx(59_400, rel=0.005)
    assert (fast / slow) ** (10 / 21) == pytest.approx(
        usual["bran_keeping.store.warmer"][0], rel=0.02
    )


def test_lactic_bacteria_on_dried_rice_bran_through_102_days(drawn):
    """A conference paper of 2025: 9.40 log cfu/g, 25 °C, still above 7 after 102 days; the source
    of our row with others: consistent, not independent. Its activity, not stated, is taken 0.3."""
    left = 9.40 - weekly_loss(25, 0.3, drawn) * 102 / 7
    low, high = between(left)
    assert low < 7 < high
    assert np.median(left) == pytest.approx(7.2, abs=0.25)


@pytest.mark.parametrize("end", [1.1, 2.25])
def test_lactobacilli_coated_on_dry_food_at_30_degrees_and_50_percent_humidity(end, drawn):
    """Min et al. 2017 (abstract), kept back from all rows: from 5 to 7 log cfu/g, after four weeks
    a quarter and half of the 4.5 that another species kept: 1.1 (L. plantarum) and 2.25 (L.
    acidophilus). Losses of 0.69 to 1.5 a week against ours of 0.15 to 2.5."""
    lost = np.array([5 - end, 7 - end]) / 4
    ours = weekly_loss(30, 0.5, drawn)
    low, high = between(ours)
    assert low < lost.min()
    assert lost.max() < high
    assert lost.min() * 0.7 < np.median(ours) < lost.max()


@pytest.mark.xfail(strict=True, reason="a miss: ours loses 0.04 a week, the coated cells 0.05-0.8")
@pytest.mark.parametrize(("start", "end"), [(6.0, 4.5), (6.0, 3.8)])
def test_lactobacilli_coated_on_wheat_bran_at_20_degrees_and_20_percent_humidity(start, end, drawn):
    """The same: 4.2 to 4.8 (L. plantarum) and 3.7 to 3.9 (L. acidophilus) after four weeks on
    wheat bran and oats; the middle of the starting range is taken. Cells coated on, not grown in
    and dried with their carrier, die faster than our model of very dry bran says; a third
    species lost next to nothing."""
    ours = weekly_loss(20, 0.2, drawn)
    low, high = between(ours)
    assert low <= (start - end) / 4 <= high


@pytest.mark.parametrize(("warm", "per_day"), [(30, 1.79e-2), (4, 7.45e-4)])
def test_the_best_protected_freeze_dried_culture_lies_at_our_better_end(warm, per_day, drawn):
    """Int. Food Res. J. 24(2):787-794, 2017 (abstract), Lactobacillus plantarum with protein and
    trehalose, 84 days at 30 °C and 168 days at 4 °C; activity not stated, 0.2 taken. At 4 °C it
    lies just below the range that holds eight in ten of ours."""
    published = per_day * 7 / np.log(10)
    best, middle = between(weekly_loss(warm, 0.2, drawn), 0.03, 0.5)
    assert best <= published <= middle


def test_plantarum_dried_in_a_fluid_bed_falls_below_a_tenth_in_a_year_at_8_degrees(drawn):
    """Miecznikowski and Lenart (abstract): below 10 % left after twelve months; not used for the
    rows of keeping."""
    lost = weekly_loss(8, 0.3, drawn) * 52
    assert np.median(lost) > 1
    assert between(lost)[0] < 1
