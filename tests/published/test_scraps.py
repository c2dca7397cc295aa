"""Scraps against outside figures. Each check says how well its figure is known.

*Seen*: read in the source or in its abstract. *Memory*: recalled by the writer of the science
brief and not verified; such a check shows agreement with what is commonly quoted, no more.
A miss is asserted as a miss, so that it is noticed when it goes away.
"""

import numpy as np
import pytest

from sourloam import scraps
from sourloam.evidence import book
from sourloam.scraps import CARRIERS, CLASSES


def parameters(members=None):
    ids = [key for prefix in scraps.EVIDENCE for key in book().ids(prefix)]
    if members is None:
        return book().central(ids)
    return book().sample(ids, members, np.random.default_rng(7))


def mixed(name, drawn):
    return scraps.mix(scraps.preset(name, drawn), scraps.class_table(drawn))


def of_dry(batch, amount):
    return 100 * amount / batch.dry_kg


@pytest.fixture(scope="module")
def central():
    return parameters()


@pytest.fixture(scope="module")
def sampled():
    return parameters(2000)


# --- single foods: Standard Reference 28 (seen; per 100 g)


def test_wheat_and_rice_bran_are_those_of_the_food_table(central):
    """Foods 20077 and 20060: water, protein, fat, fibre, ash in g; P, K, Ca in mg."""
    parts = ("water", "protein", "fat", "fibre", "ash", "p", "k", "ca")
    printed = {
        "wheat_bran": (9.89, 15.55, 4.25, 42.8, 5.79, 1.013, 1.182, 0.073),
        "rice_bran": (6.13, 13.35, 20.85, 21.0, 9.98, 1.677, 1.485, 0.057),
    }
    for carrier in CARRIERS:
        for part, grams in zip(parts, printed[carrier], strict=True):
            row = book()[f"scraps.{carrier}.{part}"]
            assert 100 * row.value == pytest.approx(grams, rel=2e-3), row.id


def test_a_us_cup_of_wheat_bran_weighs_58_grams(central):
    """Food 20077, household measures: 58 g in 236.588 mL."""
    loose = scraps.bran_batch(1, "wheat_bran", None, central)["loose_volume"][0]
    assert 1e3 * 236.588e-6 / loose == pytest.approx(58, rel=0.01)


# water, protein, fat, sugars, ash g; P, K, Na, Ca mg; weight in the basket
SINGLE_FOODS = {
    "dairy_egg": (
        ("cheddar 01009", 37.02, 22.87, 33.31, 0.48, 3.71, 455, 76, 653, 710, 1),
        ("whole milk 01077", 88.13, 3.15, 3.25, 5.05, 0.67, 84, 132, 43, 113, 0.5),
        ("yoghurt 01116", 87.90, 3.47, 3.25, 4.66, 0.72, 95, 155, 46, 121, 1),
        ("boiled egg 01129", 74.62, 12.58, 10.61, 1.12, 1.08, 172, 126, 124, 50, 1),
    ),
    "bread": (
        ("white 18069", 36.42, 8.85, 3.33, 5.67, 1.98, 98, 126, 490, 144, 2),
        ("whole-wheat 18075", 39.01, 12.45, 3.50, 4.34, 2.32, 212, 254, 455, 161, 1),
        ("french 18029", 33.00, 10.75, 2.42, 4.62, 1.96, 105, 117, 602, 52, 1),
        ("rye 18060", 37.30, 8.50, 3.30, 3.85, 2.50, 125, 166, 603, 73, 1),
        ("roll 18342", 28.44, 10.86, 6.47, 5.55, 2.18, 122, 139, 467, 178, 0.5),
        ("maize tortilla 18363", 45.89, 5.70, 2.85, 0.88, 0.93, 314, 186, 45, 81, 0.5),
    ),
}


@pytest.mark.parametrize("name", SINGLE_FOODS)
def test_a_class_is_the_mean_of_its_single_foods(name):
    foods = np.array([food[1:-1] for food in SINGLE_FOODS[name]])
    weights = np.array([food[-1] for food in SINGLE_FOODS[name]])
    means = weights @ foods / weights.sum()
    parts = ("water", "protein", "fat", "sugars", "ash", "p", "k", "na", "ca")
    for part, mean, scale in zip(parts, means, [100] * 5 + [1e5] * 4, strict=True):
        assert scale * book()[f"scraps.{name}.{part}"].value == pytest.approx(mean, rel=1e-3), part


def test_citrus_peel_agrees_with_an_independent_reading_of_the_same_foods():
    """Mean of orange peel, lemon peel, orange with peel, worked out apart from the tool."""
    expected = {"water": 78.8, "protein": 1.4, "fat": 0.27, "fibre": 8.6}
    for part, grams in expected.items():
        assert 100 * book()[f"scraps.citrus.{part}"].value == pytest.approx(grams, rel=0.03)
    for part, milligrams in {"p": 18, "k": 189, "ca": 122}.items():
        assert 1e5 * book()[f"scraps.citrus.{part}"].value == pytest.approx(milligrams, rel=0.03)


def test_fresh_vegetables_lie_inside_their_class():
    """Cabbage, carrot, lettuce, tomato, apple, banana (11109 ... 09040): K and protein."""
    table = {"k": (170, 320, 141, 237, 107, 358), "protein": (1.28, 0.93, 0.9, 0.88, 0.26, 1.09)}
    for part, values in table.items():
        dry = (7.82, 11.71, 4.36, 5.48, 14.44, 25.09)
        of_dry_matter = np.array(values) / np.array(dry)
        row, water = book()[f"scraps.fruit_veg.{part}"], book()["scraps.fruit_veg.water"]
        ours = row.value * (1e5 if part == "k" else 100) / (100 * (1 - water.value))
        assert of_dry_matter.min() < ours < of_dry_matter.max()
        assert ours == pytest.approx(of_dry_matter.mean(), rel=0.35)


# --- mixed household waste


def test_household_mix_is_as_wet_as_published_mixed_waste(central, sampled):
    """72.8 +/- 7.6 % (Campuzano & Gonzalez-Martinez 2016: memory); 74 % weekly and 70 % daily
    (Zhang et al. 2007: seen); 72.3 % (Banks et al. 2011: memory)."""
    batch = mixed("household", central)
    water = 100 * (batch["water"] / batch.fresh_kg)[0]
    assert abs(water - 72.8) < 7.6
    assert water == pytest.approx(74, rel=0.03)
    low, high = np.quantile(100 * mixed("household", sampled)["water"], [0.1, 0.9])
    assert low < 72.3 < high
    assert low < 74 < high
    # A miss: the drier daily samples lie outside our range. Ours is peel-led.
    assert low > 70


def test_household_nitrogen_brackets_a_year_of_collected_waste(central, sampled):
    """8.9 kg N per t of domestic food waste over 426 days (Banks et al. 2011, abstract: seen).
    Our central value is 23 % lower, the 10-90 % range holds it."""
    per_tonne = 1e3 * scraps.nitrogen_kg(mixed("household", sampled), sampled)
    low, high = np.quantile(per_tonne, [0.1, 0.9])
    assert low < 8.9 < high
    ours = 1e3 * scraps.nitrogen_kg(mixed("household", central), central)[0]
    assert ours / 8.9 == pytest.approx(0.77, abs=0.05)


def test_elements_of_the_dry_matter_agree_with_commonly_quoted_analyses(central):
    """Zhang et al. 2007, % of total solids (memory): N 3.16, P 0.52 +/- 0.08, C:N 14.8;
    Campuzano & Gonzalez-Martinez 2016 (memory): N 2.9 +/- 0.6, protein 17.7 +/- 5.5."""
    batch = mixed("household", central)
    nitrogen = scraps.nitrogen_kg(batch, central)
    assert of_dry(batch, nitrogen)[0] == pytest.approx(2.9, rel=0.08)
    assert of_dry(batch, batch["protein"])[0] == pytest.approx(17.7, rel=0.08)
    assert of_dry(batch, batch["P"])[0] == pytest.approx(0.52, abs=0.08)
    assert (scraps.carbon_kg(batch, central) / nitrogen)[0] == pytest.approx(14.8, rel=0.09)
    carbon = of_dry(batch, scraps.carbon_kg(batch, central))[0]
    assert carbon == pytest.approx(46.8, rel=0.06)


def test_misses_against_quoted_analyses_of_mixed_waste(central):
    """Three that do not agree, with the direction.

    Fat 17.5 +/- 6.6 % of solids (Campuzano, memory): ours is about half, frying fat and spreads
    have no class. Volatile solids 83-87 % (Zhang, seen): ours is higher, soil and grit of
    collected waste have no class. pH 5.1 (Fisgativa et al. 2016, seen): ours is that of fresh
    scraps, collected waste has begun to sour.
    """
    batch = mixed("household", central)
    assert of_dry(batch, batch["fat"])[0] == pytest.approx(9.2, rel=0.05)
    volatile = 100 - of_dry(batch, batch["ash"])[0]
    assert volatile == pytest.approx(92.3, abs=1)
    assert batch.ph[0] - 5.1 == pytest.approx(0.86, abs=0.15)


def test_wet_kitchen_waste_of_a_cafeteria_is_like_our_trimmings(central, sampled):
    """Ramzan et al., university cafeteria, 13 weeks (abstract: seen): moisture 85.5 +/- 5.5 %,
    volatile solids 88.2 +/- 4.6 % of solids, C:N 23.3 (19.5-28.7)."""
    batch = mixed("trimmings", central)
    assert 100 * batch["water"][0] == pytest.approx(85.5, abs=5.5)
    assert 100 - of_dry(batch, batch["ash"])[0] == pytest.approx(88.2, abs=4.6)
    ratio = (scraps.carbon_kg(batch, central) / scraps.nitrogen_kg(batch, central))[0]
    assert ratio == pytest.approx(23.3, rel=0.07)
    many = mixed("trimmings", sampled)
    spread = scraps.carbon_kg(many, sampled) / scraps.nitrogen_kg(many, sampled)
    low, high = np.quantile(spread, [0.1, 0.9])
    assert low == pytest.approx(19.5, rel=0.12)
    assert high == pytest.approx(28.7, rel=0.12)


@pytest.mark.parametrize("name", ["restaurant", "plate_waste", "school_lunch"])
def test_catering_waste_is_wetter_than_70_and_more_volatile_than_89_percent(central, name):
    """Kitchen waste of four kinds of caterers in one city, each season (abstract: seen):
    moisture above 70 %, volatile solids above 89 % of solids."""
    batch = mixed(name, central)
    assert 100 * batch["water"][0] > 70
    assert 100 - of_dry(batch, batch["ash"])[0] > 89


# --- coffee


def test_grounds_hold_the_analysed_fat_and_nitrogen():
    """Cruz et al. 2012, 50 samples (abstract: seen): fat 12.5 %, N 2.3 % of dry grounds; Puello
    Silva et al. 2018 (abstract: seen): fat 14.7, protein 10.3 %. Ours holds a quarter of tea."""
    dry = 1 - book()["scraps.coffee_tea.water"].value
    fat, protein = (book()[f"scraps.coffee_tea.{part}"] for part in ("fat", "protein"))
    assert fat.low < 0.75 * 0.125 * dry + 0.25 * 0.02 * dry < fat.high
    grounds = [0.75 * share + 0.25 * 0.25 for share in (0.103, 6.25 * 0.023)]
    assert grounds[0] < protein.value / dry < grounds[1]


# --- plate waste


def test_plate_waste_lies_in_the_range_of_restaurant_leftovers(central):
    """Carmona-Cabello et al. 2020, % of dry matter (abstract: seen): protein 18.3-23.5, starch
    16.2-29.4, fat 25.7-33.2, organic matter 27-47 % of fresh mass.
    A miss by choice: our fat is 22 %, leaner for canteens and homes, with a range that holds
    the low end of the restaurants."""
    i = CLASSES.index("plate_waste")
    row = scraps.class_table(central)
    dry = row.dry_kg[0, i]
    assert 18.3 < 100 * row["protein"][0, i] / dry < 23.5
    assert 16.2 < 100 * row["starch"][0, i] / dry < 29.4
    fat = 100 * row["fat"][0, i] / dry
    assert fat == pytest.approx(22.1, rel=0.05)
    assert 100 * book()["scraps.plate_waste.fat"].high / dry > 25.7


# --- carbon


def test_carbon_agrees_with_the_usual_factors_on_single_foods(central):
    """0.44 x carbohydrate + 0.53 x protein + 0.77 x fat, for white bread and lean meat."""
    row = scraps.class_table(central)
    for name in ("bread", "meat_fish", "starchy"):
        i = CLASSES.index(name)
        carbohydrate = sum(row[part][0, i] for part in ("sugars", "starch", "fibre", "other"))
        usual = 0.44 * carbohydrate + 0.53 * row["protein"][0, i] + 0.77 * row["fat"][0, i]
        assert scraps.carbon_kg(row, central)[0, i] == pytest.approx(usual, rel=0.02)


# --- amounts


def test_a_person_throws_away_what_the_world_and_europe_report(central):
    """79 kg/person/yr (UNEP 2024: seen), 72 (Eurostat 2022: seen); ours lies between them."""
    year = np.arange("2025-01-01", "2026-01-01", dtype="datetime64[D]")
    one = scraps.Household(1, capture=1.0)
    total = scraps.daily_mass_kg(one, scraps.Calendar(), year, central, None).sum()
    assert 72 < total < 79


def test_households_spread_as_wide_as_the_studies(sampled):
    """0.149 (Finland), 0.234 kg/person/day (Guelph): inside; 0.61 (Montreal, summer, a known
    outlier): outside our 10-90 % range, a miss. All seen."""
    low, high = np.quantile(sampled["waste.household.per_person"], [0.1, 0.9])
    assert low < 0.149 < 0.234 < high < 0.61


def test_meals_are_those_of_the_audits(central):
    """75 g a school portion (Eriksson 2017), 111 g a hospital meal (Eriksson 2020): seen."""
    day = np.array(["2025-03-03"], dtype="datetime64[D]")
    for kind, grams in (("school_lunch", 75), ("hospital_meal", 111)):
        mass = scraps.daily_mass_kg(scraps.Meals(kind, 1), scraps.Calendar(), day, central, None)
        assert 1000 * mass[0, 0] == pytest.approx(grams, rel=0.01)


# --- density


def test_loose_scraps_lie_between_the_two_factors_of_the_same_guide(central):
    """235 and 455 kg/m3 for food scraps (US EPA 2016: seen; they differ by 1.9)."""
    batch = mixed("household", central)
    density = (batch.fresh_kg / batch["loose_volume"])[0]
    assert 235 < density < 455
    assert density == pytest.approx(385, rel=0.05)
