"""Energy, charge and running median against scipy, times against the standard library, and the examples in docstrings."""

import datetime
import doctest
import importlib

import numpy as np
import pytest
from scipy.integrate import trapezoid
from scipy.signal import medfilt

from lidoff.bench.charge_log import running_median

RNG = np.random.default_rng(20260309)


def test_energy_and_charge_are_those_of_scipy(read):
    times = np.cumsum(RNG.uniform(0.5, 1.5, 500)).round(3)
    volts, amperes = RNG.uniform(5, 20, 500).round(3), RNG.uniform(0.1, 3, 500).round(4)
    rows = "".join(f"{t},{v},{i}\n" for t, v, i in zip(times, volts, amperes, strict=True))
    found = read("t,v,i\n" + rows).charge
    assert found.energy == pytest.approx(trapezoid(volts * amperes, times), rel=1e-12)
    assert found.charge == pytest.approx(trapezoid(amperes, times), rel=1e-12)
    assert found.peak.power == pytest.approx(medfilt(volts * amperes, 5)[2:-2].max(), rel=1e-12)


@pytest.mark.parametrize("window", [3, 5, 21])
def test_the_running_median_is_that_of_scipy(window):
    values, half = RNG.normal(60, 10, 300), window // 2
    assert running_median(values, window)[half:-half].tolist() == medfilt(values, window)[half:-half].tolist()


@pytest.mark.parametrize(
    "form", ["%Y-%m-%d %H:%M:%S.%f", "%Y/%m/%d %H:%M:%S.%f", "%d.%m.%Y %H:%M:%S.%f", "%Y-%m-%dT%H:%M:%S.%f+02:00"]
)
def test_written_times_are_those_of_the_standard_library(read, form):
    start = datetime.datetime(2026, 2, 28, 23, 58, 30)
    moments = [start + datetime.timedelta(seconds=float(step)) for step in np.cumsum(RNG.uniform(20, 40, 40)).round(3)]
    rows = "".join(f"{moment.strftime(form)},5,1\n" for moment in moments)
    found = read("t,v,i\n" + rows, {"time": "t", "voltage_v": "v", "current_a": "i"}).charge
    assert found.length_s == pytest.approx((moments[-1] - moments[0]).total_seconds(), abs=1e-5)
    assert found.energy == pytest.approx(5 * found.length_s, abs=1e-4)


@pytest.mark.parametrize("name", ["log_report", "log_columns"])
def test_the_examples_in_docstrings_hold(name):
    result = doctest.testmod(importlib.import_module(f"lidoff.bench.{name}"))
    assert result.attempted > 0 and result.failed == 0
