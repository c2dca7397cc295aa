"""Facts of a place follow from its folded log and its forecasts."""

import datetime as dt
from dataclasses import replace

import pytest

from sourloam.demo.town import town
from sourloam.ledger.fold import fold
from sourloam.programme import facts_of, read_facts
from strategies.ledger_entries import START, entry, fed

TODAY = dt.date(2026, 5, 18)


@pytest.fixture(scope="module")
def state():
    return fold(next(iter(town(TODAY, 40, seed=3))).entries, dt.UTC)


def test_kilograms_days_and_vessels_come_from_the_log(state):
    facts = facts_of(("a", "House"), state, {}, TODAY)
    assert facts.kg == pytest.approx(sum(facts.kg_by_month.values()), rel=1e-3)
    assert facts.entry_days == tuple(sorted(set(facts.entry_days)))
    assert len(facts.vessels) == len(state.vessels)
    assert facts.sound + facts.failed == sum(
        turn.ended is not None for v in state.vessels for turn in v.turns
    )
    drained = sum(turn.liquid_ml for v in state.vessels for turn in v.turns)
    assert facts.liquid_l == pytest.approx(drained / 1000)
    assert facts.bran is None or facts.bran.daily_kg[0] < facts.bran.daily_kg[2]
    assert read_facts(facts.as_json()) == facts


def test_what_is_foreseen_is_taken_over_with_its_range(state):
    filling = next(v.id for v in state.vessels if v.stage == "filling")
    said = {
        "full_on": {"low": "2026-05-20", "median": "2026-05-25", "high": None},
        "chance_of_failing_range": {"low": 0.1, "median": 0.2, "high": 0.4},
        "next_drain_on": {"low": "2026-05-18", "median": "2026-05-19", "high": "2026-05-21"},
    }
    facts = facts_of(("a", "House"), state, {filling: said}, TODAY)
    vessel = next(v for v in facts.vessels if v.id == filling)
    assert vessel.full_on == (dt.date(2026, 5, 20), dt.date(2026, 5, 25), None)
    assert vessel.failing == (0.1, 0.2, 0.4)
    assert vessel.drain_by == dt.date(2026, 5, 21)


def test_a_failed_vessel_stands_there_since_its_last_judgement():
    verdicts = [
        entry(2 + n, "judged", {"vessel": "pail-1", "verdict": verdict}, day=10 + n)
        for n, verdict in enumerate(("sound", "failed"))
    ]
    added = {"vessel": "pail-1", "name": "Pail", "spec": {"name": "pail", "volume": "15 L"}}
    state = fold([entry(1, "vessel_added", added), fed(9), *verdicts])
    (vessel,) = facts_of(("a", "House"), state, {}, TODAY).vessels
    assert (vessel.stage, vessel.since) == ("failed", (START + dt.timedelta(days=11)).date())


def test_a_sensor_that_posts_by_itself_keeps_no_rhythm():
    added = {"vessel": "pail-1", "name": "Pail", "spec": {"name": "pail", "volume": "15 L"}}
    warm = {"temperature_c": 21.0}
    heavy = {"vessel": "pail-1", "mass_kg": 9.0}
    rows = [entry(1, "vessel_added", added), fed(9)]
    posts = [
        replace(entry(3, "warmth_read", warm, day=40), by="Thermometer (Ana)"),
        replace(entry(4, "weighed", heavy, day=41), by="Scale (Ana)"),
    ]
    alone = facts_of(("a", "House"), fold(rows), {}, TODAY)
    facts = facts_of(("a", "House"), fold([*rows, *posts]), {}, TODAY)
    assert facts.entry_days == alone.entry_days
    assert facts.vessels[0].touched == alone.vessels[0].touched
    by_hand = facts_of(("a", "House"), fold([*rows, replace(posts[0], by="Ana")]), {}, TODAY)
    assert len(by_hand.entry_days) == len(alone.entry_days) + 1
