"""The exact choice against counting out every possibility."""

from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sourloam.garden.burial import _best
from sourloam.garden.choice import choose
from sourloam.garden.problem import FAMILIES, Option, Problem, Rules

PARTS = 2


@st.composite
def problems(draw):
    vessels, beds, weeks = draw(st.integers(1, 2)), draw(st.integers(1, 2)), draw(st.integers(1, 3))
    gaps = draw(st.integers(1, 2))
    number = st.integers(1, 12)
    options = []
    for v, b, t in product(range(vessels), range(beds), range(weeks)):
        if draw(st.booleans()):
            options.append(
                Option(
                    vessel=v,
                    bed=b,
                    week=t,
                    gap=draw(st.integers(-1, gaps - 1)),
                    room_m=draw(number) / 4,
                    nitrogen_kg=draw(number) / 100,
                    phosphorus_kg=draw(number) / 500,
                    available_kg=draw(number) / 200,
                    cost=draw(number) / 7,
                    hours=draw(number) / 4,
                )
            )
    limits = {
        "nitrogen": np.array([draw(number) / 40 for _ in range(beds)]),
        "phosphorus": np.array([draw(number) / 200 for _ in range(beds)]),
        "room": np.array([draw(number) / 2 for _ in range(beds)]),
    }
    return Problem(
        options=tuple(options),
        kg=np.array([float(draw(number)) for _ in range(vessels)]),
        parts=PARTS,
        limits=limits,
        per_m2={family: np.full(beds, 0.02) for family in FAMILIES},
        need_kg=np.array([draw(number) / 100 for _ in range(gaps)]),
        surplus_weight=0.05,
        split_weight=0.4,
        reach_weight=draw(st.sampled_from([0.0, 0.02])),
        hours_a_week=draw(st.sampled_from([np.inf, 4.0])),
    )


def amount(option, family):
    return {
        "nitrogen": option.nitrogen_kg,
        "phosphorus": option.phosphorus_kg,
        "room": option.room_m,
    }[family]


def ways(problem, vessel, drop):
    """Every way to treat one vessel: None (stored) or parts by option, all in one week."""
    yield None
    mine = [(i, o) for i, o in enumerate(problem.options) if o.vessel == vessel]
    for week in {o.week for _, o in mine}:
        here = [i for i, o in mine if o.week == week]
        for parts in product(range(PARTS + 1), repeat=len(here)):
            if sum(parts) == PARTS or (drop and sum(parts) <= PARTS):
                yield dict(zip(here, parts, strict=True))
    if drop:
        yield {}


def within(problem, parts, without=()):
    for family in FAMILIES:
        if family in without:
            continue
        for b, limit in enumerate(problem.limits[family]):
            used = sum(
                n * amount(problem.options[i], family)
                for i, n in parts.items()
                if problem.options[i].bed == b
            )
            if used > limit + 1e-7:
                return False
    weeks = {o.week for o in problem.options}
    return all(
        sum(n * problem.options[i].hours for i, n in parts.items() if problem.options[i].week == w)
        <= problem.hours_a_week + 1e-7
        for w in weeks
    )


def cost(problem, parts):
    total = sum(n * problem.options[i].cost for i, n in parts.items())
    total += problem.split_weight * sum(n > 0 for n in parts.values())
    served = {o.gap for o in problem.options}
    for g, need in enumerate(problem.need_kg):
        given_kg = sum(
            n * problem.options[i].available_kg
            for i, n in parts.items()
            if problem.options[i].gap == g
        )
        total += problem.surplus_weight * 1000 * max(given_kg - need, 0)
        if g in served:
            total += problem.reach_weight * 1000 * max(need - given_kg, 0)
            total += problem.reach_weight * 1000 * max(need / 2 - given_kg, 0)
    return total


def everything(problem, drop=False):
    for chosen in product(*(ways(problem, v, drop) for v in range(len(problem.kg)))):
        parts = {i: n for way in chosen if way for i, n in way.items()}
        if within(problem, parts):
            yield chosen, parts


@given(problems())
@settings(derandomize=True, max_examples=120, deadline=None)
def test_the_cheapest_complete_plan_is_the_one_that_counting_finds(problem):
    complete = [parts for chosen, parts in everything(problem) if None not in chosen]
    found = choose(problem, Rules())
    if not complete:
        assert found is None
        return
    assert found.value == pytest.approx(min(cost(problem, p) for p in complete), abs=1e-6)
    parts = {i: int(n) for i, n in enumerate(found.parts) if n}
    assert within(problem, parts)
    assert cost(problem, parts) == pytest.approx(found.value, abs=1e-6)


@given(problems())
@settings(derandomize=True, max_examples=60, deadline=None)
def test_no_more_vessels_are_stored_than_must_be(problem):
    fewest = min(sum(way is None for way in chosen) for chosen, _ in everything(problem))
    assert choose(problem, Rules(least="stored")).stored.sum() == fewest


@given(problems())
@settings(derandomize=True, max_examples=60, deadline=None)
def test_no_more_ferment_is_left_out_than_must_be(problem):
    def left(chosen):
        return sum(
            kg * (1 - sum(way.values()) / PARTS) for kg, way in zip(problem.kg, chosen, strict=True)
        )

    least = min(left(c) for c, _ in everything(problem, drop=True) if None not in c)
    found = choose(problem, Rules(may_drop=True, least="dropped"))
    assert found.value == pytest.approx(least, abs=1e-6)


@given(problems())
@settings(derandomize=True, max_examples=40, deadline=None)
def test_the_bed_to_add_is_enough_and_a_tenth_less_is_not(problem):
    found = choose(problem, Rules(may_add=True, least="added"))
    if found is None or found.value < 1e-6:
        return

    def wider(share):
        added = found.added_m2 * share
        limits = {f: problem.limits[f] + added * problem.per_m2[f] for f in FAMILIES}
        return choose(Problem(**{**vars(problem), "limits": limits}), Rules())

    assert wider(1 + 1e-6) is not None
    assert wider(0.9) is None


def test_one_vessel_is_opened_in_one_week_only():
    options = tuple(Option(0, b, t, -1, 1.0, 0.01, 0.001, 0.0, 1.0) for b, t in ((0, 0), (1, 1)))
    limits = {"nitrogen": np.full(2, 0.01), "phosphorus": np.ones(2), "room": np.full(2, 9.0)}
    problem = Problem(
        options,
        np.array([10.0]),
        2,
        limits,
        {f: np.full(2, 0.02) for f in FAMILIES},
        np.array([1.0]),
        0.05,
        0.4,
    )
    assert choose(problem, Rules()) is None
    for family, other in combinations(FAMILIES, 2):
        freed = choose(problem, Rules(without=(family, other)))
        assert (freed is not None) == ("nitrogen" in (family, other))


def test_the_same_question_has_the_same_answer_every_time():
    rng = np.random.default_rng(4)
    options = tuple(
        Option(v, b, t, 0, 0.5, 0.02, 0.002, 0.008, 1.0)
        for v in range(4)
        for b in range(3)
        for t in range(3)
    )
    problem = Problem(
        options,
        rng.uniform(8, 12, 4),
        4,
        {"nitrogen": np.full(3, 0.2), "phosphorus": np.full(3, 0.03), "room": np.full(3, 6.0)},
        {f: np.full(3, 0.02) for f in FAMILIES},
        np.array([0.05]),
        0.05,
        0.5,
    )
    first = choose(problem, Rules())
    assert all(np.array_equal(choose(problem, Rules()).parts, first.parts) for _ in range(3))


def crowd(vessels=30, beds=10):
    options = tuple(
        Option(v, b, t, b, 0.9 + 0.01 * b, 0.019 + 0.001 * (v % 5), 0.003, 0.008, 0.1 * t)
        for v in range(vessels)
        for b in range(beds)
        for t in range(3)
    )
    limits = {
        "nitrogen": np.full(beds, 0.16),
        "phosphorus": np.full(beds, 0.025),
        "room": np.full(beds, 9.0),
    }
    per = {f: np.full(beds, 0.02) for f in FAMILIES}
    return Problem(options, np.full(vessels, 12.0), 4, limits, per, np.full(beds, 0.1), 0.05, 0.5)


def test_a_choice_cut_short_says_how_far_from_the_best_it_may_be(monkeypatch):
    import scipy.optimize as room

    def cut_short(*given, **more):
        answer = room_milp(*given, **more)
        answer.mip_dual_bound = answer.fun - 2
        return answer

    room_milp = room.milp
    monkeypatch.setattr(room, "milp", cut_short)
    found = choose(crowd(3, 2), Rules())
    assert not found.proven
    assert found.bound == pytest.approx(found.value - 2)


@pytest.mark.slow
def test_ten_beds_and_forty_vessels_are_shared_out_the_same_every_time():
    problem = crowd(40, 10)
    found = _best(problem)
    assert np.array_equal(found.choice.parts, _best(problem).choice.parts)
    assert within(problem, {i: int(n) for i, n in enumerate(found.choice.parts) if n})
    assert found.more_kg <= 0.02 * float(problem.kg.sum())


@given(problems())
@settings(derandomize=True, max_examples=15, deadline=None)
def test_vessels_alike_taken_together_are_served_as_well_as_one_by_one(problem):
    """Two of the first vessel: as one lot, and as two vessels."""
    lot = replace(problem, counts=np.array([2] + [1] * (len(problem.kg) - 1)))
    twin = [replace(o, vessel=len(problem.kg)) for o in problem.options if o.vessel == 0]
    single = replace(
        problem,
        options=problem.options + tuple(twin),
        kg=np.append(problem.kg, problem.kg[0]),
    )
    least = Rules(may_drop=True, least="dropped")
    together, apart = (choose(q, least) for q in (lot, single))
    assert together.value == pytest.approx(apart.value, abs=1e-6)
    rules = Rules(may_drop=True, most_dropped_kg=together.value, least="plain")
    together, apart = (choose(q, rules) for q in (lot, single))
    assert together.value == pytest.approx(apart.value, abs=1e-5)


def test_a_choice_that_was_finished_is_proven():
    assert choose(crowd(3, 2), Rules()).proven
