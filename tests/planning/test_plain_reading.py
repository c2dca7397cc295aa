"""What a reader holds against each other: dates and waits, layers and bran, practice and us."""

import datetime as dt
import io
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from rich.console import Console

from sourloam.evidence import book
from sourloam.planning.burying import waits
from sourloam.planning.parts.bran import usual_layer_kg
from sourloam.planning.parts.cautions import in_units, texts
from sourloam.planning.parts.filling import fill_part
from sourloam.planning.parts.liquid import DISAGREEMENT, below_usual
from sourloam.planning.parts.scraps import site_part, weighed
from sourloam.planning.parts.vessels import _verdict, chance_words
from sourloam.planning.parts.week_lines import week_lines
from sourloam.planning.parts.year import year_of
from sourloam.planning.plan import make_plan
from sourloam.report.text import plan_text
from sourloam.site import load
from sourloam.units import parse

EXAMPLES = Path(__file__).parents[2] / "examples"
PEOPLE = 'from = "people"\npeople = 3\ncapture = 0.7'
WEIGHED = 'from = "measured"\namount = "1 kg/day"'
_SPAN = re.compile(r"filled (?:on|from (\d+ \w+) to) (\d+ \w+) may")


def dated(said, before):
    """The last such day of the calendar before another."""
    day = dt.datetime.strptime(f"{said} 2024", "%d %B %Y").replace(year=before.year)
    return min((day.date(), day.replace(year=before.year - 1).date()), key=lambda d: d > before)


def test_a_date_for_planting_holds_for_the_last_day_of_the_span_it_names(work):
    case, start = work.case, work.case.date(work.case.first)
    found = [entry for entry in week_lines(work, year_of(work)) if entry.kind == "plant"]
    assert found
    for entry in found:
        last = dated(_SPAN.search(entry.text)[2], entry.date)
        day = case.first + (last - start).days
        wait = float(np.median(waits(case, np.array([day]))))
        assert (entry.date - last).days >= wait, entry


def test_layers_are_what_the_vessel_takes_in_doses_of_bran(plan):
    (layer,), (fill,) = plan.bran.per_layer, plan.fill
    layers = np.mean([season.layers.median for season in fill.by_season])
    a_year = layers * layer.mass.median / 1000 * plan.ground.vessels_per_year.median
    assert a_year == pytest.approx(plan.bran.per_year.median, rel=0.06)
    assert "A layer is a day's scraps, about" in fill.why


def test_a_day_that_would_lie_too_high_is_said_to_make_several_layers(make_case, work):
    case = make_case(replace={"people = 3": "people = 30"})
    (kind,) = case.kinds
    told = fill_part(replace(work, case=case), kind).why
    parts = int(re.search(r"a day's make (\d+), one upon the other", told)[1])
    assert parts > 1
    daily = case.scraps_kg[:, case.coming_year]
    a_day = np.median(daily.sum(axis=1) / (daily > 0).sum(axis=1))
    assert parts * np.median(usual_layer_kg(case, kind)) == pytest.approx(a_day, rel=0.01)


def test_the_known_disagreement_on_liquid_is_told_where_the_liquid_stands(plan, work):
    assert below_usual(work)
    assert DISAGREEMENT in plan.liquid.why
    differs = [rule for rule in plan.practice if rule.id == "practice.liquid_share"]
    assert [DISAGREEMENT in rule.why for rule in differs] == [True]


def test_where_as_much_drains_as_practice_says_no_disagreement_is_told(work):
    usual = book()["practice.liquid_share"].value * 10
    wet = replace(work.draining, per_kg_ml=np.full_like(work.draining.per_kg_ml, usual))
    assert not below_usual(replace(work, draining=wet))


@pytest.mark.parametrize("caution", texts(), ids=lambda caution: caution["id"])
def test_a_caution_gives_the_same_figure_in_both_kinds_of_units(caution):
    for text in (caution["text"], caution["source"]):
        for metric, us in re.findall(r"\{([^|{}]+)\|([^|{}]+)\}", text):
            dimension = _DIMENSIONS[metric.rpartition(" ")[2]]
            ours, theirs = (_ends(said, dimension) for said in (metric, us))
            assert ours == pytest.approx(theirs, rel=0.1), (metric, us)
        for system in ("metric", "us"):
            assert not re.search(r"[{}|]", in_units(text, system))
        assert not re.search(_METRIC, in_units(text, "us"))


_METRIC = r"\d (cm|mm|m|kg|g|L|mL|°C)\b"


_DIMENSIONS = {"m": "length", "cm": "length", "mm": "length", "kg": "mass", "g": "mass"}
_DIMENSIONS |= {"L": "volume", "mL": "volume", "°C": "temperature"}


def _ends(said, dimension):
    """Figures in the dimension's own unit: "5 to 7 mm" is two of them."""
    first, last, unit = re.fullmatch(r"([\d.]+)(?:(?: to |-)([\d.]+))? (.+)", said).groups()
    return [parse(f"{number} {unit}", dimension) for number in (first, last) if number]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["home", "cafe", "school", "garden"])
def test_the_text_of_every_example_follows_us_units(name):
    place = load(EXAMPLES / f"{name}.toml")
    place = place.model_copy(update={"place": place.place.model_copy(update={"units": "us"})})
    plan, out = make_plan(place, members=20, seed=1), io.StringIO()
    Console(file=out, width=120).print(plan_text(plan, "us"))
    said = " ".join(out.getvalue().split())
    for vessel in plan.site.vessels:
        said = said.replace(vessel.name, "vessel")
    assert len(said) > 20_000
    assert re.findall(f".{{0,40}}{_METRIC}", said) == []


def test_a_place_that_weighed_its_scraps_is_not_told_to_weigh(make_case, work):
    case = make_case(replace={PEOPLE: WEIGHED})
    (kind,) = work.case.kinds
    counted = work.counted[kind.vessel.name]
    fewer = replace(counted, needed_if_weighed=counted.needed - 1)
    assert "Weigh a week first" in _verdict(work, kind, fewer)
    assert weighed(replace(work, case=case))
    assert "Weigh" not in _verdict(replace(work, case=case), kind, fewer)


def test_amounts_a_day_are_related_where_days_are_without_scraps(make_case, work):
    case = make_case(replace={PEOPLE: WEIGHED}, add="\n[week]\nsat = 0\nsun = 0\n")
    first, second = site_part(replace(work, case=case)).scraps
    assert first == "measured: 1 kg on an ordinary day"
    assert re.fullmatch(
        r"together about (1|0\.99\d*) kg on a mean day with scraps; with the days without, that is "
        r"0\.7\d* kg a day over the year",
        second,
    )


@pytest.mark.parametrize(("cases", "least"), [(60, 2), (500, 1), (20, 5), (None, 1)])
def test_what_never_happened_is_told_by_the_number_of_cases(cases, least):
    assert chance_words(0.0, cases) == f"fewer than {least} in 100"
