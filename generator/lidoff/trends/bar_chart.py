"""A table of counts as bars: one bar a column of the table, cut into its rows."""

from collections.abc import Mapping, Sequence

from lidoff.trends.canvas import (
    SMALL,
    WIDTH,
    Margins,
    Sign,
    Sketch,
    key_height,
    key_layers,
    sketch,
    text_style,
    text_width,
)
from lidoff.trends.marks import Layer, fixed, layer, number, where, word
from lidoff.trends.palette import GROUND, INK, QUIET, Fill
from lidoff.trends.statistics import LEAST_FOR_SHARE
from lidoff.trends.svg import SITE, Link
from lidoff.trends.table import Row, Table, counted

_BAR, _STEP, _PLATE = 24, 36, 17
# a few products shall not look like a multitude
_SHORTEST_AXIS = 5
_LEFT, _RIGHT, _BOTTOM = 92, 64, 46
_MOST = 0.75


def bar_chart(table: Table, fills: Mapping[str, Fill], link: Link, prefix: str) -> Sketch | None:
    """The bars of a table of counts, or None where it counts nothing.

    Where the columns that have enough platforms for a share hold most of all products, bars show shares and the other
    columns are left out; else they show numbers of products.
    """
    filled = [column for column, total in zip(table.columns, table.column_totals, strict=True) if total]
    enough = [column for column in filled if table.cell(table.rows[0].label, column).share]
    is_share = len(enough) > 1 and sum(_total(table, column) for column in enough) >= _MOST * table.n
    columns = enough if is_share else filled
    rows = [row for row in table.rows if any(table.cell(row.label, column).value for column in columns)]
    if not rows:
        return None
    signs = [Sign(row.label, fills[row.key]) for row in rows]
    margins = Margins(_LEFT, _RIGHT, key_height(signs, WIDTH) + 8, _BOTTOM)
    pieces = [piece for column in columns for piece in _pieces(table, rows, column, fills, is_share, margins)]
    layers = [
        *_bars(pieces, columns, table, is_share),
        *_totals(table, columns, margins),
        *key_layers(signs, margins, WIDTH),
    ]
    caption = _caption(table, [column for column in filled if column not in columns], is_share)
    return sketch(layers, margins, _STEP * len(columns), prefix, table.title, table.description, caption, link)


def _total(table: Table, column: str) -> int:
    return int(table.column_totals[table.columns.index(column)])


def _pieces(
    table: Table, rows: Sequence[Row], column: str, fills: Mapping[str, Fill], is_share: bool, margins: Margins,
) -> list[dict[str, object]]:  # fmt: skip
    """The pieces of one bar from left to right, with the words that fit into each and the plate that they stand on."""
    total = _total(table, column)
    whole = total if is_share else 1
    plot = WIDTH - margins.left - margins.right
    about = table.columns_about[table.columns.index(column)]
    pieces, start = [], 0.0
    for row in rows:
        count = int(table.cell(row.label, column).value)
        if not count:
            continue
        size, middle = count / whole, (start + count / 2) / whole
        text = _fitting(row.label, count, plot * size / _axis_end(table, is_share))
        half = (text_width(text, SMALL) / 2 + 3) * _axis_end(table, is_share) / plot
        pieces.append({
            "column": column, "start": start / whole, "end": start / whole + size, "fill": fills[row.key].stand_in,
            "edge": Fill(fills[row.key].outline).stand_in, "text": text, "middle": middle, "left": middle - half,
            "right": middle + half,
            "words": f"{row.label}, {column}: {count} of {counted(total, 'product')}",
            "link": f"{SITE}/tiers/{about[1]}/" if about[:1] == ("tier",) else None,
        })  # fmt: skip
        start += count
    return pieces


def _axis_end(table: Table, is_share: bool) -> int:
    return 1 if is_share else max(_SHORTEST_AXIS, *(int(total) for total in table.column_totals))


def _fitting(label: str, count: int, room: float) -> str:
    for text in (f"{label} {count}", str(count)):
        if text_width(text, SMALL) + 10 <= room:
            return text
    return ""


def _bars(pieces: list[dict[str, object]], columns: Sequence[str], table: Table, is_share: bool) -> list[Layer]:
    title = "share of products" if is_share else "products"
    end = _axis_end(table, is_share)
    label = {"labelExpr": "round(datum.value * 100) + ' %'"} if is_share else {}
    axis = {
        "title": title, "titleY": 32, "grid": True, "format": "" if is_share else "d",
        "tickCount": 5 if is_share else min(end, 6), **label,
    }  # fmt: skip
    plain_axis = {"ticks": False, "domain": False, "labelPadding": 8}
    y = word("column", sort=list(columns), title=None, axis=plain_axis, scale={"padding": 0})
    places = {"axis": axis, "scale": {"domain": [0, end], "nice": False}}
    bars = layer(
        pieces, "bar", {"height": _BAR, "strokeWidth": 1}, x=number("start", **places), x2={"field": "end"}, y=y,
        fill=word("fill", scale=None), stroke=word("edge", scale=None), description=word("words"), href=word("link"),
    )  # fmt: skip
    plate = {"height": _PLATE, "cornerRadius": 3, "fill": GROUND.stand_in, "aria": False}
    plates = layer(pieces, "bar", plate, x=number("left"), x2={"field": "right"}, y=y)
    text = {**text_style(INK, SMALL), "aria": False}
    words = layer(pieces, "text", text, x=number("middle"), y=y, text=word("text"))
    return [bars, where(plates, "datum.text != ''"), where(words, "datum.text != ''")]


def _totals(table: Table, columns: Sequence[str], margins: Margins) -> list[Layer]:
    """The number of products behind each bar, at its end of the line."""
    lines = [{"column": column, "text": f"n = {_total(table, column)}"} for column in columns]
    text = {**text_style(QUIET, SMALL), "align": "left", "aria": False}
    x = fixed(WIDTH - margins.left - margins.right + 8)
    return [layer(lines, "text", text, x=x, y=word("column", sort=list(columns)), text=word("text"))]


def _caption(table: Table, left_out: Sequence[str], is_share: bool) -> str:
    if not is_share:
        return f"Numbers of products: too many bars have fewer than the {LEAST_FOR_SHARE} designs that a share needs."
    few = ", ".join(f"{column} ({_total(table, column)})" for column in left_out)
    return f"Shares of products.{f' Too few designs for a share: {few}.' if few else ''}"
