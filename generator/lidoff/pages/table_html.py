"""Tables as HTML. In Python because half of a product page is cells, and a template macro takes five times as long.

A table is made as a form with places and the texts that go there, so that all of its texts are escaped in one call.
"""

from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from markupsafe import Markup

from lidoff.pages.escaping import all_escaped, escaped
from lidoff.pages.table import Cell, Cells, Column, Grid, Thumb

CACHED = 1000  # sets of columns: the same few hundred stand on all pages


class Form(NamedTuple):
    """The head of a table, what stands before each cell of its rows, and a row of which every cell is text alone."""

    head: str
    opening: tuple[str, ...]
    closing: str
    plain_row: str


def grid(table: Grid, sort: bool = False) -> Markup:
    """A table in its scrolling box, with its notes; ``sort`` lets the script work on it."""
    texts: list[str] = []
    pieces = "".join(_pieces(table, sort, texts))
    return Markup(pieces % tuple(all_escaped(texts)))


def _pieces(table: Grid, sort: bool, texts: list[str]) -> Iterable[str]:
    """The table with a place for each text; the texts are put at the end of ``texts``."""
    form = _form(table.columns)
    texts += (table.caption, table.file_name, table.caption) if sort else (table.caption, table.caption)
    yield '<div class="lf-scroll" role="group" aria-label="%s" tabindex="0">\n<table class="lf-grid"'
    yield ' data-table="%s">' if sort else ">"
    yield f"\n<caption>%s</caption>\n<thead><tr>{form.head}</tr></thead>\n"
    if table.rows:
        yield "<tbody>\n"
        yield from _rows(table.rows, form, texts)
        yield "</tbody>\n"
    for section in table.sections:
        texts.append(section.title)
        yield f'<tbody>\n<tr class="lf-section"><th scope="rowgroup" colspan="{len(table.columns)}">%s</th></tr>\n'
        yield from _rows(section.rows, form, texts)
        yield "</tbody>\n"
    if table.foot:
        yield "<tfoot>"
        yield from _rows((table.foot,), form, texts)
        yield "</tfoot>\n"
    yield "</table>\n</div>\n"
    texts += table.notes
    yield '<p class="lf-note">%s</p>\n' * len(table.notes)


@lru_cache(maxsize=CACHED)
def _form(columns: tuple[Column, ...]) -> Form:
    further = ['<td class="n"' if column.is_number else "<td" for column in columns[1:]]
    ends = ("</th>", *["</td>"] * len(further))
    opening = ('<tr><th scope="row"', *(end + start for end, start in zip(ends, further, strict=False)))
    closing = f"{ends[-1]}</tr>\n"
    head = "".join(map(_heading, columns)).replace("%", "%%")
    return Form(head, opening, closing, "".join(f"{start}>%s" for start in opening) + closing)


def _heading(column: Column) -> str:
    number = ' class="n"' if column.is_number else ""
    key = f' data-key="{escaped(column.key)}"' if column.key else ""
    return f'<th scope="col"{number}{key}>{escaped(column.label)}</th>'


def _rows(rows: Iterable[Cells], form: Form, texts: list[str]) -> Iterable[str]:
    for row in rows:
        if Cell in map(type, row):
            cells = [start + _content(cell, texts) for start, cell in zip(form.opening, row, strict=True)]
            yield "".join(cells) + form.closing
        else:
            texts += row
            yield form.plain_row


def _content(cell: str | Cell, texts: list[str]) -> str:
    """The rest of a cell's opening tag, then what stands in it, with places for its texts."""
    if type(cell) is str:
        texts.append(cell)
        return ">%s"
    start = ">" if cell.order is None else f' data-order="{cell.order}">'
    if cell.thumb:
        return start + _thumb(cell.thumb, texts)
    shown = "<code>%s</code>" if cell.is_code else "%s"
    if cell.href:
        texts.append(cell.href)
        shown = '<a href="%s">%s</a>'
    texts.append(cell.text)
    if cell.note:
        texts.append(cell.note)
        shown += "<small>%s</small>"
    return start + shown


def _thumb(thumb: Thumb, texts: list[str]) -> str:
    """The row's place on the page, too: what marks the subject elsewhere leads here."""
    texts += (thumb.href, thumb.src, thumb.alt)
    return (
        f'<a class="lf-thumb" id="part-{thumb.number}" href="%s" data-mark="{thumb.number}">'
        f'<b>{thumb.number}</b> <img src="%s" width="{thumb.width}" height="{thumb.height}"'
        f' alt="%s" loading="lazy" decoding="async"></a>'
    )
