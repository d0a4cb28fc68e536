"""How a figure is spread over groups of products: counts, quartiles and extremes a group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import astuple
from typing import TYPE_CHECKING

from lidoff.trends.dimensions import DIMENSIONS, facts, spelled, subjects, words_in_order
from lidoff.trends.frames import Frames
from lidoff.trends.statistics import spread_of
from lidoff.trends.table import Cell, Row, Table, reach, slugs

if TYPE_CHECKING:
    import pandas as pd

QUARTILES_NOTE = "Quartiles (type 7) need five values."
CORNER = ("port", "mains_v", "mains_hz", "output_v")
COLUMNS = ("products", "with a value", "smallest", "lower quartile", "median", "upper quartile", "largest")


def spread_table(
    frames: Frames, name: str, title: str, rows: str, values: pd.DataFrame, meaning: str, unit: str,
    notes: Sequence[str] = (),
) -> Table:  # fmt: skip
    """The spread of a value over the groups of a dimension; ``values`` has a line a product: slug and value."""
    down = DIMENSIONS[rows]
    lines = facts(frames, down).merge(values, on="slug", how="left")
    words = words_in_order(frames, down, set(lines["word"]))
    links = subjects(frames, down, words)
    groups = {word: group for word, group in lines.groupby("word", sort=False)}
    everything = lines.drop_duplicates("slug")
    known = frames.products[frames.products["slug"].isin(values["slug"])]
    return Table(
        name=name,
        title=title,
        description=f"{meaning} [{unit}] by {down.title}. {down.meaning}".strip(),
        row_header=down.title,
        columns=COLUMNS,
        rows=tuple(Row(spelled(word), _cells(groups.get(word)), key=word, about=links.get(word, ())) for word in words),
        row_totals=tuple(int(groups[word]["value"].count()) if word in groups else 0 for word in words),
        column_totals=tuple(cell.value for cell in _cells(everything)),
        **reach(known),
        notes=(f"The last row is over all products. {QUARTILES_NOTE}", *notes),
        kind="values",
    )


def figure_values(frames: Frames, figure_id: str) -> pd.DataFrame:
    """The value of a figure, one line a product that has it.

    A value without a corner stands for the product; where there are only corners, their median does.
    """
    figures = frames.figures
    found = figures[(figures["figure"] == figure_id) & figures["value"].notna()]
    is_whole = found[list(CORNER)].isna().all(axis="columns")
    has_whole = found["slug"].isin(found.loc[is_whole, "slug"])
    found = found[is_whole | ~has_whole]
    return found.groupby("slug", sort=True, as_index=False)["value"].median()


def column_values(frames: Frames, column: str) -> pd.DataFrame:
    """The value of a column of the frame of products, one line a product that has it."""
    return frames.products.dropna(subset=[column])[["slug", column]].set_axis(["slug", "value"], axis="columns")


def _cells(group: pd.DataFrame | None) -> tuple[Cell, ...]:
    if group is None:
        return tuple(Cell(value) for value in (0, *astuple(spread_of(()))))
    known = group.dropna(subset=["value"])
    spread = astuple(spread_of(known["value"].tolist()))
    behind = slugs(known["slug"])
    return (Cell(int(group["slug"].nunique()), slugs(group["slug"])), *(Cell(value, behind) for value in spread))
