"""Tables as HTML. In Python because half of a product page is cells, and a template macro takes five times as long.

Texts pass through the function of the templates, ``markupsafe.escape``; without a special sign they need no pass.
"""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from markupsafe import Markup, escape

from lidoff.pages.table import Cell, Column, Grid, Thumb

CACHED = 20_000  # texts: the same words and numbers stand on all pages
_SPECIAL = re.compile(r"[&<>\"']")


def grid(table: Grid, sort: bool = False) -> Markup:
    """A table in its scrolling box, with its notes; ``sort`` lets the script work on it."""
    return Markup("".join(_pieces(table, sort)))


@lru_cache(maxsize=CACHED)
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
    """What stands before each cell of a row, from the end of the one before; the first is the row's heading."""
    further = ['<td class="n"' if column.is_number else "<td" for column in columns[1:]]
    ends = ("</th>", *["</td>"] * len(further))
    return ('<tr><th scope="row"', *(end + start for end, start in zip(ends, further, strict=False)))


def _body(rows: Iterable[Sequence[Cell]], opening: Sequence[str], heading: str) -> Iterable[str]:
    yield f"<tbody>\n{heading}"
    for row in rows:
        yield _row(row, opening)
    yield "</tbody>\n"


def _row(row: Sequence[Cell], opening: Sequence[str]) -> str:
    cells = "".join([start + _content(cell) for start, cell in zip(opening, row, strict=True)])
    return f"{cells}</td></tr>\n" if len(row) > 1 else f"{cells}</th></tr>\n"


def _content(cell: Cell) -> str:
    """The rest of a cell's opening tag, then what stands in it."""
    text, href, note, order, is_code, thumb = cell
    if thumb:
        return f">{_thumb(thumb)}"
    text = escaped(text)
    if href:
        text = f'<a href="{escaped(href)}">{text}</a>'
    elif is_code:
        text = f"<code>{text}</code>"
    start = ">" if order is None else f' data-order="{order}">'
    return f"{start}{text}<small>{escaped(note)}</small>" if note else start + text


def _thumb(thumb: Thumb) -> str:
    """The row's place on the page, too: what marks the subject elsewhere leads here."""
    return (
        f'<a class="lf-thumb" id="part-{thumb.number}" href="{escaped(thumb.href)}" data-mark="{thumb.number}">'
        f'<b>{thumb.number}</b> <img src="{escaped(thumb.src)}" width="{thumb.width}" height="{thumb.height}"'
        f' alt="{escaped(thumb.alt)}" loading="lazy" decoding="async"></a>'
    )
