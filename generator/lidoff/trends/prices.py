"""Price for each watt, a currency at a time, since no rate of exchange is assumed."""

from dataclasses import astuple

from lidoff.trends.frames import Frames
from lidoff.trends.spread import COLUMNS, QUARTILES_NOTE
from lidoff.trends.statistics import spread_of
from lidoff.trends.table import Cell, Row, Table, reach, slugs

PRICE = "price_per_watt"
PRICE_COLUMNS = COLUMNS[1:]


def price_by_currency(frames: Frames) -> Table:
    """The spread of the price for each watt in each currency; there is no row over all of them."""
    prices = frames.figures[(frames.figures["figure"] == PRICE) & frames.figures["value"].notna()]
    rows = []
    for unit, group in prices.groupby("unit", sort=True):
        behind = slugs(group["slug"])
        rows.append(
            Row(unit, tuple(Cell(value, behind) for value in astuple(spread_of(group["value"].tolist()))), key=unit)
        )
    return Table(
        name="price-by-currency",
        title="Price per watt by currency",
        description="What was paid for a unit over its rated power, by currency; one purchase on one day.",
        row_header="currency",
        columns=PRICE_COLUMNS,
        rows=tuple(rows),
        row_totals=tuple(row.cells[0].value for row in rows),
        column_totals=(),
        notes=(QUARTILES_NOTE,),
        kind="list",
        **reach(frames.products[frames.products["slug"].isin(prices["slug"])]),
    )
