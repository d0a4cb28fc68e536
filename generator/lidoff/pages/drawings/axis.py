"""Axes: round marks, places in a drawing, and numbers for both."""

from collections.abc import Iterable
from itertools import groupby
from math import ceil, floor, log10
from typing import NamedTuple

ROUND_STEPS = (1.0, 2.0, 5.0, 10.0)


class Mark(NamedTuple):
    """A mark of an axis with its text."""

    at: float
    text: str


class Scale(NamedTuple):
    """From values to places: ``low`` stands at ``start``, ``high`` at ``end``."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Place of a value."""
        return short(self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low))

    def marks(self, most: int) -> tuple[Mark, ...]:
        """At most so many round values with their places."""
        return tuple(Mark(self.at(value), text) for value, text in round_values(self.low, self.high, most))


def scale_over(values: Iterable[float], start: float, end: float, most: int, from_zero: bool = False) -> Scale:
    """A scale whose ends are round and hold all values."""
    known = [*values, 0.0] if from_zero else list(values)
    low, high = min(known), max(known)
    if low == high:
        high = low + 1.0
    step = round_step(high - low, most)
    return Scale(step * floor(low / step + 1e-9), step * ceil(high / step - 1e-9), start, end)


def round_step(span: float, most: int) -> float:
    """The smallest of 1, 2, 5 and their tenfolds that divides a span into at most so many steps.

    Examples
    --------
    >>> round_step(21.0, 5), round_step(0.9, 4), round_step(130.0, 4)
    (5.0, 0.5, 50.0)
    """
    least = span / most
    power = 10.0 ** floor(log10(least))
    return next(power * step for step in ROUND_STEPS if power * step >= least * (1 - 1e-9))


def round_values(low: float, high: float, most: int) -> list[tuple[float, str]]:
    """The round values from ``low`` to ``high`` with their texts.

    Examples
    --------
    >>> round_values(0.0, 20.0, 4)
    [(0.0, '0'), (5.0, '5'), (10.0, '10'), (15.0, '15'), (20.0, '20')]
    """
    step = round_step(high - low, most)
    places = max(0, -floor(log10(step)))
    counts = range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1)
    return [(round(count * step, 9), f"{count * step:.{places}f}") for count in counts]


def short(place: float) -> float | int:
    """A place to a tenth of a pixel, whole ones without a point."""
    rounded = round(place, 1)
    return int(rounded) if rounded == int(rounded) else rounded


def line(points: Iterable[tuple[float, float]]) -> str:
    """The path of a line through places of scales; points that fall on the one before are left out."""
    pieces = [f"{x} {y}" for (x, y), _ in groupby(points)]
    return f"M{' '.join(pieces)}" if len(pieces) > 1 else f"M{pieces[0]}h0" if pieces else ""
