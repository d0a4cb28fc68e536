"""One charge: energy, charge, peak, time at each voltage, taper, and how long each part of the energy took."""

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from lidoff.bench.curves import curve
from lidoff.bench.log_power import Flow
from lidoff.bench.log_samples import Samples
from lidoff.bench.log_values import ChargeLog, Curve, Peak
from lidoff.bench.voltage_stays import FIXED_V, voltages_of

Array = NDArray[np.float64]
SHARES = (0.25, 0.5, 0.75, 0.9)
NEAR_PEAK = 0.9
STILL_CHARGING = 0.02
SMALL_WINDOW = 15


def charge_log(flow: Flow, window: int, fixed_v: Sequence[float] = FIXED_V) -> ChargeLog:
    """All that is said of a charge."""
    samples, power = flow.samples, flow.power
    smooth = running_median(power, window) if len(power) >= window and window % 2 == 1 else None
    peak = None if smooth is None else _peak(flow, smooth, window)
    energy = samples.integral(power)
    return ChargeLog(
        kind=flow.kind,
        samples=len(power),
        length_s=float(samples.times[-1] - samples.times[0]),
        covered_s=samples.covered_s,
        gap_s=samples.gap_s,
        energy=energy,
        charge=None if flow.current is None else samples.integral(flow.current),
        volt_seconds=None if flow.voltage is None else samples.integral(flow.voltage),
        peak=peak,
        voltages=None if flow.voltage is None else voltages_of(flow.voltage, samples.weights, fixed_v, flow.current),
        taper_s=None if smooth is None or peak is None else _taper(samples, smooth, peak.power),
        shares=_shares(samples, power, energy),
        counter=_counter(samples),
        curves=_curves(flow),
    )


def running_median(values: Array, window: int) -> Array:
    """The median of each full window of neighbours; NaN at both ends, where there is none."""
    if window > SMALL_WINDOW:
        return pd.Series(values).rolling(window, center=True).median().to_numpy()
    middle = window // 2
    medians = np.full(len(values), np.nan)
    windows = np.lib.stride_tricks.sliding_window_view(values, window)
    medians[middle : len(values) - middle] = np.partition(windows, middle, axis=1)[:, middle]
    return medians


def energy_so_far(samples: Samples, power: Array) -> Array:
    """Energy that had flowed at each reading [J]; gaps take time and give none."""
    areas = np.diff(samples.times) * (power[1:] + power[:-1]) / 2
    return np.concatenate(([0.0], np.cumsum(np.where(samples.is_counted, areas, 0.0))))


def time_to_energy(samples: Samples, so_far: Array, energy: float) -> float | None:
    """The time after which so much energy had flowed [s]; None where it never did."""
    reached = np.flatnonzero(so_far >= energy)
    if not len(reached):
        return None
    after = int(reached[0])
    if after == 0:
        return 0.0
    share = (energy - so_far[after - 1]) / (so_far[after] - so_far[after - 1])
    moment = samples.times[after - 1] + share * (samples.times[after] - samples.times[after - 1])
    return float(moment - samples.times[0])


def _peak(flow: Flow, smooth: Array, window: int) -> Peak | None:
    at = int(np.nanargmax(smooth))
    largest = float(smooth[at])
    around = slice(max(0, at - window // 2), at + window // 2 + 1)
    nearest = around.start + int(np.abs(flow.power[around] - largest).argmin())
    voltage = None if flow.voltage is None else float(flow.voltage[nearest])
    current = None if flow.current is None else float(flow.current[nearest])
    return Peak(largest, window, float(flow.samples.times[nearest] - flow.samples.times[0]), voltage, current)


def _taper(samples: Samples, smooth: Array, peak: float) -> float | None:
    """From the last time near the peak to the last time that power still flowed."""
    if peak <= 0:
        return None
    known = np.nan_to_num(smooth, nan=-np.inf)
    near, flowing = np.flatnonzero(known >= NEAR_PEAK * peak), np.flatnonzero(known >= STILL_CHARGING * peak)
    return float(samples.times[flowing[-1]] - samples.times[near[-1]])


def _shares(samples: Samples, power: Array, energy: float) -> tuple[tuple[float, float], ...]:
    if energy <= 0:
        return ()
    so_far = energy_so_far(samples, power)
    found = ((share, time_to_energy(samples, so_far, share * energy)) for share in SHARES)
    return tuple((share, time) for share, time in found if time is not None)


def _counter(samples: Samples) -> float | None:
    """What the instrument's own counter of energy went up by; a counter that was set back goes on from there."""
    counted = samples.values.get("energy")
    if counted is None:
        return None
    steps = np.diff(counted)
    return float(steps[steps > 0].sum())


def _curves(flow: Flow) -> tuple[Curve, ...]:
    samples = flow.samples
    times = samples.times - samples.times[0]
    series = (("voltage", "V", flow.voltage), ("current", "A", flow.current), ("power", "W", flow.power))
    return tuple(
        curve(name, unit, times, values, samples.is_counted) for name, unit, values in series if values is not None
    )
