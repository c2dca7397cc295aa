"""``sourloam bran`` as people use it."""

from pathlib import Path

import pytest
from spoken import sourloam

from sourloam.bran import Answer

ROOT = Path(__file__).parents[2]
HOME = ROOT / "examples" / "home.toml"
FEW = ("--members", "20", "--start", "2026-03-02")


def answer(*arguments):
    done = sourloam("bran", "--json", *FEW, *arguments)
    assert done.returncode == 0, done.stderr
    return Answer.model_validate_json(done.stdout)


@pytest.fixture(scope="module")
def page():
    return sourloam("bran", "--want", "10 kg", "--price", "carrier=0.8", *FEW)


def test_one_page_from_weighing_to_label_within_the_columns(page):
    assert page.returncode == 0, page.stderr
    for words in (
        "To weigh out", "Day by day", "Drying", "Strength and dose", "What moves it most", "Cost",
        "Tests of strength",
        "Label", "Cautions", "BRAN-20260302", "CONTAINS WHEAT", "2026-03-02",
    ):  # fmt: skip
        assert words in page.stdout
    assert max(map(len, page.stdout.splitlines())) <= 80
    for word in (" nan", " inf ", "None"):
        assert word not in page.stdout
    assert not page.stderr


def test_us_readers_read_pounds_and_fahrenheit():
    done = sourloam("bran", "--want", "20 lb", "--units", "us", *FEW)
    assert "20 lb of inoculated wheat bran" in done.stdout
    assert "°F" in done.stdout
    assert " kg " not in done.stdout


def test_a_mix_of_carriers_with_own_sugar_inoculum_room_and_drying():
    found = answer(
        "--want", "5 kg", "--carrier", "wheat_bran=70 %", "--carrier", "coffee_chaff", "--sugar",
        "whey", "--inoculum", "batch", "--room", "28 °C", "--drying", "oven", "--oven", "95 °F",
        "--store", "5 °C", "--container", "20 L", "--moisture", "40 %",
    )  # fmt: skip
    assert found.carriers == "wheat bran and coffee chaff"
    assert [line.name for line in found.weighed][3:] == ["whey", "bran of an earlier batch"]
    assert found.souring.room_c == 28
    assert found.souring.containers is not None
    assert found.drying is not None
    assert found.drying.energy.median > 0
    assert found.moisture.median == pytest.approx(40)
    assert any("CONTAINS WHEAT (GLUTEN), MILK" in line for line in found.label)


@pytest.mark.slow
def test_the_same_seed_gives_the_same_page():
    assert answer("--want", "5 kg") == answer("--want", "5 kg")


def test_a_test_that_failed_condemns_the_lot():
    found = answer("--want", "5 kg", "--test", "sour_drop=never@20")
    assert found.tested[0].verdict == "fail"
    assert found.ages[1].advised is None


def test_a_site_file_says_how_much_and_when_to_mix_the_next():
    found = answer(HOME, "--drying", "oven", "--store", "8 °C")
    assert found.supply is not None
    assert found.wanted_kg == found.supply.need.median
    assert 0.1 < found.wanted_kg < 5
    assert found.supply.first == found.ready
    assert found.supply.start_next > found.supply.first
    assert "Mix the next batch on" in found.supply.text


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "give either --want"),
        ((str(HOME), "--want", "5 kg"), "give either --want"),
        (("--want", "5"), "give a unit"),
        (("--want", "1 g"), "--want 1 g: give"),
        (("--want", "5 kg", "--carrier", "straw"), "choose from wheat_bran"),
        (("--want", "5 kg", "--carrier", "wheat_bran=0.5"), "add up to 0.5"),
        (("--want", "5 kg", "--carrier", "sawdust", "--carrier", "sawdust"), "stands twice"),
        (("--want", "5 kg", "--room", "5 °C"), "sours between 12 and 40 °C"),
        (("--want", "5 kg", "--drying", "oven", "--oven", "60 °C"), "kills the culture"),
        (("--want", "5 kg", "--humidity", "100 %"), "less than 100 %"),
        (("--want", "5 kg", "--moisture", "60 %"), "too wet"),
        (("--want", "5 kg", "--layer", "20 kg/m2"), "spread at most"),
        (("--want", "5 kg", "--price", "gold=1"), "choose from carrier"),
        (("--want", "5 kg", "--price", "carrier"), "write it as carrier=0.80"),
        (("--want", "5 kg", "--start", "tomorrow"), "write it as 2026-03-02"),
        (("--want", "5 kg", "--test", "taste=good"), "write it as sour_drop=20@30"),
        (("--want", "5 kg", "--test", "slurry=14"), "give 2 to 10"),
        (("--want", "5 kg", "--container", "1 mL"), "--container 1 mL: give"),
    ],
)
def test_what_cannot_be_is_told_in_one_line(arguments, words, capsys):
    from sourloam.cli.app import _run

    given = arguments if "--start" in arguments else (*arguments, "--start", "2026-03-02")
    assert _run(["bran", "--members", "20", *given]) == 2
    told = capsys.readouterr().err.strip().splitlines()
    assert len(told) == 1, told
    assert words in told[0]


def test_a_lot_that_failed_its_test_is_told_so_in_place_of_dose_and_label():
    done = sourloam("bran", "--want", "5 kg", "--test", "sour_drop=never@3", *FEW)
    said = " ".join(done.stdout.split())
    assert "None of this lot may be given." in said
    assert "DO NOT USE: lot BRAN-20260302" in said
    for words in ("Strength and dose", "Best before", "test it."):
        assert words not in said


def test_cells_are_counted_in_words(page):
    assert "million" in page.stdout
    assert "10^" not in page.stdout


@pytest.mark.slow
def test_one_batch_for_several_places_is_as_much_as_they_need_together():
    one = answer(HOME, "--drying", "oven", "--store", "8 °C")
    both = answer(HOME, HOME, "--drying", "oven", "--store", "8 °C")
    assert both.supply.need.median == pytest.approx(2 * one.supply.need.median, rel=1e-3)
    assert " and " in both.supply.text
