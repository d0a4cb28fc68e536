"""One point a product: a value against the year or the power, grouped by shape and colour."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import pandas as pd

from lidoff.trends.canvas import WIDTH, Margins, Sign, Sketch, key_height, key_layers, point_style, sketch
from lidoff.trends.marks import Layer, layer, number, word
from lidoff.trends.palette import INK, Fill
from lidoff.trends.statistics import LEAST_FOR_INTERVAL
from lidoff.trends.svg import SITE, Link

# beyond this many a page of links helps nobody; beyond the second the file only grows
MOST_LINKED = 300
MOST_DRAWN = 1200
_HEIGHT = 300
_LEFT, _RIGHT, _BOTTOM = 52, 16, 46


@dataclass(frozen=True, slots=True)
class Axes:
    """The two axes: titles with units, and where the marks of the horizontal one stand.

    The vertical one begins at zero or below; ``y_domain`` fixes its ends.
    """

    x_title: str
    y_title: str
    x_values: tuple[float, ...]
    x_domain: tuple[float, float]
    x_scale: Literal["linear", "log"] = "linear"
    y_domain: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """A line over the points: a trend, the median of one year, or what joins the points of a group."""

    x: tuple[float, ...]
    y: tuple[float, ...]
    is_dashed: bool = False
    fill: Fill = INK


@dataclass(frozen=True, slots=True)
class Words:
    """What stands around a chart: the prefix of its ids, its title, its description and its caption."""

    prefix: str
    title: str
    description: str
    caption: str


def point_chart(
    points: pd.DataFrame, signs: Sequence[Sign], axes: Axes, lines: Sequence[Line], words: Words, link: Link
) -> Sketch | None:
    """The points with the columns target (an address of the site), x, y, group and words; None where there is none."""
    if points.empty:
        return None
    are_linked = len(points) <= MOST_LINKED
    drawn = points.iloc[:: -(-len(points) // MOST_DRAWN)]
    notes = [words.caption]
    if len(drawn) < len(points):
        notes.append(f"{len(drawn)} of {len(points)} products are drawn, evenly chosen by name.")
    caption = " ".join(filter(None, notes))
    shown = [sign for sign in signs if sign.label in set(points["group"])]
    margins = Margins(_LEFT, _RIGHT, key_height(shown, WIDTH) + 36, _BOTTOM)
    layers = [
        _frame(axes, points["y"]),
        *(_line(line) for line in lines if line.fill != INK),
        *(_points(drawn, sign, are_linked) for sign in reversed(shown)),
    ]
    layers += [_line(line) for line in lines if line.fill == INK]
    layers += key_layers(shown, margins, WIDTH)
    return sketch(layers, margins, _HEIGHT, words.prefix, words.title, words.description, caption, link)


def _frame(axes: Axes, values: pd.Series) -> Layer:
    """The axes alone: one invisible point, so that every layer shares their scales."""
    x = number(
        "x", scale={"type": axes.x_scale, "domain": axes.x_domain, "nice": False, "zero": False},
        axis={"title": axes.x_title, "titleY": 32, "values": axes.x_values, "format": "d", "grid": False},
    )  # fmt: skip
    ends = list(axes.y_domain or (min(0.0, float(values.min()) * 1.05), max(0.0, float(values.max()) * 1.05)))
    left_axis = {
        "title": axes.y_title, "titleAngle": 0, "titleAlign": "left", "titleX": -44, "titleY": -18, "tickCount": 6,
        "domain": False, "ticks": False,
    }  # fmt: skip
    y = number("y", scale={"domain": ends, "nice": False if axes.y_domain else 6}, axis=left_axis)
    look = {"opacity": 0, "size": 0, "aria": False, "fill": INK.stand_in, "stroke": INK.stand_in}
    return layer([{"x": axes.x_domain[0], "y": 0}], "point", look, x=x, y=y)


def _points(points: pd.DataFrame, sign: Sign, are_linked: bool) -> Layer:
    group = points[points["group"] == sign.label]
    rows = [
        {"x": row.x, "y": row.y, "words": row.words, "link": f"{SITE}{row.target}" if are_linked else None}
        for row in group.itertuples()
    ]
    look = {**point_style(sign), "size": 70 if are_linked else 24, "aria": are_linked}
    links = {"description": word("words"), "href": word("link")} if are_linked else {}
    return layer(rows, "point", look, x=number("x"), y=number("y"), **links)


def _line(line: Line) -> Layer:
    ends = [{"x": x, "y": y} for x, y in zip(line.x, line.y, strict=True)]
    dash = [6, 4] if line.is_dashed else [1, 0]
    look = {"stroke": line.fill.stand_in, "strokeWidth": 2, "strokeDash": dash, "aria": False}
    return layer(ends, "line", look, x=number("x"), y=number("y"))


def spread_out(values: pd.Series, positions: pd.Series, width: float) -> pd.Series:
    """Positions moved a little sideways, so that points of one year with like values lie apart; a lone one stays."""
    rank = values.groupby(positions).rank(method="first").astype(int)
    return positions + width * (rank.map(_scattered) - 0.5)


def _scattered(number: int) -> float:
    """A fraction between 0 and 1 far from those of the numbers before it: the binary digits mirrored at the point."""
    return int(f"{number:b}"[::-1], 2) / 2 ** number.bit_length()


def medians(points: pd.DataFrame, width: float) -> list[Line]:
    """A short line at the median of each position that has five points or more."""
    lines = []
    for position, group in points.groupby("at"):
        if len(group) >= LEAST_FOR_INTERVAL:
            middle = float(group["y"].median())
            lines.append(Line((position - width, position + width), (middle, middle)))
    return lines
