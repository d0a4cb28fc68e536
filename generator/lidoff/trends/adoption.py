"""How many products of a year speak adjustable or extended protocols or switch with GaN, and of how many examined."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from lidoff.rows.positions import PRIMARY_SWITCH
from lidoff.trends.counting import Axis, Heading, axis, count
from lidoff.trends.dimensions import DIMENSIONS, facts
from lidoff.trends.frames import Frames
from lidoff.trends.statistics import share_of
from lidoff.trends.table import Row, Table

if TYPE_CHECKING:
    import pandas as pd

EXAMINED = "protocols examined"
DETERMINED = "primary switch determined"
# row of the table -> the row that it is a share of
BASES = {"PPS": EXAMINED, "AVS": EXAMINED, "EPR": EXAMINED, "GaN primary switch": DETERMINED}
ROWS = (EXAMINED, "PPS", "AVS", "EPR", DETERMINED, "GaN primary switch")
_SPOKEN = {"PPS": {"pps"}, "AVS": {"spr-avs", "epr-avs"}, "EPR": {"epr", "epr-avs"}}
_FAMILIES = ("gan", "silicon", "sic", "mixed")


def adoption_by_year(frames: Frames) -> Table:
    """Products by what they offer (rows) and year (columns), each row with the row of those examined for it."""
    years = facts(frames, DIMENSIONS["year"]).rename(columns={"word": "column"})
    lines = _lines(frames.products).merge(years, on="slug")
    heading = Heading(
        "adoption-by-year",
        "Adjustable outputs and GaN by year",
        "Products of each year that speak PPS, AVS or EPR, among those whose ports were examined for the protocols "
        "that they speak, and products with GaN as primary switch, among those whose switch was determined.",
        (
            f"Percentages, where there are designs enough: PPS, AVS and EPR are of the designs in the row “{EXAMINED}”, those of GaN of the designs "
            f"in the row “{DETERMINED}”.",
            "AVS is that of the standard or of the extended range. A product whose primary switches are of different "
            "kinds is not counted as GaN.",
            "A product counts once in each row and column, and once in every total.",
        ),
    )
    columns = axis(frames, DIMENSIONS["year"], lines["column"])
    table = count(frames, lines, Axis("offer", ROWS), columns, heading, with_shares=False)
    platforms = lines.merge(frames.products[["slug", "platform"]], on="slug").groupby(["row", "column"])["platform"]
    return replace(
        table, rows=tuple(_with_shares(row, columns.words, platforms.nunique().to_dict()) for row in table.rows)
    )


def _lines(products: pd.DataFrame) -> pd.DataFrame:
    """One line a product and row of the table: slug and row."""
    import pandas as pd

    rows = [
        (product.slug, row)
        for product in products.itertuples()
        for row in offers(product.protocol, getattr(product, PRIMARY_SWITCH.field))
    ]
    return pd.DataFrame(rows, columns=["slug", "row"], dtype="object")


def offers(protocols: Collection[str] | None, family: str) -> Iterator[str]:
    """The rows of a product, by the protocols that it speaks and the technology of its primary switch."""
    if protocols is not None:
        yield from (row for row, words in _SPOKEN.items() if words & set(protocols))
        yield EXAMINED
    if family in _FAMILIES:
        yield DETERMINED
    if family == "gan":
        yield "GaN primary switch"


def _with_shares(row: Row, years: tuple[str, ...], platforms: dict[tuple[str, str], int]) -> Row:
    if row.key not in BASES:
        return row
    shares = (share_of(platforms.get((row.key, year), 0), platforms.get((BASES[row.key], year), 0)) for year in years)
    cells = (replace(cell, share=share) for cell, share in zip(row.cells, shares, strict=True))
    return replace(row, cells=tuple(cells))
