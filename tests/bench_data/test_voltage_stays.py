"""Time at each fixed voltage, and voltages that a device adjusts."""

import numpy as np
import pytest

from lidoff.bench.voltage_stays import FIXED_V, voltages_of

RNG = np.random.default_rng(20260309)


def stretches(*pieces: tuple[float, int], noise: float = 0.01) -> np.ndarray:
    """So many readings at each voltage, one a second."""
    return np.concatenate([volts + RNG.normal(0, noise, count) for volts, count in pieces])


def found(voltage: np.ndarray, fixed: tuple[float, ...] = FIXED_V):
    return voltages_of(voltage, np.ones(len(voltage)), fixed)


def test_fixed_voltages():
    voltages = found(stretches((5.1, 20), (9.05, 100), (20.1, 300)))
    assert [(stay.nominal_v, stay.time_s) for stay in voltages.stays] == [(5, 20), (9, 100), (20, 300)]
    assert [stay.mean_v for stay in voltages.stays] == [pytest.approx(volts, abs=0.01) for volts in (5.1, 9.05, 20.1)]
    assert voltages.adjusted is None and voltages.other_s == 0


def test_a_voltage_that_comes_back_counts_together():
    voltages = found(stretches((5, 20), (9, 50), (5, 30)))
    assert [(stay.nominal_v, stay.time_s) for stay in voltages.stays] == [(5, 50), (9, 50)]


def test_a_droop_does_not_end_a_stay():
    """5.0 V that falls to 4.6 V under load, at the end of a cable."""
    voltages = found(np.linspace(5.0, 4.6, 200))
    assert [(stay.nominal_v, stay.time_s) for stay in voltages.stays] == [(5, 200)]


def test_a_voltage_is_never_near_two_of_them():
    """8.6 to 9.4 V and 9.6 to 10.4 V lie around 9 and 10 V, which a label may name both."""
    voltages = found(stretches((9.0, 40), (10.0, 60)), (*FIXED_V, 10.0))
    assert [(stay.nominal_v, stay.time_s) for stay in voltages.stays] == [(9, 40), (10, 60)]


def test_passing_a_voltage_is_no_stay():
    voltages = found(np.concatenate([stretches((5, 50)), np.array([7.0, 9.0, 13.0, 17.0]), stretches((20, 50))]))
    assert [stay.nominal_v for stay in voltages.stays] == [5, 20] and voltages.adjusted is None
    assert voltages.other_s == 4


def test_a_slow_change_between_fixed_voltages_is_no_adjusting():
    """100 readings a second, a change of a quarter of a second."""
    voltage = np.concatenate([np.full(500, 5.0), np.linspace(5.0, 9.0, 27), np.full(500, 9.0)])
    voltages = voltages_of(voltage, np.full(len(voltage), 0.01))
    assert [stay.nominal_v for stay in voltages.stays] == [5, 9] and voltages.adjusted is None


def test_small_steps_are_adjusting():
    """A device that asks for 40 mV more every 20 s, from 8.4 to 10.68 V: through 9 V without staying there."""
    levels = np.arange(8.4, 10.7, 0.04)
    voltage = np.concatenate([stretches((5.05, 30)), stretches(*((level, 20) for level in levels), noise=0.002)])
    voltages = found(voltage)
    assert [stay.nominal_v for stay in voltages.stays] == [5]
    adjusted = voltages.adjusted
    assert adjusted.time_s == 20 * len(levels) and adjusted.levels == pytest.approx(len(levels), abs=1)
    assert adjusted.step_v == pytest.approx(0.04, abs=0.005)
    assert (round(adjusted.low_v, 1), round(adjusted.high_v, 1)) == (8.4, 10.7)


def test_a_ramp_has_no_levels():
    """What moves all the time is adjusted, but is no step."""
    voltage = np.concatenate([np.full(30, 5.0), np.linspace(6.0, 8.0, 400)])
    adjusted = found(voltage).adjusted
    assert adjusted.time_s == 400 and adjusted.levels == 0 and adjusted.step_v is None


def test_no_voltage_is_no_stay():
    voltages = found(np.concatenate([np.full(40, 0.02), np.full(60, 5.0)]))
    assert [(stay.nominal_v, stay.time_s) for stay in voltages.stays] == [(5, 60)] and voltages.other_s == 40


def test_all_time_is_accounted_for():
    voltage = RNG.uniform(0, 25, 5000)
    weights = RNG.uniform(0, 2, 5000)
    voltages = voltages_of(voltage, weights)
    known = sum(stay.time_s for stay in voltages.stays) + (voltages.adjusted.time_s if voltages.adjusted else 0)
    assert known + voltages.other_s == pytest.approx(weights.sum())
