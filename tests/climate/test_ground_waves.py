"""The ground follows the air, damped and late."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from sourloam.climate import (
    ClimateError,
    Ground,
    from_mean_and_swing,
    ground_temperature_c,
    packaged_record,
    soil_temperature_c,
)
from sourloam.climate.ground import EVIDENCE
from sourloam.evidence import book

CENTRAL = book().central(EVIDENCE)
YEAR = 365 * 86400.0
DAYS = np.arange(365)
AIR = 11 + 9 * np.cos(2 * np.pi * (DAYS - 200) / 365)


@settings(derandomize=True, max_examples=40, deadline=None)
@given(st.floats(0, 3), st.floats(1e-7, 15e-7), st.integers(1, 40))
def test_a_wave_reaches_a_depth_as_the_analytical_solution_says(depth, diffusivity, times):
    """T = A exp(-z/d) cos(w t - z/d), d = sqrt(2 a / w), for waves of a year down to days."""
    w = 2 * np.pi * times / YEAR
    z = depth / np.sqrt(2 * diffusivity / w)
    seconds = DAYS * 86400.0
    exact = 5 + 8 * np.exp(-z) * np.cos(w * seconds - z)
    found = soil_temperature_c(5 + 8 * np.cos(w * seconds), depth, diffusivity)
    assert found == pytest.approx(exact, abs=1e-9)


def test_the_annual_wave_in_loam_has_the_damping_depth_of_the_textbook():
    """2.24 m for 5e-7 m2/s: the depth where 1/e of the swing is left, 58 days late."""
    found = soil_temperature_c(AIR, 2.24, 5e-7)
    assert (found.max() - found.min()) / 18 == pytest.approx(np.exp(-1), rel=2e-3)
    assert int(np.argmax(found)) - 200 == pytest.approx(58, abs=1)


def test_the_transform_agrees_with_stepping_the_heat_equation():
    """An independent way: finite differences on 16 m of soil, run until it repeats."""
    diffusivity, dz = 6e-7, 0.025
    depth = np.arange(0, 16 + dz / 2, dz)

    def surface(t):
        return 11 + 9 * np.cos(2 * np.pi * t / YEAR) + 3 * np.cos(14 * np.pi * t / YEAR)

    def rate(t, inside):
        whole = np.concatenate([[surface(t)], inside, inside[-1:]])
        return diffusivity * np.diff(whole, 2) / dz**2

    many = 6
    times = (np.arange(365) + 365 * (many - 1)) * 86400.0
    start = 11 + np.zeros(depth.size - 1)
    path = solve_ivp(rate, (0, many * YEAR), start, "LSODA", times, lband=1, uband=1, rtol=1e-6)
    for index in (8, 20, 60):
        exact = soil_temperature_c(surface(DAYS * 86400.0), depth[index], diffusivity)
        assert path.y[index - 1] == pytest.approx(exact, abs=0.01)


@settings(derandomize=True, max_examples=30, deadline=None)
@given(st.floats(0.05, 1.5), st.floats(0.1, 1.0), st.floats(2e-7, 12e-7))
def test_deeper_swings_less_and_later(depth, more, diffusivity):
    upper, lower = soil_temperature_c(AIR, [depth, depth + more], diffusivity)
    assert np.ptp(lower) < np.ptp(upper) < np.ptp(AIR)
    assert np.angle(np.fft.rfft(lower)[1]) < np.angle(np.fft.rfft(upper)[1])
    assert lower.mean() == pytest.approx(AIR.mean(), rel=1e-9)


def test_the_surface_is_the_air_itself():
    record = packaged_record("mild-oceanic").mean_c
    assert soil_temperature_c(record, 0, 5e-7) == pytest.approx(record, abs=1e-9)


def test_a_single_hot_day_reaches_a_metre_as_the_point_source_solution_says():
    """z / (2 sqrt(pi a t^3)) exp(-z^2 / 4 a t), at its greatest when t = z^2 / 6 a."""
    spike = np.zeros(8 * 365)
    spike[100] = 10
    found = soil_temperature_c(spike, 1.0, 5e-7)
    t = 1 / (6 * 5e-7)
    greatest = 1 / (2 * np.sqrt(np.pi * 5e-7 * t**3)) * np.exp(-1.5)
    assert found.max() == pytest.approx(10 * 86400 * greatest, rel=0.01)
    assert int(np.argmax(found)) - 100 == pytest.approx(t / 86400, abs=0.6)
    assert found.sum() == pytest.approx(10, rel=1e-9)


def test_members_with_their_own_depth_and_soil_are_computed_as_if_alone():
    air = np.stack([AIR, AIR + 2, AIR * 0.5])
    depth, diffusivity = np.array([0.1, 0.3, 1.0]), np.array([3e-7, 5e-7, 9e-7])
    together = soil_temperature_c(air, depth, diffusivity)
    for k in range(3):
        alone = soil_temperature_c(air[k], depth[k], diffusivity[k])
        assert together[k] == pytest.approx(alone, abs=1e-12)


def test_a_window_that_is_no_whole_year_does_not_jump_at_its_ends():
    long = np.tile(AIR, 4)
    for days in (500, 550, 700, 1000):
        part = soil_temperature_c(long[:days], 0.5, 5e-7)
        assert part.shape == (days,)
        assert part == pytest.approx(soil_temperature_c(long, 0.5, 5e-7)[:days], abs=0.1)


def test_less_than_a_year_of_air_is_refused():
    with pytest.raises(ClimateError, match="364 days"):
        soil_temperature_c(AIR[:364], 0.2, 5e-7)


@pytest.mark.parametrize(("depth", "diffusivity"), [(-0.1, 5e-7), (0.1, 0.0), (0.1, np.nan)])
def test_impossible_ground_is_refused(depth, diffusivity):
    with pytest.raises(ValueError, match="depth must be"):
        soil_temperature_c(AIR, depth, diffusivity)


def test_unknown_soils_name_the_right_ones():
    with pytest.raises(ClimateError, match="texture 'peat'; right would be sand"):
        Ground("peat")
    with pytest.raises(ClimateError, match="wetness 'damp'; right would be dry"):
        Ground("loam", "damp")


def test_dry_ground_keeps_the_seasons_out_better_than_moist():
    for texture in ("sand", "sandy_loam", "loam", "clay"):
        dry, moist = (
            np.ptp(ground_temperature_c(AIR, 0.5, Ground(texture, wet), CENTRAL))
            for wet in ("dry", "moist")
        )
        assert dry < moist


def test_a_bed_has_the_air_s_year_raised_and_lessened_as_its_rows_say():
    found = ground_temperature_c(AIR, 0.0, Ground(), CENTRAL)
    assert found.shape == (1, 365)
    above, swing = (
        float(CENTRAL[f"climate.ground.{k}"][0]) for k in ("above_air", "surface_swing")
    )
    assert found.mean() == pytest.approx(AIR.mean() + above, rel=1e-9)
    assert np.ptp(found) == pytest.approx(swing * np.ptp(AIR), rel=1e-9)


def test_half_a_year_on_the_south_has_the_north_s_ground():
    north = from_mean_and_swing(10, 8, 200).mean_c
    days = 182
    south = np.roll(north, days)
    ground = [ground_temperature_c(air, 0.28, Ground(), CENTRAL)[0] for air in (north, south)]
    assert np.roll(ground[0], days) == pytest.approx(ground[1], abs=1e-9)
