"""A table of counts as a field of squares: the more a square holds the stronger its colour, with its number written in it."""

from collections.abc import Sequence
from math import ceil

from lidoff.record.identity import slug
from lidoff.trends.canvas import SMALL, WIDTH, Margins, Sketch, cut_to, sketch, text_style, text_width
from lidoff.trends.frames import Frames
from lidoff.trends.marks import Layer, fixed, layer, number, rank, word
from lidoff.trends.palette import GRID, INK, QUIET, SERIES, Fill
from lidoff.trends.statistics import LEAST_FOR_SHARE
from lidoff.trends.svg import SITE, Link
from lidoff.trends.table import Row, Table, counted

MOST_ROWS = 30
_STEP, _LINE, _GAP, _RIGHT, _BOTTOM = 30, 16, 10, 6, 8
_LONGEST_LABEL = 170
_SMALLEST, _APART = 9, 6
# ink on the strongest colour keeps a contrast of more than 7 to 1 on light and dark pages
_STRONGEST = 0.35
_MOST = 0.75


def heat_chart(frames: Frames, table: Table, link: Link, prefix: str) -> Sketch | None:
    """The squares of a table of counts, rows that hold something only; None where it counts nothing."""
    used = [row for row in table.rows if any(cell.value for cell in row.cells)]
    places = [place for place, total in enumerate(table.column_totals) if total]
    if not used:
        return None
    rows = used[:MOST_ROWS]
    with_share = [place for place in places if rows[0].cells[place].share]
    totals = [int(table.column_totals[place]) for place in with_share]
    is_share = len(with_share) > 1 and sum(totals) >= _MOST * table.n
    left = ceil(min(_LONGEST_LABEL, max(text_width(row.label, SMALL) for row in rows))) + _GAP
    width = (WIDTH - left - _RIGHT) / len(places)
    heads = [_head(table, place, width) for place in places]
    widest = max(text_width(line, SMALL) for head in heads for line in head)
    size = max(_SMALLEST, min(SMALL, int(SMALL * (width - _APART) / widest)))
    margins = Margins(left, _RIGHT, _LINE * max(map(len, heads)) + 8, _BOTTOM)
    layers = [
        *_squares([
            {"row": number, **_square(table, row, place, is_share)}
            for number, row in enumerate(rows) for place in places
        ], places),
        *_labels(rows, margins),
        *_headings(heads, width, size),
    ]  # fmt: skip
    caption = _caption(table, len(used) - len(rows), is_share)
    return sketch(layers, margins, _STEP * len(rows), prefix, table.title, table.description, caption, link)


def _head(table: Table, place: int, room: float) -> list[str]:
    """The heading of a column in one or two lines, and the number of products behind it."""
    column = table.columns[place]
    lines = [column] if text_width(column, SMALL) <= room else column.rsplit(" ", 1)
    return [*lines, f"n = {table.column_totals[place]}"]


def _square(table: Table, row: Row, place: int, is_share: bool) -> dict[str, object]:
    cell, total = row.cells[place], table.column_totals[place]
    column, count = table.columns[place], int(cell.value)
    most = max(int(one.value) for line in table.rows for one in line.cells)
    part = (cell.share.fraction if cell.share else 0.0) if is_share else count / most
    text = f"{100 * cell.share.fraction:.0f} %" if is_share and cell.share else str(count)
    return {
        "place": place, "text": text, "part": _STRONGEST * part,
        "words": f"{row.label}, {column}: {count} of {counted(int(total), 'product')}",
        "link": _target(row, table, place) if count else None,
    }  # fmt: skip


def _target(row: Row, table: Table, place: int) -> str | None:
    """The product where there is only one, else the page of what the row or column names; None where there is none."""
    behind = row.cells[place].products
    if len(behind) == 1:
        return f"{SITE}/products/{behind[0]}/"
    match row.about, table.columns_about[place]:
        case ("maker", maker), _:
            return f"{SITE}/makers/{slug(maker)}/"
        case _, ("tier", tier):
            return f"{SITE}/tiers/{tier}/"
    return None


def _squares(squares: list[dict[str, object]], places: Sequence[int]) -> list[Layer]:
    band = {"paddingInner": 0.06, "paddingOuter": 0}
    # rows by number: the drawing library fails at a few names, such as ``constructor``
    numbers = list(dict.fromkeys(square["row"] for square in squares))
    at = {"x": rank("place", places, axis=None, scale=band), "y": rank("row", numbers, axis=None, scale=band)}
    ground = {"fill": Fill(SERIES[0]).stand_in, "stroke": GRID.stand_in, "strokeWidth": 1}
    shade = number("part", scale=None)
    fields = layer(squares, "rect", ground, **at, fillOpacity=shade, description=word("words"), href=word("link"))
    return [fields, layer(squares, "text", {**text_style(INK, SMALL), "aria": False}, **at, text=word("text"))]


def _labels(rows: Sequence[Row], margins: Margins) -> list[Layer]:
    """What stands left of the rows."""
    room = margins.left - _GAP
    names = [{"row": number, "text": cut_to(row.label, room, SMALL)} for number, row in enumerate(rows)]
    look = {**text_style(INK, SMALL), "align": "right", "aria": False}
    return [layer(names, "text", look, x=fixed(-8), y=rank("row", range(len(rows))), text=word("text"))]


def _headings(heads: list[list[str]], width: float, size: int) -> list[Layer]:
    """What stands over the columns, line by line, in letters small enough to stay apart."""
    layers, deepest = [], max(map(len, heads))
    for place, head in enumerate(heads):
        for line, text in enumerate(head):
            ink = QUIET if line == len(head) - 1 else INK
            y = _LINE * (deepest - len(head) + line - deepest) + _LINE / 2 - 4
            look, x = {**text_style(ink, size), "align": "center", "aria": False}, width * (place + 0.5)
            layers.append(layer([{"text": text}], "text", look, x=fixed(x), y=fixed(y), text=word("text")))
    return layers


def _caption(table: Table, rows_left_out: int, is_share: bool) -> str:
    if is_share:
        said = (
            "Shares of distinct designs, the stronger the colour the larger. A column with fewer than "
            f"{LEAST_FOR_SHARE} designs shows numbers of products and no shade."
        )
    else:
        said = "Numbers of products, the stronger the colour the more; n is all products counted in the column."
    more = f" {counted(rows_left_out, 'further row')} in the table below only." if rows_left_out else ""
    return said + more
