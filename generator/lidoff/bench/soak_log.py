"""One long run: the power at its end, when it was reduced, and how warm surface and air were."""

import numpy as np
from numpy.typing import NDArray

from lidoff.bench.charge_log import running_median
from lidoff.bench.curves import curve
from lidoff.bench.log_power import Flow
from lidoff.bench.log_samples import Samples
from lidoff.bench.log_values import SoakLog

Array = NDArray[np.float64]
END_S = 300.0
KEPT = 0.95
REDUCED_FOR_S = 60.0


def soak_log(samples: Samples, flow: Flow | None, window: int) -> SoakLog:
    """All that is said of a long run; ``flow`` is None where only temperatures were logged."""
    times = samples.times - samples.times[0]
    is_end = times >= times[-1] - min(END_S, times[-1] / 10)
    power = None if flow is None else flow.power
    surface, ambient = samples.values.get("surface"), samples.values.get("ambient")
    series = (("power", "W", power), ("surface", "°C", surface), ("air", "°C", ambient))
    drawn = [(name, unit, values) for name, unit, values in series if values is not None]
    return SoakLog(
        samples=len(times),
        length_s=float(times[-1]),
        gap_s=samples.gap_s,
        sustained=None if power is None else float(power[is_end].mean()),
        reduced_after_s=None if power is None else _reduced_after(times, power, window),
        surface_c=_mean_at_end(samples, "surface", is_end),
        ambient_c=_mean_at_end(samples, "ambient", is_end),
        curves=tuple(curve(name, unit, times, values, samples.is_counted) for name, unit, values in drawn),
    )


def _reduced_after(times: Array, power: Array, window: int) -> float | None:
    smooth = running_median(power, window) if len(power) >= window and window % 2 == 1 else power
    is_first = times <= min(END_S, times[-1] / 10)
    has_any = np.isfinite(smooth[is_first]).any()
    first = float(np.nanmedian(smooth[is_first]) if has_any else power[is_first].mean())
    is_kept = ~(smooth < KEPT * first)
    last = int(np.flatnonzero(is_kept & np.isfinite(smooth))[-1]) if (is_kept & np.isfinite(smooth)).any() else 0
    rest = np.flatnonzero(np.isfinite(smooth))
    if not len(rest) or rest[-1] == last or times[rest[-1]] - times[last] < REDUCED_FOR_S:
        return None
    return float(times[last + 1])


def _mean_at_end(samples: Samples, name: str, is_end: NDArray[np.bool_]) -> float | None:
    values = samples.values.get(name)
    return None if values is None else float(values[is_end].mean())
