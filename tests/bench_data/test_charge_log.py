"""What is computed from a charge: against the formulas of the package and against charges whose answer is known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.bench.charge_log import charge_log, running_median
from lidoff.bench.log_power import Flow
from lidoff.bench.log_samples import Samples
from lidoff.engineering.sampled_energy import sampled_energy
from lidoff.engineering.sampled_peak import sampled_peak

STEPS = st.lists(st.floats(0.01, 100.0), min_size=4, max_size=60)


def flow(times: list[float], power: list[float], gap_ratio: float = 5.0, **values: list[float]) -> Flow:
    """A log as the earlier steps make it."""
    moments = np.array(times, dtype=float)
    intervals = np.diff(moments)
    is_gap = intervals > gap_ratio * np.median(intervals)
    lines = np.arange(len(moments)) + 2
    columns = {name: np.array(column, dtype=float) for name, column in values.items()}
    samples = Samples(moments, columns, lines, ~is_gap, float(np.median(intervals)), float(intervals[is_gap].sum()))
    return Flow(samples, np.array(power, dtype=float), "power")


@given(STEPS, st.data())
def test_energy_is_that_of_the_formula(steps, data):
    times = np.cumsum([0.0, *steps]).tolist()
    power = data.draw(st.lists(st.floats(0, 240), min_size=len(times), max_size=len(times)))
    expected = sampled_energy(times, power)
    found = charge_log(flow(times, power), 1)
    assert found.energy == pytest.approx(expected.energy, rel=1e-9, abs=1e-6)
    assert found.gap_s == pytest.approx(expected.gap_time, abs=1e-9)
    assert found.covered_s + found.gap_s == pytest.approx(found.length_s, rel=1e-9)


@given(st.lists(st.floats(-10, 240), min_size=5, max_size=80), st.sampled_from([1, 3, 5]))
def test_peak_is_that_of_the_formula(power, window):
    found = charge_log(flow(list(range(len(power))), power), window)
    assert found.peak.power == sampled_peak(power, window) and found.peak.window == window
    assert found.peak.power <= max(power)


@pytest.mark.parametrize("window", [3, 15, 17, 101])
def test_wide_windows_give_the_same_median(window):
    values = np.random.default_rng(20260309).normal(60, 5, 400)
    medians = running_median(values, window)
    half = window // 2
    assert np.isnan(medians[:half]).all() and np.isnan(medians[-half:]).all()
    assert medians[half:-half].tolist() == [
        float(np.median(values[k - half : k + half + 1])) for k in range(half, 400 - half)
    ]


def test_a_charge_that_is_known_by_hand():
    """Constant power for an hour, then a straight fall to nothing in another: three quarters of an hour's double."""
    times = np.arange(0, 7201, 10.0)
    power = np.where(times <= 3600, 60.0, 60.0 * (1 - (times - 3600) / 3600))
    found = charge_log(flow(times.tolist(), power.tolist()), 5)
    assert found.energy / 3600 == pytest.approx(90)
    assert found.peak.power == 60
    # 90 % of the peak is left after 360 s of the fall, 2 % is reached after 3528 s
    assert found.taper_s == pytest.approx(3528 - 360, abs=20)
    # 22.5 Wh after 22.5 min; 45 Wh after 45 min; 67.5 and 81 Wh in the fall: 60 (x - x²/2) = 7.5 and 21 with x in hours
    wanted = {
        0.25: 1350,
        0.5: 2700,
        0.75: 3600 * (1 + 1 - (1 - 2 * 7.5 / 60) ** 0.5),
        0.9: 3600 * (1 + 1 - (1 - 2 * 21 / 60) ** 0.5),
    }
    assert dict(found.shares) == {share: pytest.approx(seconds, abs=1) for share, seconds in wanted.items()}


def test_charge_and_integral_of_the_voltage():
    found = charge_log(flow([0, 10, 20], [20, 40, 60], voltage=[10, 20, 20], current=[2, 2, 3]), 1)
    assert found.charge == pytest.approx(20 + 25) and found.volt_seconds == pytest.approx(150 + 200)
    assert (found.peak.voltage, found.peak.current, found.peak.at_s) == (20, 3, 20)


def test_a_gap_takes_time_and_gives_no_energy():
    found = charge_log(flow([0, 1, 2, 3, 103, 104], [10] * 6), 1)
    assert found.energy == pytest.approx(40) and found.length_s == 104 and found.gap_s == 100
    assert dict(found.shares)[0.75] == pytest.approx(3.0)
    assert dict(found.shares)[0.9] == pytest.approx(103.6)


def test_nothing_flows():
    found = charge_log(flow([0, 1, 2], [0, 0, 0]), 1)
    assert found.energy == 0 and found.taper_s is None and found.shares == ()


def test_fewer_readings_than_the_window():
    found = charge_log(flow([0, 1, 2], [5, 5, 5]), 5)
    assert found.peak is None and found.taper_s is None and found.energy == pytest.approx(10)
