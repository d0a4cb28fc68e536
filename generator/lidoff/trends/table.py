"""What a trend table is: counted cells that know their products, totals of distinct products, and what it all means."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import pandas as pd


Value = int | float | str | None
Kind = Literal["counts", "values", "list"]

NOT_THE_MARKET = (
    "This counts the products that were opened for this knowledge base. It is no random sample of the market."
)


@dataclass(frozen=True, slots=True)
class Share:
    """Platforms that have something, of all looked at, with the Wilson interval (95 %); fractions, not per cent."""

    platforms: int
    of_platforms: int
    low: float
    high: float

    @property
    def fraction(self) -> float:
        """The share itself."""
        return self.platforms / self.of_platforms


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its value, the products behind it by slug, and its share where there are enough platforms for one."""

    value: Value
    products: tuple[str, ...] = ()
    share: Share | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One row. ``about`` is what its label names, for links: ``("tier", "46-67-w")``, ``("part", maker, number)``."""

    label: str
    cells: tuple[Cell, ...]
    key: str = ""
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """One trend table.

    ``columns`` are the headings of the cells, without that of the row labels; ``columns_about`` is what they name. A
    table of ``counts`` has distinct products as totals of rows and columns. In a table of ``values`` the totals of rows
    are the products that have the value, and those of columns the same statistics over all rows. A ``list`` has none.
    ``n``, ``brands`` and ``platforms`` count those behind it.
    """

    name: str
    title: str
    description: str
    row_header: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    row_totals: tuple[Value, ...]
    column_totals: tuple[Value, ...]
    n: int
    brands: int
    platforms: int
    columns_about: tuple[tuple[str, ...], ...] = ()
    notes: tuple[str, ...] = ()
    kind: Kind = "counts"

    def cell(self, row_label: str, column: str) -> Cell:
        """The cell at a row's label and a column's heading; raises KeyError where there is none."""
        for row in self.rows:
            if row.label == row_label and column in self.columns:
                return row.cells[self.columns.index(column)]
        raise KeyError(f"no cell {row_label}, {column} in {self.name}")


def reach(products: pd.DataFrame) -> dict[str, int]:
    """Distinct products, brands and platforms of a frame that has those columns, as a table counts them."""
    columns = {"n": "slug", "brands": "brand", "platforms": "platform"}
    return {name: int(products[column].nunique()) for name, column in columns.items()}


def slugs(values: Iterable[str]) -> tuple[str, ...]:
    """Distinct slugs in their order."""
    return tuple(sorted(set(values)))


def counted(count: int, noun: str) -> str:
    """A number of things: 1 product, 2 products."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
