"""Tables and statements as the templates take them."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import starmap
from typing import Generic, NamedTuple, TypeVar

import msgspec

Row = TypeVar("Row")
MANY = 3  # rows from which a column that always says the same is a line below the table


class Link(NamedTuple):
    """Text that leads somewhere; without ``href`` it is text alone."""

    text: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class Thumb:
    """A small picture that leads to the large one, with the number under which the page marks its subject."""

    src: str
    width: int
    height: int
    alt: str
    number: int
    href: str


class Cell(msgspec.Struct, frozen=True):
    """A cell that is more than a text: where it leads, a quieter second line, a number to sort by; or a picture.

    A cell that is text alone is the text itself. A struct, since a page has hundreds of them and a frozen dataclass takes
    ten times as long to make.
    """

    text: str
    href: str = ""
    note: str = ""
    order: float | None = None
    is_code: bool = False
    thumb: Thumb | None = None


Cells = tuple[str | Cell, ...]


class Column(NamedTuple):
    """One column. ``key`` is short and stays the same, for scripts and addresses."""

    label: str
    is_number: bool = False
    key: str = ""


class Section(NamedTuple):
    """Rows of a table under a heading of their own."""

    title: str
    rows: tuple[Cells, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A table: the first cell of each row is its heading. ``sections`` follow the rows that stand under no heading."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Cells, ...]
    file_name: str = ""
    notes: tuple[str, ...] = ()
    foot: Cells = ()
    sections: tuple[Section, ...] = ()


class Fact(NamedTuple):
    """A term with its value; ``also`` is the same value in other units or a word on how it is meant."""

    term: str
    value: str
    also: str = ""
    href: str = ""


class Field(NamedTuple, Generic[Row]):
    """How a column is made from a row; where ``is_file`` the text is a file beside the page, which the cell leads to."""

    label: str
    text: Callable[[Row], str]
    is_number: bool = False
    is_file: bool = False


def grid_of(
    caption: str, rows: Sequence[Row], fields: Iterable[Field[Row]], notes: tuple[str, ...] = ()
) -> Grid | None:
    """A table of those columns that hold anything; what is the same in many rows is said once. None if nothing."""
    columns = [(field, list(map(field.text, rows))) for field in fields]
    filled = [(field, texts) for field, texts in columns if any(texts)]
    if not filled:
        return None
    same = [(field, texts) for field, texts in filled[1:] if _is_said_once(field, texts)]
    used = [one for one in filled if one not in same]
    cells = zip(*starmap(_cells, used), strict=True)
    if same:
        said = "; ".join(f"{field.label}: {texts[0]}" for field, texts in same)
        notes = (f"Alike in every row. {said}.", *notes)
    return Grid(caption, tuple(Column(field.label, field.is_number) for field, _ in used), tuple(cells), notes=notes)


def _is_said_once(field: Field, texts: Sequence[str]) -> bool:
    return not field.is_file and len(texts) >= MANY and len(set(texts)) == 1


def _cells(field: Field, texts: Sequence[str]) -> Sequence[str | Cell]:
    return [Cell(text, text) for text in texts] if field.is_file else texts
