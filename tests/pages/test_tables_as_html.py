"""Tables as HTML: every text comes back as it was, whatever signs it holds, in the place where it was put."""

import html
import re
from itertools import chain

from hypothesis import given
from hypothesis import strategies as st

from lidoff.pages.escaping import all_escaped, escaped
from lidoff.pages.table import Cell, Column, Grid, Section
from lidoff.pages.table_html import grid

# the signs of HTML, of the form that a table is made as, and what parts texts there
TEXTS = st.text(alphabet=st.sampled_from("ab <>&\"'%s{}\0\u00a0é"), max_size=8)
CELLS = TEXTS | st.builds(Cell, TEXTS, href=TEXTS, note=TEXTS, order=st.none() | st.floats(0, 9), is_code=st.booleans())
COLUMNS = (Column("What %s", key="a%"), Column("<b>", is_number=True), Column("100 %"))
ROWS = st.lists(st.tuples(CELLS, CELLS, CELLS), max_size=4).map(tuple)
_CELL = re.compile(r"<t[hd]((?: [^>]*)?)>(.*?)</t[hd]>", re.DOTALL)


def read(cell: str) -> tuple[str, str, str]:
    """Address, text and note of a cell."""
    link = re.match(r'<a href="([^"]*)">', cell)
    text, _, note = re.sub(r"<a [^>]*>|</a>|</?code>|</small>", "", cell).partition("<small>")
    return html.unescape(link[1]) if link else "", html.unescape(text), html.unescape(note)


def said(cell: str | Cell) -> tuple[str, str, str]:
    return ("", cell, "") if isinstance(cell, str) else (cell.href, cell.text, cell.note)


@given(TEXTS, ROWS, ROWS, st.lists(TEXTS, max_size=2).map(tuple), st.tuples(CELLS, CELLS, CELLS) | st.just(()))
def test_every_text_stands_where_it_was_put(
    caption: str, rows: tuple, further: tuple, notes: tuple[str, ...], foot: tuple
) -> None:
    made = grid(Grid(caption, COLUMNS, rows, "f", notes, foot, (Section(caption, further),)), sort=True)
    head, *cells = made.split("</thead>")
    assert [html.unescape(text) for _, text in _CELL.findall(head)] == [column.label for column in COLUMNS]
    assert f'aria-label="{escaped(caption)}"' in head and 'data-table="f"' in head and 'data-key="a%"' in head
    body = [text for attributes, text in _CELL.findall("".join(cells)) if "rowgroup" not in attributes]
    assert [read(text) for text in body] == [said(cell) for cell in chain(*rows, *further, foot)]
    assert [html.unescape(one) for one in re.findall(r'<p class="lf-note">(.*?)</p>', made, re.DOTALL)] == list(notes)


@given(st.lists(TEXTS, max_size=6))
def test_many_texts_are_escaped_as_one_is(texts: list[str]) -> None:
    assert list(all_escaped(texts)) == [escaped(text) for text in texts]
