"""Efficiency against load, a line for each output voltage, with the published minimum where one applies."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lidoff.pages.drawings.axis import Mark, Scale, line, scale_over, short
from lidoff.pages.wording import counted, listed

LEFT, RIGHT, TOP, BOTTOM = 40, 424, 24, 222
MOST_LINES = 5
LEGEND_FROM, LEGEND_STEP = 268, 19
TEST_LOADS_PCT = (25.0, 100.0)
AROUND = 0.5  # [%] that a published minimum keeps from the frame
SIGNS = (
    "M{l} {y}a{r} {r} 0 1 0 {d} 0a{r} {r} 0 1 0 -{d} 0Z",  # circle
    "M{l} {t}H{e}V{b}H{l}Z",  # square
    "M{x} {t}L{e} {b}H{l}Z",  # triangle
    "M{x} {t}L{e} {y}L{x} {b}L{l} {y}Z",  # diamond
    "M{l} {t}L{e} {b}M{l} {b}L{e} {t}",  # cross
)
SIZE = 3.2


class Series(NamedTuple):
    """One line to be drawn: its voltage, its name, its points as load [%] and efficiency [%].

    ``minimum`` is the published minimum for the average of four loads and ``average`` that average [%], where judged.
    """

    voltage: str
    name: str
    points: tuple[tuple[float, float], ...]
    average: float | None = None
    minimum: float | None = None


class Drawn(NamedTuple):
    """A line as it is drawn, with its signs, its legend, and the line of its minimum."""

    name: str
    path: str
    signs: tuple[str, ...]
    legend_sign: str
    legend_y: float
    minimum: str = ""
    minimum_mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class EfficiencyChart:
    """The whole chart; ``key`` makes its ids unique on a page."""

    key: str
    title: str
    description: str
    height: float
    loads: tuple[Mark, ...]
    levels: tuple[Mark, ...]
    lines: tuple[Drawn, ...]
    left_out: str


def efficiency_chart(key: str, title: str, series: Sequence[Series]) -> EfficiencyChart | None:
    """The chart of one port at one mains voltage; None without a line."""
    drawable = [one for one in series if len(one.points) > 1]
    if not drawable:
        return None
    lines, further = drawable[:MOST_LINES], len(drawable) - MOST_LINES
    values = [value for one in lines for _, value in one.points] + [
        edge for one in lines if one.minimum for edge in (one.minimum - AROUND, one.minimum + AROUND)
    ]
    loads = Scale(0.0, max(100.0, *(load for one in lines for load, _ in one.points)), LEFT, RIGHT)
    levels = scale_over(values, BOTTOM, TOP, 6)
    return EfficiencyChart(
        key=key,
        title=title,
        description=_description([one for one in lines if one.minimum is not None]),
        height=LEGEND_FROM + LEGEND_STEP * (len(lines) - 1) + 8,
        loads=loads.marks(5),
        levels=levels.marks(6),
        lines=tuple(_drawn(place, one, loads, levels) for place, one in enumerate(lines)),
        left_out=f"{counted(further, 'further line')} not drawn." if further > 0 else "",
    )


def _description(judged: Sequence[Series]) -> str:
    said = (
        "Load to the right, in percent of the current that 100 % stands for; efficiency upwards. The table gives the same "
        "numbers."
    )
    if not judged:
        return said
    minima = listed(f"{one.minimum:.2f} % at {one.voltage}, where {one.average:.2f} % was measured" for one in judged)
    return f"{said} Broken lines from 25 to 100 % load are published minima for the average of four loads: {minima}."


def _drawn(place: int, one: Series, loads: Scale, levels: Scale) -> Drawn:
    places = [(loads.at(load), levels.at(value)) for load, value in sorted(one.points)]
    signs = tuple(_sign(place, x, y) for x, y in places)
    legend_y = LEGEND_FROM + LEGEND_STEP * place
    minimum, mark = "", None
    if one.minimum is not None:
        at = levels.at(one.minimum)
        minimum, mark = line((loads.at(load), at) for load in TEST_LOADS_PCT), Mark(at, one.voltage)
    return Drawn(one.name, line(places), signs, _sign(place, LEFT + 8, legend_y - 4), legend_y, minimum, mark)


def _sign(place: int, x: float, y: float) -> str:
    left, right, top, bottom = short(x - SIZE), short(x + SIZE), short(y - SIZE), short(y + SIZE)
    return SIGNS[place].format(x=x, y=y, r=SIZE, d=2 * SIZE, l=left, e=right, t=top, b=bottom)
