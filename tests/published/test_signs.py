"""Published descriptions of good and bad ferments are told apart.

- An article on the smell and colour of silage, 2019, hoards.com/article-26409: normal silage has
  little odour or a mild vinegar one; strong vinegar goes with few lactic bacteria, little sugar or
  a wet crop; rancid, fishy or putrid, slimy is clostridial.
- A list of symptoms of silage and their reasons, agproud.com/articles/35564: vinegar from wet,
  sugar-poor crops; heat where it was filled slowly, packed loosely, cut long or torn open; butyric
  smell from wet and sugar-poor crops; alcohol from yeasts.
- A private gardener's page, 2022, gonetoseedling.com/2022/06: yeasty or vinegar smell, an
  unchanged look and white growth are a working ferment; foul smell and coloured mould larger than
  a small coin are a failed one, from spoilt scraps, air, too little bran, wetness or liquid that
  was not drained.
- Odey and others 2018: three weeks of souring at pH 3.9 left no coliforms; at pH 5.5 and 8 they
  stayed.
- A handbook's warning quoted by a primary school: ferment in one lump in wet soil turns foul.
- A school student's trial: undiluted liquid killed 11 of 12 plants.
"""

import pytest

from sourloam.triage import diagnose

WELL = "nothing_wrong"


def share(verdict, *causes):
    return sum(one.share for one in verdict.likely if one.cause in causes)


@pytest.mark.parametrize(
    "seen",
    [["vinegar_smell"], ["vinegar_smell", "unchanged"], ["vinegar_smell", "white_bloom"]],
)
def test_a_working_ferment_as_described_is_most_likely_well(seen):
    verdict = diagnose(seen, ["rotten_smell", "green_mould"])
    assert verdict.first.cause == WELL
    assert share(verdict, WELL) > 0.75


def test_a_working_ferment_with_all_that_is_described_is_named_well():
    seen = ["vinegar_smell", "unchanged", "white_bloom"]
    absent = ["rotten_smell", "rancid_smell", "green_mould", "sharp_vinegar_smell"]
    assert diagnose([*seen, "sour_strip"], absent).well


@pytest.mark.parametrize(
    "seen",
    [
        ["rotten_smell"],
        ["rancid_smell", "slimy"],
        ["rotten_smell", "slimy", "foul_liquid"],
        ["rotten_smell", "green_mould"],
    ],
)
def test_a_failed_ferment_as_described_is_never_well(seen):
    assert share(diagnose(seen), WELL) < 0.03


def test_large_coloured_mould_alone_speaks_for_a_failure():
    assert share(diagnose(["green_mould"]), WELL) < 0.2


def test_the_reasons_that_are_told_for_foul_smell_and_mould_cover_most_of_the_chance():
    told = ("rotten_scraps", "air", "thin_bran", "weak_bran", "too_wet", "standing_liquid")
    assert share(diagnose(["rotten_smell", "green_mould"]), *told) > 0.8


def test_sharp_vinegar_comes_from_wetness_air_or_sugar_and_heat_more_than_before():
    verdict = diagnose(["sharp_vinegar_smell"])
    before = diagnose([])
    assert share(verdict, "too_wet") > 2.5 * share(before, "too_wet")
    assert share(verdict, WELL) < share(before, WELL)


def test_rancid_and_slimy_comes_from_wet_loads_protein_or_soil():
    verdict = diagnose(["rancid_smell", "slimy"])
    told = ("too_wet", "standing_liquid", "animal_food", "soil_inside", "rotten_scraps")
    assert share(verdict, *told) > 0.7


def test_heat_comes_from_air_loose_packing_and_slow_filling():
    verdict = diagnose(["warm"], ["stands_hot"])
    assert verdict.first.cause == "air"
    before = diagnose([])
    for cause in ("air", "coarse", "slow_filling"):
        assert share(verdict, cause) > 2 * share(before, cause)


def test_alcohol_speaks_for_yeasts_and_with_gas_and_sweets_is_not_called_well():
    """The chance of a yeast-led load is small beforehand; alcohol alone more than doubles it."""
    before = share(diagnose([]), "sugary")
    assert share(diagnose(["alcohol_smell"]), "sugary") > 2.5 * before
    verdict = diagnose(["alcohol_smell", "lid_bulges", "sweet_scraps"], ["warm", "stands_hot"])
    assert share(verdict, "sugary") > 20 * before
    assert not verdict.well


def test_a_strip_near_the_sour_trial_clears_and_one_near_the_others_does_not():
    assert share(diagnose(["sour_strip"]), WELL) > 0.6
    assert share(diagnose(["high_strip"]), WELL) < 0.05


def test_a_lump_in_wet_soil_turns_foul():
    verdict = diagnose(["soil_smells", "lumps_found", "water_stands"])
    assert share(verdict, "thick_lump", "waterlogged") > 0.8


def test_plants_that_died_of_unthinned_liquid_are_recognised():
    verdict = diagnose(["seedlings_die", "fed_strong", "burnt_leaves"], ["planted_early"])
    assert verdict.first.cause == "strong_liquid"
    assert share(verdict, "strong_liquid") > 0.6
