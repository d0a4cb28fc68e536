"""Tables as HTML. In Python because half of a product page is cells, and a template macro takes five times as long.

Texts pass through the function of the templates, ``markupsafe.escape``; without a special sign they need no pass.
"""

import re
from collections.abc import Iterable, Sequence

from markupsafe import Markup, escape

from lidoff.pages.table import Cell, Column, Grid

_SPECIAL = re.compile(r"[&<>\"']")


def grid(table: Grid, sort: bool = False) -> Markup:
    """A table in its scrolling box, with its notes; ``sort`` lets the script work on it."""
    return Markup("".join(_pieces(table, sort)))


def escaped(text: str) -> str:
    """Text for HTML, in an element or in a quoted attribute."""
    return str(escape(text)) if _SPECIAL.search(text) else text


def _pieces(table: Grid, sort: bool) -> Iterable[str]:
    caption = escaped(table.caption)
    name = f' data-table="{escaped(table.file_name)}"' if sort else ""
    yield f'<div class="lf-scroll" role="group" aria-label="{caption}" tabindex="0">\n'
    yield f'<table class="lf-grid"{name}>\n<caption>{caption}</caption>\n<thead><tr>'
    yield from map(_heading, table.columns)
    yield "</tr></thead>\n"
    opening = _openings(table.columns)
    if table.rows:
        yield from _body(table.rows, opening, "")
    for section in table.sections:
        title = f'<th scope="rowgroup" colspan="{len(table.columns)}">{escaped(section.title)}</th>'
        yield from _body(section.rows, opening, f'<tr class="lf-section">{title}</tr>\n')
    if table.foot:
        yield f"<tfoot>{_row(table.foot, opening)}</tfoot>\n"
    yield "</table>\n</div>\n"
    for note in table.notes:
        yield f'<p class="lf-note">{escaped(note)}</p>\n'


def _heading(column: Column) -> str:
    number = ' class="n"' if column.is_number else ""
    key = f' data-key="{escaped(column.key)}"' if column.key else ""
    return f'<th scope="col"{number}{key}>{escaped(column.label)}</th>'


def _openings(columns: Sequence[Column]) -> tuple[str, ...]:
    """How each cell of a row begins; the first is the row's heading."""
    return ('<th scope="row"', *('<td class="n"' if column.is_number else "<td" for column in columns[1:]))


def _body(rows: Iterable[Sequence[Cell]], opening: Sequence[str], heading: str) -> Iterable[str]:
    yield f"<tbody>\n{heading}"
    for row in rows:
        yield _row(row, opening)
    yield "</tbody>\n"


def _row(row: Sequence[Cell], opening: Sequence[str]) -> str:
    closings = ("</th>",) + ("</td>",) * (len(row) - 1)
    cells = [start + _content(cell) + end for start, cell, end in zip(opening, row, closings, strict=True)]
    return f"<tr>{''.join(cells)}</tr>\n"


def _content(cell: Cell) -> str:
    """The rest of a cell's opening tag, then what stands in it."""
    text = escaped(cell.text)
    if cell.href:
        text = f'<a href="{escaped(cell.href)}">{text}</a>'
    elif cell.is_code:
        text = f"<code>{text}</code>"
    start = ">" if cell.order is None else f' data-order="{cell.order}">'
    return f"{start}{text}<small>{escaped(cell.note)}</small>" if cell.note else start + text
