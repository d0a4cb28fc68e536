"""Voltage against current of what a port offers, one mark for each state."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil
from textwrap import wrap
from typing import NamedTuple

from lidoff.engineering.usb_pd_supplies import (
    EprAdjustableSupply,
    FixedSupply,
    ProgrammableSupply,
    SprAdjustableSupply,
    Supply,
)
from lidoff.pages.drawings.axis import short
from lidoff.pages.views.offers import Offered
from lidoff.pages.wording import counted

WIDTH, HEIGHT = 480, 282
LEFT, RIGHT, TOP, BOTTOM = 44, 468, 24, 238
MOST_STATES = 4  # marks nest inside one another; more of them could not be told apart
CURVE_STEPS = 12
CACHED = 4096  # most chargers offer the same few dozen voltages and ranges
LONGEST_NAME = 62  # signs that fit in a line beside the mark of a key
NAME_STEP, LINE_STEP = 20, 15
STANDARD_RANGE_V = 20.0
MARKS = (
    "M{l} {y}a{r} {r} 0 1 0 {d} 0a{r} {r} 0 1 0 -{d} 0Z",  # circle
    "M{l} {t}H{e}V{b}H{l}Z",  # square
    "M{x} {t}L{e} {b}H{l}Z",  # triangle
    "M{x} {t}L{e} {y}L{x} {b}L{l} {y}Z",  # diamond
)


class Tick(NamedTuple):
    """A mark of an axis with its text."""

    at: float
    text: str


class Series(NamedTuple):
    """What is drawn of one state: the lines of its name, paths of its marks and ranges, the mark in the key."""

    name: tuple[Tick, Tick]
    marks: tuple[str, ...]
    ranges: tuple[str, ...]
    legend_mark: str


@dataclass(frozen=True, slots=True)
class OfferChart:
    """The whole chart; ``key`` makes its ids unique on a page."""

    key: str
    title: str
    description: str
    height: float
    volt_ticks: tuple[Tick, ...]
    ampere_ticks: tuple[Tick, ...]
    series: tuple[Series, ...]
    left_out: str


class Scales(NamedTuple):
    """From volts and amperes to places in the drawing."""

    volts: float
    amperes: float

    def x(self, voltage: float) -> float:
        """Place of a voltage."""
        return short(LEFT + (RIGHT - LEFT) * voltage / self.volts)

    def y(self, current: float) -> float:
        """Place of a current."""
        return short(BOTTOM - (BOTTOM - TOP) * current / self.amperes)


def offer_chart(port: str, names: Sequence[str], messages: Sequence[Sequence[Offered]]) -> OfferChart | None:
    """The chart of one port; None where nothing can be drawn."""
    supplies = [[one.supply for one in objects if one.supply is not None] for objects in messages]
    corners = [corner for state in supplies for supply in state for corner in _outline(supply, _largest_fixed(state))]
    if not corners:
        return None
    highest = max(voltage for voltage, _ in corners), max(current for _, current in corners)
    scales = Scales(max(5.0 * ceil(highest[0] / 5), 10.0), float(max(ceil(highest[1] + 0.25), 4)))
    drawn = list(zip(names, supplies, strict=True))[:MOST_STATES]
    series = tuple(_all_series(drawn, scales))
    volt_ticks, ampere_ticks = _ticks(scales)
    return OfferChart(
        key=port.lower(),
        title=f"Port {port}: what it offers",
        description="Voltage to the right, current upwards. Marks are fixed voltages, outlines are adjustable ranges. "
        "The tables give the same numbers.",
        height=max(line.at for line in series[-1].name if line.text) + NAME_STEP - 4,
        volt_ticks=volt_ticks,
        ampere_ticks=ampere_ticks,
        series=series,
        left_out=f"{counted(len(names) - MOST_STATES, 'further state')} not drawn." if len(names) > MOST_STATES else "",
    )


@lru_cache(maxsize=CACHED)
def _ticks(scales: Scales) -> tuple[tuple[Tick, ...], tuple[Tick, ...]]:
    volts = range(0, int(scales.volts) + 1, 10 if scales.volts > 30 else 5)
    amperes = range(int(scales.amperes) + 1)
    return tuple(Tick(scales.x(one), str(one)) for one in volts), tuple(
        Tick(scales.y(one), str(one)) for one in amperes
    )


def _all_series(drawn: Iterable[tuple[str, Sequence[Supply]]], scales: Scales) -> Iterator[Series]:
    legend_y = HEIGHT + 4
    for index, (name, supplies) in enumerate(drawn):
        yield (series := _series(index, name, supplies, scales, legend_y))
        legend_y = int(max(line.at for line in series.name if line.text)) + NAME_STEP


@lru_cache(maxsize=CACHED)
def _two_lines(name: str, at: int) -> tuple[Tick, Tick]:
    """A name in the key; the second line is empty where one will do, so that a text changes no elements."""
    first, second = (*wrap(name, LONGEST_NAME, max_lines=2, placeholder=" …"), "", "")[:2]
    return Tick(at, first), Tick(at + LINE_STEP, second)


def _series(index: int, name: str, supplies: Sequence[Supply], scales: Scales, legend_y: int) -> Series:
    size, limit = 4 + 3 * index, _largest_fixed(supplies)
    fixed = [supply for supply in supplies if isinstance(supply, FixedSupply)]
    ranges = [_range(supply, limit, scales) for supply in supplies if not isinstance(supply, FixedSupply)]
    return Series(
        name=_two_lines(name, legend_y),
        marks=tuple(_mark(index, scales.x(one.voltage), scales.y(one.current), size) for one in fixed),
        ranges=tuple(path for path in ranges if path),
        legend_mark=_mark(index, LEFT + 8, legend_y - 4, 5),
    )


@lru_cache(maxsize=CACHED)
def _range(supply: Supply, limit: float, scales: Scales) -> str:
    """From the axis up, along the outline and back to the axis; empty for a supply without an outline."""
    outline = _outline(supply, limit)
    if not outline:
        return ""
    line = "".join(f"L{scales.x(volts)} {scales.y(amps)}" for volts, amps in outline)
    return f"M{scales.x(outline[0][0])} {BOTTOM}{line}V{BOTTOM}"


def _outline(supply: Supply, limit: float) -> list[tuple[float, float]]:
    """Corners of the upper edge of what a supply offers, from low to high voltage."""
    match supply:
        case FixedSupply(voltage=voltage, current=current):
            return [(voltage, current)]
        case ProgrammableSupply(voltage_max=high, voltage_min=low, current=current, power_limited=is_limited):
            return _capped(low, high, current, limit if is_limited else 0)
        case EprAdjustableSupply(voltage_max=high, voltage_min=low, power=power):
            return _capped(low, high, 5.0, power)
        case SprAdjustableSupply(current_to_15v=to_15v, current_to_20v=to_20v):
            upper = [(15.0, to_20v), (20.0, to_20v)] if to_20v else []
            return [(9.0, to_15v), (15.0, to_15v), *upper]
    return []


def _capped(low: float, high: float, current: float, power: float) -> list[tuple[float, float]]:
    """A constant current up to where it would give more than ``power``, then that power; 0 means no such limit."""
    knee = power / current if power and current else high
    if knee >= high:
        return [(low, current), (high, current)]
    start = max(low, knee)
    steps = [start + (high - start) * step / CURVE_STEPS for step in range(CURVE_STEPS + 1)]
    return [(low, min(current, power / low)), *((volts, min(current, power / volts)) for volts in steps)]


def _largest_fixed(supplies: Iterable[Supply]) -> float:
    """Largest power of the fixed offers up to 20 V, which is what limits a programmable range."""
    fixed = [one for one in supplies if isinstance(one, FixedSupply) and one.voltage <= STANDARD_RANGE_V]
    return max((one.voltage * one.current for one in fixed), default=0.0)


@lru_cache(maxsize=CACHED)
def _mark(index: int, x: float, y: float, size: float) -> str:
    places = {"x": x, "y": y, "r": size, "d": 2 * size, "l": x - size, "e": x + size, "t": y - size, "b": y + size}
    return MARKS[index].format(**{name: short(place) for name, place in places.items()})
