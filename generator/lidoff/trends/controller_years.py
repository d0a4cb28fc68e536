"""In which years each controller was seen: of the products that hold it, not of its time on sale."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from lidoff.rows.positions import NOT_IDENTIFIED
from lidoff.trends.controllers import FUNCTIONS, recorded
from lidoff.trends.dimensions import DIMENSIONS, subjects
from lidoff.trends.frames import Frames
from lidoff.trends.table import Cell, Row, Table, counted, reach, slugs

if TYPE_CHECKING:
    import pandas as pd

Sighting = tuple[str, str, int]  # product, function, year
COLUMNS = ("function", "first year", "last year", "products")


def controller_years(frames: Frames) -> Table:
    """One row a controller: what it does, the first and the last year, and its products; the earliest first."""
    dated = sightings(frames)
    links = subjects(frames, DIMENSIONS["primary_controller"], set(dated["row"]))
    seen: dict[str, list[Sighting]] = defaultdict(list)
    for part, *sighting in zip(*(dated[name] for name in ("row", "slug", "function", "year")), strict=True):
        seen[part].append(tuple(sighting))
    rows = sorted((_row(part, found, links) for part, found in seen.items()), key=_order)
    undated = frames.products["year"].isna().sum()
    return Table(
        name="controller-years",
        title="Years in which controllers were seen",
        description=(
            "First and last year of the products that hold a controller. The year is that of the product's launch, "
            "else of its teardown; it says nothing of when the part itself was sold."
        ),
        row_header="controller",
        columns=COLUMNS,
        rows=tuple(rows),
        row_totals=(),
        column_totals=(),
        notes=(
            "A part that was seen once has one year; a span grows with the number of products that were opened.",
            *((f"{counted(int(undated), 'product')} without a year not counted.",) if undated else ()),
        ),
        kind="list",
        **reach(frames.products[frames.products["slug"].isin(dated["slug"])]),
    )


def sightings(frames: Frames) -> pd.DataFrame:
    """One line a product, controller and function with the product's year: slug, row, function, year."""
    import pandas as pd

    lines = pd.concat(
        [recorded(frames, field).assign(function=function) for function, field in FUNCTIONS.items()], ignore_index=True
    )
    dated = lines.merge(frames.products[["slug", "year"]], on="slug").dropna(subset=["year"])
    return dated[dated["row"] != NOT_IDENTIFIED]


def _row(part: str, seen: Sequence[Sighting], links: Mapping[str, tuple[str, ...]]) -> Row:
    products, its_functions, years = (set(values) for values in zip(*seen, strict=True))
    functions = ", ".join(function for function in FUNCTIONS if function in its_functions)
    behind = slugs(products)
    values = (functions, int(min(years)), int(max(years)), len(behind))
    return Row(part, tuple(Cell(value, behind) for value in values), key=part, about=links.get(part, ()))


def _order(row: Row) -> tuple[object, ...]:
    _, first, last, _ = (cell.value for cell in row.cells)
    return first, last, row.label.casefold(), row.label
