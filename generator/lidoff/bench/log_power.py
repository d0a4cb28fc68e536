"""Voltage, current and power of a log: whether they can be those of a port, and which way the power flows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.bench.log_columns import SYMBOLS, Wanted
from lidoff.bench.log_report import Oddity, Unreadable, plain, rows, shown
from lidoff.bench.log_samples import Samples

Array = NDArray[np.float64]
MOST = {"voltage": 60.0, "current": 20.0, "power": 1000.0}
LEAST = {"voltage": 1.0, "current": 0.005, "power": 0.02}
NEGATIVE_SHARE = 0.01
SAME_POWER = 0.05


@dataclass(frozen=True, slots=True)
class Flow:
    """A log with its power [W]; ``kind`` is ``voltage-current`` where it is their product, else ``power``."""

    samples: Samples
    power: Array
    kind: str

    @property
    def voltage(self) -> Array | None:
        """Voltage of each reading, where it was logged."""
        return self.samples.values.get("voltage")

    @property
    def current(self) -> Array | None:
        """Current of each reading, where it was logged."""
        return self.samples.values.get("current")


def flow_of(samples: Samples, wanted: Sequence[Wanted]) -> Flow:
    """The power of a log, positive towards the device; raises Unreadable where it can't be that of a port."""
    samples = _upright(samples)
    values, lines = samples.values, samples.lines
    _require_plausible(values, lines, wanted)
    is_product = "voltage" in values and "current" in values
    if not is_product and "power" not in values:
        raise Unreadable(
            "neither power nor both voltage and current among the columns", "power_w, or voltage_v and current_a",
            "name the columns in the record", int(lines[0]),
        )  # fmt: skip
    power = values["voltage"] * values["current"] if is_product else values["power"]
    oddities = list(samples.oddities)
    if power.sum() < 0 and (power < 0).sum() > (power > 0).sum():
        turned = {name: -values[name] for name in ("current", "power") if name in values}
        values, power = {**values, **turned}, -power
        said = "most readings are below 0: power flows the other way through the instrument, and its sign was turned"
        oddities.append(Oddity(said, int(lines[power > 0][0]), is_grave=True))
    oddities += _negative(power, lines)
    if is_product and "power" in values:
        oddities += _two_powers(power, values["power"], lines)
    kind = "voltage-current" if is_product else "power"
    return Flow(replace(samples, values=values, oddities=tuple(oddities)), power, kind)


def _upright(samples: Samples) -> Samples:
    """The samples with the voltage above 0: a port's is never below it, so that its leads were taken the other way."""
    voltage = samples.values.get("voltage")
    if voltage is None or (voltage < 0).sum() <= (voltage > 0).sum():
        return samples
    said = "most voltages are below 0: the instrument's leads were the other way round, and the sign was turned"
    odd = Oddity(said, int(samples.lines[voltage < 0][0]), is_grave=True)
    return replace(samples, values={**samples.values, "voltage": -voltage}, oddities=(*samples.oddities, odd))


def _require_plausible(values: Mapping[str, Array], lines: NDArray[np.int64], wanted: Sequence[Wanted]) -> None:
    """Refuse numbers that only a wrong unit explains."""
    for one in wanted:
        if one.quantity not in MOST:
            continue
        sizes = np.abs(values[one.quantity])
        middle, largest = float(np.median(sizes)), float(sizes.max())
        base = one.unit.removeprefix("m").removeprefix("u")
        unit = SYMBOLS[base]
        if middle > MOST[one.quantity]:
            found = f"{plain(middle)} {unit} in the middle"
            expected = f"at most {MOST[one.quantity]:g} {unit} at a port"
            other = f"{one.quantity}_m{base}" if one.unit == base else ""
        elif 0 < largest < LEAST[one.quantity]:
            found = f"{plain(largest)} {unit} at most"
            expected = f"more than {LEAST[one.quantity]:g} {unit} at a port in use"
            other = "" if one.unit == base else f"{one.quantity}_{base}"
        else:
            continue
        fix = f"write {other} if that is the column's unit" if other else "name another column"
        raise Unreadable(f"{found} under {shown(one.heading)}", expected, fix, int(lines[0]), one.key)


def _negative(power: Array, lines: NDArray[np.int64]) -> list[Oddity]:
    """Readings clearly below 0; noise around 0 is not worth a word."""
    is_below = power < -NEGATIVE_SHARE * power.max()
    if not is_below.any():
        return []
    count = int(is_below.sum())
    said = f"{rows(count)} with a power below 0, {plain(float(power.min()))} W at the lowest, counted as they are"
    return [Oddity(said, int(lines[is_below][0]))]


def _two_powers(product: Array, column: Array, lines: NDArray[np.int64]) -> list[Oddity]:
    """The power that the instrument gives against that of its voltage and current."""
    is_large = product > 0.1 * product.max()
    if not is_large.any():
        return []
    apart = float(np.median(np.abs(column[is_large] / product[is_large] - 1)))
    if apart <= SAME_POWER:
        return []
    said = f"the column of power is {plain(100 * apart)} % off voltage times current, which counts"
    return [Oddity(said, int(lines[is_large][0]), is_grave=True)]
