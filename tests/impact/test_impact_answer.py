"""What the answer says of the invented places, and of a log."""

import datetime as dt
import io
import re
from pathlib import Path

import invented_log
import numpy as np
import pytest
from rich.console import Console

from sourloam.evidence import book
from sourloam.impact import (
    Asked,
    Local,
    LogError,
    from_log,
    from_site,
    impact_of_log,
    impact_of_sites,
)
from sourloam.impact.claims import verdict_of
from sourloam.impact.saying import english
from sourloam.impact.summing import digits_for, figures, in_hundred
from sourloam.ledger import fold, parse_entry
from sourloam.report.impact_text import impact_text
from sourloam.site import load

EXAMPLES = Path(__file__).parents[2] / "examples"


def site(name):
    """A place that states its ground's wait, which takes long to compute and is the same here."""
    place = load(EXAMPLES / f"{name}.toml")
    ground = place.ground.model_copy(update={"wait_days": 21.0})
    return place.model_copy(update={"ground": ground})


@pytest.fixture(scope="module")
def home():
    """The place as it is."""
    return impact_of_sites([load(EXAMPLES / "home.toml")], Asked(members=200))


def measured(answer):
    return " ".join(english(said, "metric") for said in answer.kept.measured)


def ranges(answer):
    for route in answer.routes:
        yield from (route.total, route.per_tonne, route.nitrogen_to_garden)
        yield from (part.amount for part in route.parts)
        yield from (left.amount for left in route.soil_carbon)
    for one in answer.comparisons:
        yield from (one.saved, one.saved_per_tonne, one.saved_with_credits)
    yield from (claim.figure for claim in answer.claims if claim.figure)


def test_no_figure_comes_without_its_range(home):
    for one in ranges(home):
        assert one.low <= one.median <= one.high
    assert home.kept.scraps.low < home.kept.scraps.high


def test_every_part_and_claim_says_who_says_so(home):
    known = {source.id: source for source in home.sources}
    for route in home.routes:
        for part in route.parts:
            assert part.sources
            assert set(part.sources) <= set(known), part.name
    for claim in home.claims:
        assert claim.sources
        assert set(claim.sources) <= set(known), claim.id
    for source in home.sources:
        row = book()[source.id]
        assert (source.value, source.standing) == (row.value, row.standing)
        assert source.citation or source.standing != "published"
    assert [s.number for s in home.sources] == list(range(1, len(home.sources) + 1))


def test_parts_of_each_way_add_up_to_it_and_years_too(home):
    """Middles of sums are not sums of middles, so on one member's worth: nearly."""
    for route in home.routes:
        years = sum(y.amount.median for y in route.by_year)
        parts = sum(p.amount.median for p in route.parts)
        assert years == pytest.approx(route.total.median, rel=0.08)
        assert parts == pytest.approx(route.total.median, rel=0.25)


def test_the_landfill_is_worse_and_a_well_run_heap_is_not(home):
    chance = {one.id: one.chance for one in home.comparisons}
    assert chance["landfill"] > 0.97
    assert chance["well_run_heap"] < 0.3
    assert 0.1 < chance["heap"] < 0.9


def test_round_claims_are_not_supported(home):
    verdicts = {claim.id: claim.verdict for claim in home.claims}
    for id_ in ("faster", "methane", "nothing_lost", "minerals", "smell"):
        assert verdicts[id_] == "not supported", id_
    assert verdicts["climate_landfill"] == "supported"
    assert verdicts["soil_carbon"] == "cannot be told"


def test_over_twenty_years_methane_weighs_more_and_the_landfill_with_it(home):
    soon = impact_of_sites([site("home")], Asked(members=200, years=20))
    there, here = soon.route("landfill").per_tonne, home.route("landfill").per_tonne
    assert 2.3 < there.median / here.median < 79.7 / 27.0
    assert soon.provenance.methane_weight == 79.7


def test_a_report_of_the_fifth_round_is_told_as_such():
    told = impact_of_sites([site("home")], Asked(members=40, report="ar5"))
    assert (told.provenance.methane_weight, told.provenance.nitrous_weight) == (28, 265)


def test_the_same_seed_gives_the_same_answer_and_another_one_another():
    one, two, other = (
        impact_of_sites([site("home")], Asked(members=40, seed=s)) for s in (1, 1, 2)
    )
    assert one == two
    assert one.routes != other.routes


@pytest.mark.slow
def test_a_programme_is_the_sum_of_its_places():
    both = impact_of_sites([site("home"), site("school")], Asked(members=100))
    each = [impact_of_sites([site(n)], Asked(members=100)) for n in ("home", "school")]
    assert both.places == tuple(one.name for one in each)
    whole = sum(one.kept.scraps.median for one in each)
    assert both.kept.scraps.median == pytest.approx(whole, rel=0.1)
    saved = sum(one.comparisons[0].saved.median for one in each)
    assert both.comparisons[0].saved.median == pytest.approx(saved, rel=0.15)


def test_what_moves_the_saving_from_the_landfill_is_how_much_was_kept(home):
    first = home.tornadoes[0]
    assert first.drivers[0].id == "scraps.amount"
    ranked = [abs(d.at_high - d.at_low) for d in first.drivers]
    assert ranked == sorted(ranked, reverse=True)
    caught = next(d for d in first.drivers if d.id == "impact_waste.captured")
    assert caught.at_high < first.middle < caught.at_low


def test_a_landfill_with_wells_saves_less_than_one_without():
    def saved(wells):
        local = Local.model_validate({"bin": {"wells": wells}})
        return impact_of_sites([site("home")], Asked(members=60, local=local)).comparisons[0].saved

    assert saved("wells").median < 0.7 * saved("none").median


def test_money_is_told_only_in_the_persons_own_prices(home):
    assert home.money is None
    prices = {
        "currency": "ducats",
        "bin_per_tonne": 100.0,
        "bran_per_kg": 2.0,
        "collections_avoided": 4,
        "per_collection": 5.0,
    }
    local = Local.model_validate({"prices": prices})
    told = impact_of_sites([site("home")], Asked(members=60, local=local))
    lines = {line.name: line.amount for line in told.money.lines}
    assert set(lines) == {"bin, by weight", "collections not needed", "inoculated bran"}
    assert lines["collections not needed"].median == 20
    assert lines["bin, by weight"].median == pytest.approx(
        0.1 * (told.kept.scraps.median - told.kept.binned.median), rel=0.05
    )
    assert lines["inoculated bran"].median == pytest.approx(-2 * told.kept.bran.median, rel=0.03)
    assert told.money.balance.unit == "ducats"


def test_a_log_tells_what_was_really_kept():
    """Thirty layers of 1.5 kg: a third buried, a third thrown away, a third left out because its
    ferment went on a compost heap; three quarters of the liquid on plants."""
    told = impact_of_log(invented_log.state(), site("home"), Asked(members=60))
    assert told.kept.scraps.median == pytest.approx(30.0, rel=0.01)
    assert told.kept.binned.median == pytest.approx(15.0, rel=0.01)
    assert told.kept.bran.median == pytest.approx(0.8)
    assert "20 logged layers were weighed" in measured(told)
    assert "15 kg whose ferment went on a compost heap" in measured(told)
    assert (told.start, told.end) == (dt.date(2026, 1, 1), dt.date(2026, 3, 14))


def test_what_is_still_in_a_vessel_is_told():
    raw = [one for one in invented_log.raw(fates=("buried",)) if one["kind"] == "fed"]
    told = impact_of_log(fold([parse_entry(one) for one in raw]), site("home"), Asked(members=30))
    found = re.search(
        r"Still in vessels, and counted as if all goes well: ([\d.]+) kg", measured(told)
    )
    assert float(found[1]) == pytest.approx(15, rel=0.02)
    assert told.kept.drained_l is None


def test_liquid_that_was_logged_is_told_beside_the_models():
    told = impact_of_log(invented_log.state(), site("home"), Asked(members=20))
    assert told.kept.drained_l == pytest.approx(3 * 0.4)
    text = printed(told, "metric")
    assert "1.2 L drained as logged" in text
    assert "by the vessel model" in text


@pytest.mark.parametrize(
    ("chance", "members", "said"),
    [
        (1.0, 500, "more than 99 in 100"),
        (1.0, 200, "more than 98 in 100"),
        (1.0, 40, "more than 92 in 100"),
        (0.0, 20, "fewer than 15 in 100"),
        (0.0, 20000, "fewer than 1 in 100"),
        (0.88, 40, "88 in 100"),
        (0.001, 1000, "1 in 100"),
    ],
)
def test_a_chance_is_told_no_surer_than_so_many_draws_can_vouch_for(chance, members, said):
    """n draws that all agree leave up to 3/n of a chance, 95 % sure."""
    assert in_hundred(chance, members) == said


@pytest.mark.parametrize(
    ("true_in", "verdict"),
    [(180, "supported"), (179, "cannot be told"), (21, "cannot be told"), (20, "not supported")],
)
def test_verdicts_turn_at_exactly_ten_and_ninety_in_a_hundred(true_in, verdict):
    assert verdict_of(true_in / 200) == verdict


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ((1160.0, 1122.0, 1198.0), ["1160", "1120", "1200"]),
        ((240.0, 150.0, 360.0), ["240", "150", "360"]),
        ((0.0, 0.0, 93.0), ["0", "0", "93"]),
        ((1.02, 0.99, 1.13), ["1", "0.99", "1.1"]),
        ((2.04, 2.01, 2.4), ["2.04", "2.01", "2.4"]),
    ],
)
def test_a_third_figure_is_shown_only_to_tell_points_apart(points, said):
    assert [figures(x, digits_for(points)) for x in points] == said


def test_the_first_lines_are_in_the_readers_units_whatever_the_place_uses(home):
    us = printed(home, "us").partition("The same scraps on every way")[0]
    assert " lb of scraps would go into vessels" in us
    assert "lb CO2e over" in us
    assert not re.search(r"\bkg\b", us)


def test_year_by_year_every_figure_has_its_range(home):
    years = printed(home, "metric").partition("Year by year")[2].partition("Where the")[0]
    first = next(line for line in years.splitlines() if line.strip().startswith("1 "))
    assert re.search(r"\d \([\d.]+ to [\d.]+\)", first)


def printed(answer, system):
    console = Console(width=100, file=io.StringIO())
    console.print(impact_text(answer, system))
    return console.file.getvalue()


def test_liquid_that_a_log_saw_go_down_the_sink_is_lost_to_the_garden():
    p = book().sample(
        (*from_site.evidence_ids(), *from_log.evidence_ids()), 30, np.random.default_rng(1)
    )
    amounts = from_log.logged(invented_log.state(), site("home"), p, np.random.default_rng(1))
    assert amounts.liquid_used == pytest.approx(0.75)
    assert amounts.binned == pytest.approx(0.5, rel=0.05)


def test_a_log_that_never_weighed_is_less_sure_than_one_that_did():
    def width(amount):
        state = invented_log.state(fates=("buried",), amount=amount)
        kept = impact_of_log(state, site("home"), Asked(members=100)).kept.scraps
        return (kept.high - kept.low) / kept.median

    assert width({"mass_kg": 1.5}) < 0.5 * width({"volume_l": 4.0})


def test_many_weighings_on_one_scale_are_no_surer_than_the_scale():
    state = invented_log.state(fates=("buried",) * 3)
    kept = impact_of_log(state, site("home"), Asked(members=100)).kept.scraps
    assert (kept.high - kept.low) / kept.median > 0.05


def test_bran_that_nobody_logged_is_dosed_by_the_usual_rule():
    state = invented_log.state(fates=("buried",), bran=False)
    bran = impact_of_log(state, site("home"), Asked(members=60)).kept.bran
    assert 0.01 * 15 < bran.median < 0.05 * 15
    assert bran.high > 1.5 * bran.low


def test_an_empty_log_is_told_in_words():
    with pytest.raises(LogError, match="no layer"):
        impact_of_log(fold([]), site("home"))
    with pytest.raises(LogError, match="site file"):
        impact_of_log(fold([]))


@pytest.mark.parametrize(
    "wrong", [{"members": 5}, {"report": "ar4"}, {"years": 50}], ids=lambda w: next(iter(w))
)
def test_what_can_not_be_asked_is_refused(wrong):
    with pytest.raises(ValueError):
        Asked(**wrong)


def test_the_answer_can_be_read_back_from_its_json(home):
    assert type(home).model_validate_json(home.model_dump_json()) == home


def test_members_agree_that_more_carbon_makes_a_worse_landfill(drawn):
    from invented_season import season as tonne
    from invented_season import temperate

    from sourloam.impact.elsewhere import Bin, landfill
    from sourloam.impact.route import Weights

    weights = Weights("ar6", 100, 27.0, 273.0)
    lean, rich = (
        landfill(tonne(drawn, carbon_kg=c), Bin(haul_km=0), temperate(drawn), drawn, 100)
        for c in (80, 160)
    )
    assert np.allclose(rich.total(weights), 2 * lean.total(weights))
