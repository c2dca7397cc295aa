"""How warm the vessels stand."""

import numpy as np
import pytest

from sourloam.climate import (
    EVIDENCE,
    ClimateError,
    Room,
    from_mean_and_swing,
    packaged_record,
    room_temperature,
)
from sourloam.evidence import book

CENTRAL = book().central(EVIDENCE)
NORTH = from_mean_and_swing(10, 10, 200).mean_c
SOUTH = from_mean_and_swing(10, 10, 17).mean_c


def central(**changes):
    return CENTRAL.with_values({key.replace("__", "."): value for key, value in changes.items()})


def test_a_lived_in_room_keeps_what_is_stated_and_leans_a_little_to_the_season():
    found = room_temperature(Room("indoors", 20.0), NORTH, CENTRAL)
    follows = float(CENTRAL["climate.room.follows_outdoors"][0])
    assert found.shape == (1, 365)
    assert found.mean() == pytest.approx(20, abs=0.01)
    assert np.ptp(found) == pytest.approx(2 * 10 * follows, rel=0.01)
    assert abs(int(np.argmax(found[0])) - 199) <= 1


@pytest.mark.parametrize(("air", "coldest"), [(NORTH, 199 - 182), (SOUTH, 16 + 182)])
def test_a_winter_temperature_holds_at_the_coldest_time_in_either_half_of_the_earth(air, coldest):
    found = room_temperature(Room("indoors", 24.0, winter_c=16.0), air, CENTRAL)[0]
    assert found.min() == pytest.approx(16, abs=0.05)
    assert found.max() == pytest.approx(24, abs=0.05)
    assert abs(int(np.argmin(found)) - coldest) <= 1


def test_a_stated_temperature_is_off_by_about_a_degree_and_a_half():
    drawn = book().sample(EVIDENCE, 2000, np.random.default_rng(3))
    found = room_temperature(Room("indoors", 20.0), NORTH, drawn).mean(axis=1)
    assert np.quantile(found, [0.1, 0.9]) == pytest.approx([18.5, 21.5], abs=0.05)


def test_a_room_never_freezes_but_a_shed_may():
    cold = from_mean_and_swing(-10, 15, 200).mean_c
    assert room_temperature(Room("indoors", 0.5), cold, CENTRAL).min() == 0
    assert room_temperature(Room("cellar"), cold, CENTRAL).min() == 0
    assert room_temperature(Room("shed"), cold, CENTRAL).min() < -20


def test_a_shed_follows_a_step_of_the_weather_with_its_lag():
    air = np.zeros(400)
    air[100:] = 10
    lag, above = (float(CENTRAL[f"climate.shed.{key}"][0]) for key in ("lag", "above_air"))
    found = room_temperature(Room("shed"), air, CENTRAL)[0] - above
    assert found[99] == pytest.approx(0, abs=1e-12)
    steps = np.arange(1, 6)
    assert found[100:105] == pytest.approx(10 * (1 - np.exp(-steps / lag)), rel=1e-9)


def test_a_cellar_swings_less_and_later_than_the_air():
    found = room_temperature(Room("cellar"), NORTH, CENTRAL)[0]
    assert np.ptp(found) == pytest.approx(20 * 0.95 * np.exp(-1.5 / 2.241), rel=0.01)
    assert 20 < int(np.argmax(found)) - 199 < 60


def test_a_stated_cellar_has_the_stated_mean():
    found = room_temperature(Room("cellar", 14.0), NORTH, CENTRAL)
    assert found.mean() == pytest.approx(14, rel=1e-9)


def test_the_open_is_the_air_itself_for_each_member():
    air = np.tile(packaged_record("mild-oceanic").mean_c, (3, 1))
    assert np.array_equal(room_temperature(Room("outdoors"), air, CENTRAL), air)
    drawn = book().sample(EVIDENCE, 3, np.random.default_rng(3))
    assert room_temperature(Room("outdoors"), air[0], drawn).shape == air.shape


def test_members_go_with_members():
    drawn = book().sample(EVIDENCE, 3, np.random.default_rng(3))
    air = np.stack([NORTH, NORTH + 1, NORTH - 1])
    for room in (Room("indoors", 20.0, 15.0), Room("shed"), Room("cellar"), Room("outdoors")):
        together = room_temperature(room, air, drawn)
        for k in range(3):
            alone = room_temperature(room, air[k], drawn.member(k))
            assert together[k] == pytest.approx(alone[0], abs=1e-9)


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: Room("attic"), "right would be indoors"),
        (lambda: Room("indoors"), "say how warm"),
        (lambda: Room("shed", 20.0), "follows the outdoor record"),
        (lambda: Room("cellar", 12.0, 9.0), "for indoors only"),
        (lambda: room_temperature(Room("indoors", 20.0), NORTH[:300], CENTRAL), "300 days"),
    ],
)
def test_rooms_that_make_no_sense_are_refused(call, said):
    with pytest.raises(ClimateError, match=said):
        call()
