"""Which voltage a port had for how long: stays at fixed voltages, and stretches that a device adjusts in small steps.

A stay begins within 5 % of a fixed voltage and lasts until 10 % away, so that a droop under load does not end it. What
lies outside for some readings, moves out of a stay without a jump, or moves inside it without the current's doing, is a
voltage that was adjusted.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.bench.log_values import Adjusted, Stay, Voltages

Array = NDArray[np.float64]
FIXED_V = (5.0, 9.0, 12.0, 15.0, 20.0, 28.0, 36.0, 48.0)
ENTER, LEAVE = 0.05, 0.10
LEAST_READINGS = 3
LEAST_STAY_S = 0.3  # passing a voltage on the way to another takes less
LEAST_ADJUSTED_S = 1.0  # a change from one fixed voltage to another is over in less
MOST_RESISTANCE = 0.5  # of source, cable and connectors together [Ω]
UNEXPLAINED = 0.03
JUMP = 0.08
IDLE_BELOW_V = 2.0
LEAST_STEP_V = 0.015
NOISES = 4.0


@dataclass(frozen=True, slots=True)
class _Runs:
    """A series in runs of equal codes: where each begins, how many readings it has, its code."""

    starts: NDArray[np.int64]
    sizes: NDArray[np.int64]
    codes: NDArray[np.int64]


def voltages_of(
    voltage: Array, weights: Array, fixed_v: Sequence[float] = FIXED_V, current: Array | None = None
) -> Voltages:
    """The time at each voltage; ``weights`` is the time that each reading stands for [s]."""
    nominals = np.unique(np.array(fixed_v, dtype=np.float64))
    runs, narrow = _runs(voltage, nominals)
    lasting = np.add.reduceat(weights, runs.starts)
    near = np.add.reduceat(narrow.astype(np.int64), runs.starts)
    is_stay = (runs.codes >= 0) & (near >= LEAST_READINGS) & (lasting >= LEAST_STAY_S)
    middles = np.add.reduceat(voltage, runs.starts) / runs.sizes
    lasts = (runs.sizes >= LEAST_READINGS) & (lasting >= LEAST_ADJUSTED_S)
    is_adjusted = ~is_stay & lasts & (middles >= IDLE_BELOW_V)
    is_adjusted |= is_stay & _moves_on_without_a_jump(voltage, runs, is_adjusted)
    is_adjusted |= is_stay & _moves_inside(voltage, current, runs)
    is_stay &= ~is_adjusted
    stays = []
    for code in np.unique(runs.codes[is_stay]):
        mine = np.repeat(is_stay & (runs.codes == code), runs.sizes)
        time = float(weights[mine].sum())
        if time > 0:
            stays.append(Stay(float(nominals[code]), time, float((voltage * weights)[mine].sum() / time)))
    mine = np.repeat(is_adjusted, runs.sizes)
    adjusted = _adjusted(voltage[mine], weights[mine]) if mine.any() else None
    known = sum(stay.time_s for stay in stays) + (adjusted.time_s if adjusted else 0.0)
    return Voltages(tuple(stays), adjusted, max(0.0, float(weights.sum()) - known))


def _runs(voltage: Array, nominals: Array) -> tuple[_Runs, NDArray[np.bool_]]:
    """Runs near the same fixed voltage, and whether each reading is so near that a stay may begin there."""
    nearest = np.searchsorted((nominals[1:] + nominals[:-1]) / 2, voltage)
    off = np.abs(voltage / nominals[nearest] - 1)
    codes = np.where(off <= LEAVE, nearest, -1)
    starts = np.flatnonzero(np.concatenate(([True], codes[1:] != codes[:-1])))
    return _Runs(starts, np.diff(np.append(starts, len(codes))), codes[starts]), off <= ENTER


def _moves_on_without_a_jump(voltage: Array, runs: _Runs, is_adjusted: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which runs lead to or come from an adjusted one by a step so small that no fixed voltage follows."""
    before, after = voltage[runs.starts[1:] - 1], voltage[runs.starts[1:]]
    is_small = np.abs(after - before) < JUMP * np.abs(before)
    moves = np.zeros(len(runs.starts), dtype=bool)
    moves[:-1] |= is_small & is_adjusted[1:]
    moves[1:] |= is_small & is_adjusted[:-1]
    return moves


def _moves_inside(voltage: Array, current: Array | None, runs: _Runs) -> NDArray[np.bool_]:
    """Which runs have a voltage that moves more than current and resistance explain; none without a current."""
    moves = np.zeros(len(runs.starts), dtype=bool)
    if current is None:
        return moves
    codes = np.repeat(runs.codes, runs.sizes)
    for code in np.unique(runs.codes[runs.codes >= 0]):
        mine = codes == code
        volts, amperes = voltage[mine], current[mine]
        spread = float(amperes.var())
        slope = float(((volts - volts.mean()) * (amperes - amperes.mean())).mean()) / spread if spread else 0.0
        rest = volts - min(max(slope, -MOST_RESISTANCE), 0.0) * amperes
        low, high = np.percentile(rest, (5, 95))
        moves |= (runs.codes == code) & bool(high - low > UNEXPLAINED * volts.mean())
    return moves


def _adjusted(voltage: Array, weights: Array) -> Adjusted:
    """What an adjusted voltage did: a level is steady for several readings, a step lies between two levels."""
    changes = np.diff(voltage)
    noise = 1.4826 * float(np.median(np.abs(changes - np.median(changes)))) if len(changes) else 0.0
    threshold = max(LEAST_STEP_V, NOISES * noise)
    starts = np.flatnonzero(np.concatenate(([True], np.abs(changes) > threshold)))
    sizes = np.diff(np.append(starts, len(voltage)))
    means = np.add.reduceat(voltage, starts) / sizes
    spreads = np.maximum.reduceat(voltage, starts) - np.minimum.reduceat(voltage, starts)
    levels = means[(sizes >= LEAST_READINGS) & (spreads <= 2 * threshold)]
    steps = np.abs(np.diff(levels))
    steps = steps[steps > threshold]
    return Adjusted(
        float(weights.sum()), float(voltage.min()), float(voltage.max()), len(levels),
        float(np.median(steps)) if len(steps) else None,
    )  # fmt: skip
