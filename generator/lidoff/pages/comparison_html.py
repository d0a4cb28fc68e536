"""The lines of a comparison as HTML. In Python for the reason that tables are: a page has hundreds of cells."""

from collections.abc import Iterable
from functools import lru_cache

from markupsafe import Markup

from lidoff.pages.escaping import escaped
from lidoff.pages.views.comparison import ComparedLine, ComparedSection

CACHED = 20_000  # cells: one product's stand on many pages, and many products have the same


def compared(sections: Iterable[ComparedSection], columns: int) -> Markup:
    """The body of a table of so many columns, with a part for each section."""
    return Markup("".join(_section(section, columns) for section in sections))


def _section(section: ComparedSection, columns: int) -> str:
    heading = f'<tr class="lf-section"><th scope="rowgroup" colspan="{columns}">{escaped(section.title)}</th></tr>'
    return f"<tbody>\n{heading}\n{''.join(map(_row, section.lines))}</tbody>\n"


def _row(line: ComparedLine) -> str:
    start = '<tr class="lf-differs">' if line.differs else "<tr>"
    cells = "".join([_cell(one.text or one.missing, one.also) for one in line.lines])
    return f'{start}<th scope="row">{escaped(line.label)}</th>{cells}<td>{escaped(line.difference)}</td></tr>\n'


@lru_cache(maxsize=CACHED)
def _cell(text: str, also: str) -> str:
    more = f"<small>{escaped(also)}</small>" if also else ""
    return f"<td>{escaped(text)}{more}</td>"
