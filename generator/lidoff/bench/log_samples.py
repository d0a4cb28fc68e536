"""Readings in the order of time: rows without a number left out, clocks that jump or repeat put right, gaps found."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lidoff.bench.log_report import Oddity, Unreadable, plain, rows, times
from lidoff.bench.log_table import GRAVE, Table
from lidoff.bench.log_time import DAY_S, TimeAxis

Array = NDArray[np.float64]
MOST_BACKWARDS = 0.01
NEAR_START = 5.0
GRAVE_GAP = 0.05
UNKNOWN_PAUSE = "how long the pause was is not known, and nothing is counted for it"
ELECTRICAL = ("power", "voltage", "current")


@dataclass(frozen=True, slots=True)
class Samples:
    """Readings by quantity at rising times [s]; ``lines`` is where each stands in the file.

    ``is_counted`` says of the time between two readings whether it was logged: not in a gap or where a clock was set.
    """

    times: Array
    values: Mapping[str, Array]
    lines: NDArray[np.int64]
    is_counted: NDArray[np.bool_]
    interval_s: float
    gap_s: float = 0.0
    oddities: tuple[Oddity, ...] = ()

    @property
    def weights(self) -> Array:
        """The time that each reading stands for: half of the counted intervals beside it [s]."""
        halves = np.where(self.is_counted, np.diff(self.times), 0.0) / 2
        return np.concatenate((halves, [0.0])) + np.concatenate(([0.0], halves))

    @property
    def covered_s(self) -> float:
        """Time without the gaps."""
        return float(np.diff(self.times)[self.is_counted].sum())

    def integral(self, values: Array) -> float:
        """Integral over the time that was logged, by the trapezoid rule."""
        areas = np.diff(self.times) * (values[1:] + values[:-1]) / 2
        return float(areas[self.is_counted].sum())


@dataclass(slots=True)
class _Clock:
    """Times on the way to rising ones. ``starts`` are the rows where the clock was set."""

    times: Array
    lines: NDArray[np.int64]
    starts: NDArray[np.bool_]
    oddities: list[Oddity] = field(default_factory=list)


def make_samples(table: Table, axis: TimeAxis, gap_ratio: float) -> Samples:
    """The readings of a table; raises Unreadable where they make no series in time."""
    needed = _needed(table)
    is_whole = np.isfinite(axis.seconds)
    for name in needed:
        is_whole = is_whole & np.isfinite(table.numbers[name])
    oddities = _left_out(table, is_whole)
    lines = table.lines[is_whole]
    if len(lines) < 2:
        found = f"{rows(len(lines))} with a number in every column that is needed"
        raise Unreadable(found, "two readings or more", "export the whole log", int(table.lines[0]))
    values = {name: table.numbers[name][is_whole] for name in needed}
    values |= _slower(table, is_whole, needed)
    clock = _forwards(axis.seconds[is_whole], lines, axis.is_clock)
    moments, values, lines, starts = _each_time_once(clock, values)
    if len(moments) < 2:
        fix = "name the column with the time"
        raise Unreadable("the same time in every row", "times that go on", fix, int(lines[0]))
    intervals = np.diff(moments)
    is_start = starts[1:]
    usual = float(np.median(intervals[~is_start])) if (~is_start).any() else float(np.median(intervals))
    is_gap = (intervals > gap_ratio * usual) & ~is_start
    oddities += [*clock.oddities, *_gaps(intervals, is_gap, lines, gap_ratio)]
    gap_s = float(intervals[is_gap].sum())
    return Samples(moments, values, lines, ~(is_gap | is_start), usual, gap_s, tuple(oddities))


def _needed(table: Table) -> list[str]:
    """The quantities without which a row says nothing: the power or what makes it, else the first temperature."""
    present = [name for name in table.numbers if name != "time"]
    if {"voltage", "current"} <= set(present):
        return ["voltage", "current"]
    return [name for name in ELECTRICAL if name in present] or present[:1]


def _slower(table: Table, is_whole: NDArray[np.bool_], needed: Sequence[str]) -> dict[str, Array]:
    """The other quantities in the same rows; one that was read less often goes straight from row to row."""
    found = {}
    places = np.arange(len(is_whole))
    for name, column in table.numbers.items():
        if name not in needed and name != "time":
            is_known = np.isfinite(column)
            found[name] = np.interp(places[is_whole], places[is_known], column[is_known])
    return found


def _left_out(table: Table, is_whole: NDArray[np.bool_]) -> list[Oddity]:
    """Rows with an empty cell among the needed ones; those with text were told when the column was read."""
    count = int((~is_whole).sum())
    if not count:
        return []
    first = int(table.lines[~is_whole][0])
    said = f"{rows(count)} without a number in each of the needed columns, left out"
    told = any(odd.line == first for odd in table.oddities)
    return [] if told else [Oddity(said, first, count > GRAVE * len(is_whole))]


def _forwards(seconds: Array, lines: NDArray[np.int64], is_clock: bool) -> _Clock:
    """Times that never go back: a day more past midnight; where a clock was set, the log goes on one interval later."""
    seconds = seconds.copy()
    steps = np.diff(seconds)
    if is_clock:
        is_midnight = steps < -DAY_S / 2
        seconds[1:] += DAY_S * np.cumsum(is_midnight)
        steps = np.diff(seconds)
    is_back = steps < 0
    count = int(is_back.sum())
    starts = np.concatenate(([False], is_back))
    clock = _Clock(seconds, lines, starts)
    if not count:
        return clock
    first = int(lines[starts][0])
    if count > max(MOST_BACKWARDS * len(lines), 3):
        fix = "name the column with the time, or sort the rows"
        raise Unreadable(f"a time that runs backwards {times(count)}", "times that go on", fix, first)
    usual = float(np.median(steps[steps > 0])) if (steps > 0).any() else 0.0
    is_reset = is_back & (np.abs(seconds[1:] - seconds[0]) <= NEAR_START * usual)
    seconds[1:] += np.cumsum(np.where(is_back, usual - steps, 0.0))
    restart, jump = "the time starts again from its beginning", "the clock jumps back"
    for kind, what in ((is_reset, restart), (is_back & ~is_reset, jump)):
        if kind.any():
            said = f"{what} {times(int(kind.sum()))}; {UNKNOWN_PAUSE}"
            clock.oddities.append(Oddity(said, int(lines[1:][kind][0]), is_grave=True))
    return clock


def _each_time_once(
    clock: _Clock, values: Mapping[str, Array]
) -> tuple[Array, dict[str, Array], NDArray[np.int64], NDArray[np.bool_]]:
    """Rows that share a time as one, with the mean of their readings."""
    is_new = np.concatenate(([True], np.diff(clock.times) > 0)) | clock.starts
    if is_new.all():
        return clock.times, dict(values), clock.lines, clock.starts
    places = np.flatnonzero(is_new)
    sizes = np.diff(np.append(places, len(is_new)))
    means = {name: np.add.reduceat(column, places) / sizes for name, column in values.items()}
    count = int((~is_new).sum())
    said = f"{rows(count)} with the time of the row before; the mean of their readings counts"
    clock.oddities.append(Oddity(said, int(clock.lines[~is_new][0])))
    return clock.times[places], means, clock.lines[places], clock.starts[places]


def _gaps(intervals: Array, is_gap: NDArray[np.bool_], lines: NDArray[np.int64], gap_ratio: float) -> list[Oddity]:
    if not is_gap.any():
        return []
    count, missing = int(is_gap.sum()), float(intervals[is_gap].sum())
    share = missing / float(intervals.sum())
    noun = "a gap" if count == 1 else f"{count} gaps, together"
    said = f"{noun} of {plain(missing)} s, longer than {gap_ratio:g} usual intervals; nothing is counted for it"
    return [Oddity(said, int(lines[1:][is_gap][0]), share > GRAVE_GAP)]
