"""Controllers over the years: a bar from the first to the last year seen, and a mark in every year with a product."""

import pandas as pd

from lidoff.record.identity import slug
from lidoff.trends.canvas import (
    SMALL,
    WIDTH,
    Margins,
    Sign,
    Sketch,
    cut_to,
    key_height,
    key_layers,
    point_style,
    sketch,
    text_style,
    text_width,
)
from lidoff.trends.controller_years import sightings
from lidoff.trends.controllers import FUNCTIONS
from lidoff.trends.frames import Frames
from lidoff.trends.marks import Channel, Layer, fixed, layer, number, rank, word
from lidoff.trends.palette import INK, SHAPES, Fill, fill_of
from lidoff.trends.svg import SITE, Link
from lidoff.trends.table import Row, Table, counted

LEAST = 2
MOST_ROWS = 40
_STEP, _RIGHT, _BOTTOM, _LONGEST_LABEL = 20, 20, 46, 250


def years_chart(frames: Frames, table: Table, link: Link, prefix: str) -> Sketch | None:
    """The controllers that several products hold, the earliest first; None where there is none."""
    often = [row for row in table.rows if row.cells[3].value >= LEAST]
    if not often:
        return None
    most_used = sorted(often, key=lambda row: (-row.cells[3].value, row.label))[:MOST_ROWS]
    rows = [row for row in often if row in most_used]
    signs = [sign for sign in _signs() if sign.label in {_function(row) for row in rows}]
    left = min(_LONGEST_LABEL, max(text_width(row.label, SMALL) for row in rows)) + 14
    margins = Margins(int(left), _RIGHT, key_height(signs, WIDTH) + 8, _BOTTOM)
    layers = [_bars(rows, signs), *_marks(rows, signs, frames), _names(rows), *key_layers(signs, margins, WIDTH)]
    caption = _caption(table, often, rows)
    return sketch(layers, margins, _STEP * len(rows), prefix, table.title, table.description, caption, link)


def _signs() -> list[Sign]:
    fills = [Fill(fill_of(function, place).colour) for place, function in enumerate(FUNCTIONS)]
    fills[5] = Fill("chart-neutral")
    return [Sign(function, fills[place], SHAPES[place]) for place, function in enumerate(FUNCTIONS)]


def _function(row: Row) -> str:
    """The function that a controller is drawn by: the first where it has several."""
    return str(row.cells[0].value).partition(", ")[0]


def _words(row: Row) -> str:
    function, first, last, count = (cell.value for cell in row.cells)
    years = str(first) if first == last else f"{first} to {last}"
    return f"{row.label} ({function}): {years}, {counted(int(count), 'product')}"


def _target(row: Row) -> str:
    _, maker, number = row.about
    return f"{SITE}/parts/{slug(maker) if maker else '-'}/{slug(number)}/"


def _axes(rows: list[Row]) -> tuple[Channel, Channel]:
    first, last = min(row.cells[1].value for row in rows), max(row.cells[2].value for row in rows)
    values = list(range(first, last + 1))[:: -(-(last - first + 1) // 12)]
    axis = {"title": "year of launch, else of teardown", "titleY": 32, "values": values, "format": "d"}
    x = number("first", scale={"domain": [first - 0.5, last + 0.5], "nice": False, "zero": False}, axis=axis)
    return x, _places(rows)


def _places(rows: list[Row]) -> Channel:
    """Rows from top to bottom by number: the drawing library fails at a few names of parts, such as ``constructor``."""
    return rank("place", range(len(rows)), axis=None, scale={"padding": 0})


def _bars(rows: list[Row], signs: list[Sign]) -> Layer:
    fills = {sign.label: sign.fill.stand_in for sign in signs}
    x, y = _axes(rows)
    lines = [
        {"place": place, "first": row.cells[1].value - 0.12, "last": row.cells[2].value + 0.12,
         "fill": fills[_function(row)], "words": _words(row), "link": _target(row)}
        for place, row in enumerate(rows)
    ]  # fmt: skip
    fill, words, link = word("fill", scale=None), word("words"), word("link")
    return layer(lines, "bar", {"height": 5}, x=x, x2={"field": "last"}, y=y, fill=fill, description=words, href=link)


def _marks(rows: list[Row], signs: list[Sign], frames: Frames) -> list[Layer]:
    """A mark in each year with a product; bars are linked, so these let clicks through."""
    seen = sightings(frames)[["row", "year"]].drop_duplicates()
    years: dict[str, pd.Series] = dict(iter(seen.groupby("row")["year"]))
    layers = []
    for sign in signs:
        points = [
            {"place": place, "first": int(year)}
            for place, row in enumerate(rows) if _function(row) == sign.label for year in years[row.key]
        ]  # fmt: skip
        look = {**point_style(sign), "size": 80, "aria": False}
        layers.append(layer(points, "point", look, x=number("first"), y=_places(rows)))
    return layers


def _names(rows: list[Row]) -> Layer:
    names = [{"place": place, "text": cut_to(row.label, _LONGEST_LABEL, SMALL)} for place, row in enumerate(rows)]
    look = {**text_style(INK, SMALL), "align": "right", "aria": False}
    return layer(names, "text", look, x=fixed(-10), y=_places(rows), text=word("text"))


def _caption(table: Table, often: list[Row], rows: list[Row]) -> str:
    once, more = len(table.rows) - len(often), len(often) - len(rows)
    pieces = ["A mark is a year with a product, the bar joins the first and the last."]
    pieces.append("A controller with several functions is drawn by the first of them.")
    if once:
        pieces.append(
            f"{counted(once, 'controller')} seen in one product only {'is' if once == 1 else 'are'} left out."
        )
    if more:
        pieces.append(f"{counted(more, 'less used controller')} left out.")
    return " ".join(pieces)
