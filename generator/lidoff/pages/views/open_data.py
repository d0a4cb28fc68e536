"""The page of the data as files: what each table holds, column by column, and how it is cited."""

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from lidoff.pages.linked_data import collection_data
from lidoff.pages.table import Cell, Column, Grid
from lidoff.trends.citation import About, citation_line
from lidoff.trends.open_columns import TABLES, TITLES
from lidoff.trends.open_columns import Column as Described
from lidoff.trends.open_data import BETWEEN, DATABASE
from lidoff.trends.table import NOT_THE_MARKET

TYPES: Mapping[str, str] = {
    "string": "text",
    "words": f"words, separated by \u201c{BETWEEN.strip()}\u201d",
    "boolean": "true or false",
}


@dataclass(frozen=True, slots=True)
class TableView:
    """One table: its name, what a row is, and its columns."""

    name: str
    title: str
    columns: Grid


@dataclass(frozen=True, slots=True)
class OpenDataView:
    """The page."""

    products: int
    reach: str
    tables: tuple[TableView, ...]
    database: str
    licences: tuple[str, ...]
    citation: str
    example: str
    data: Markup


def open_data_view(about: About, products: int) -> OpenDataView:
    """The page of a collection with so many published products."""
    return OpenDataView(
        products=products,
        reach=NOT_THE_MARKET,
        tables=tuple(TableView(name, TITLES[name], _columns(name, columns)) for name, columns in TABLES.items()),
        database=DATABASE,
        licences=about.licences,
        citation=citation_line(about),
        example=example(about.site_url),
        data=collection_data(about),
    )


def example(site_url: str) -> str:
    """Three lines that count with the data."""
    return (
        "import pandas\n"
        f'products = pandas.read_csv("{site_url}data/products.csv")\n'
        'print(products.groupby(["tier", "primary_switch_technology"]).size())'
    )


def _columns(name: str, columns: Mapping[str, Described]) -> Grid:
    rows = tuple(
        (
            Cell(called, is_code=True),
            Cell(TYPES.get(column.type, column.type)),
            Cell(column.unit),
            Cell(column.meaning),
        )
        for called, column in columns.items()
    )
    headings = (Column("Column"), Column("Kind"), Column("Unit"), Column("Meaning"))
    return Grid(f"Columns of {name}", headings, rows)
