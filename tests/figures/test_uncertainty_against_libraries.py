"""Uncertainty of power, energy and efficiency against the package uncertainties, and against drawing at random.

20.0312 V from a meter of 0.05 % and two digits of 0.1 mV, 3.2471 A from one of 0.1 % and three digits of 0.1 mA, and 70.12 W at
the mains. The first test holds the value that uncertainties 3.2.3 gave for the power, without correlation.
"""

from math import sqrt

import numpy as np
import pytest
from uncertainties import correlated_values_norm, ufloat

from lidoff.figures.meters import energy_uncertainty, power_spread, power_uncertainty

VOLTAGE = {"id": "m", "quantity": "voltage", "pct_reading": 0.05, "digits": 2, "digit_size": 0.0001}
CURRENT = {"id": "m", "quantity": "current", "pct_reading": 0.1, "digits": 3, "digit_size": 0.0001}
POWER = {"id": "in", "quantity": "power", "pct_reading": 0.2, "pct_range": 0.1, "range": 75}
V, I, P_IN = 20.0312, 3.2471, 70.12
DRAWS = 200_000


@pytest.fixture
def record(charger):
    return charger.record(**{"instruments": [VOLTAGE, CURRENT, POWER]})


def point(charger, **instruments: str):
    """A record with the one point of the check, and that point."""
    row = {"mains_v": 230, "mains_hz": 50, "port": "C1", "output_v": V, "output_a": I, "input_w": P_IN, **instruments}
    record = charger.record(**{"instruments": [VOLTAGE, CURRENT, POWER], "measured.efficiency": [row]})
    return record, record.measured.efficiency[0]


def half_widths() -> tuple[float, float, float]:
    return 0.0005 * V + 0.0002, 0.001 * I + 0.0003, 0.002 * P_IN + 0.075


def drawn(rng: np.random.Generator, half_width: float, shared: np.ndarray, correlation: float) -> np.ndarray:
    """Errors of a meter, part of them shared: rectangular each, correlated as asked."""
    own = rng.uniform(-1, 1, DRAWS)
    return half_width * (sqrt(correlation) * shared + sqrt(1 - correlation) * own)


def test_the_check_values(record):
    assert pytest.approx(65.04330952) == V * I
    assert power_uncertainty(record, "m", V, I, 0.0) == pytest.approx(0.04527251575, rel=1e-9)


@pytest.mark.parametrize("shared", [0.0, 0.5, 0.9])
def test_power_by_the_package(record, shared):
    a_v, a_i, _ = half_widths()
    v, i = correlated_values_norm([(V, a_v / sqrt(3)), (I, a_i / sqrt(3))], [[1, shared], [shared, 1]])
    assert power_uncertainty(record, "m", V, I, shared) == pytest.approx((v * i).std_dev, rel=1e-6)


@pytest.mark.parametrize("shared", [0.0, 0.5, 0.9])
def test_power_by_drawing(record, shared):
    rng = np.random.default_rng(20260309)
    a_v, a_i, _ = half_widths()
    common = rng.uniform(-1, 1, DRAWS)
    powers = (V + drawn(rng, a_v, common, shared)) * (I + drawn(rng, a_i, common, shared))
    assert power_uncertainty(record, "m", V, I, shared) == pytest.approx(powers.std(), rel=0.01)


def test_efficiency_and_loss_by_the_package(charger):
    record, row = point(charger, output_instrument="m", input_instrument="in")
    spread = power_spread(record, row, 0.5)
    a_v, a_i, a_p = half_widths()
    v, i = correlated_values_norm([(V, a_v / sqrt(3)), (I, a_i / sqrt(3))], [[1, 0.5], [0.5, 1]])
    taken = ufloat(P_IN, a_p / sqrt(3))
    assert spread.of_efficiency(row, 0.5) == pytest.approx((v * i / taken).std_dev, rel=1e-6)
    assert spread.of_loss(0.5) == pytest.approx((taken - v * i).std_dev, rel=1e-6)
    assert not spread.is_one_meter


@pytest.mark.parametrize("shared", [0.0, 0.5, 0.9])
def test_efficiency_of_one_meter_at_both_ends(charger, shared):
    record, row = point(charger, instrument="in")
    spread = power_spread(record, row, shared)
    given = V * I
    a_out, a_in = 0.002 * given + 0.075, 0.002 * P_IN + 0.075
    out, taken = correlated_values_norm([(given, a_out / sqrt(3)), (P_IN, a_in / sqrt(3))], [[1, shared], [shared, 1]])
    assert spread.is_one_meter
    assert spread.of_efficiency(row, shared) == pytest.approx((out / taken).std_dev, rel=1e-6)
    assert spread.of_loss(shared) == pytest.approx((taken - out).std_dev, rel=1e-6)
    rng = np.random.default_rng(20260309)
    common = rng.uniform(-1, 1, DRAWS)
    ratios = (given + drawn(rng, a_out, common, shared)) / (P_IN + drawn(rng, a_in, common, shared))
    assert spread.of_efficiency(row, shared) == pytest.approx(ratios.std(), rel=0.01)


def test_without_an_assumption_the_cautious_side_holds(charger):
    record, row = point(charger, instrument="in")
    assert power_spread(record, row).of_efficiency(row) == power_spread(record, row, 0.0).of_efficiency(row, 0.0)
    assert power_uncertainty(record, "m", V, I) == power_uncertainty(record, "m", V, I, 1.0)


@pytest.mark.parametrize("shared", [0.0, 0.5, 0.9])
def test_energy_by_drawing(record, shared):
    """A charge at three voltages; every draw has one error of the voltage's scale and zero, and one of the current's."""
    rng = np.random.default_rng(20260309)
    seconds = np.array([60.0, 1800.0, 2400.0])
    volts, amperes = np.array([5.0, 9.0, 20.0]), np.array([0.5, 2.0, 3.0])
    energy, charge, volt_seconds = (seconds * volts * amperes).sum(), (seconds * amperes).sum(), (seconds * volts).sum()
    common = rng.uniform(-1, 1, DRAWS)
    e_v, e_i = drawn(rng, 1.0, common, shared), drawn(rng, 1.0, common, shared)
    measured = [v + e_v * (0.0005 * v + 0.0002) for v in volts], [i + e_i * (0.001 * i + 0.0003) for i in amperes]
    energies = sum(t * v * i for t, v, i in zip(seconds, *measured, strict=True))
    found = energy_uncertainty(
        record, "m", float(energy), float(seconds.sum()), float(charge), float(volt_seconds), shared
    )
    assert found == pytest.approx(energies.std(), rel=0.01)


def test_energy_by_a_meter_of_power(record):
    # by hand: 0.2 % of 1000 J, and 0.1 % of 75 W for 100 s
    assert energy_uncertainty(record, "in", 1000.0, 100.0) == pytest.approx((2 + 7.5) / sqrt(3))
    assert energy_uncertainty(record, "nobody", 1000.0, 100.0) is None
