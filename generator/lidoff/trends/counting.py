"""Count products in two ways at once: each product once a cell, once a row, once a column, and once in all."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeVar

from lidoff.trends.dimensions import DIMENSIONS, Dimension, facts, spelled, subjects, words_in_order
from lidoff.trends.frames import Frames
from lidoff.trends.statistics import share_of
from lidoff.trends.table import Cell, Row, Table, reach

if TYPE_CHECKING:
    import pandas as pd

Key = TypeVar("Key", str, tuple[str, str])


@dataclass(frozen=True, slots=True)
class Axis:
    """One side of a table: its title, its words in order, and what they name, for links."""

    title: str
    words: tuple[str, ...]
    subjects: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands over and under a table."""

    name: str
    title: str
    description: str
    notes: tuple[str, ...] = ()


def cross_table(frames: Frames, heading: Heading, rows: str, columns: str) -> Table:
    """The table of products by two dimensions, given by their names; the dimensions say what their words mean."""
    down, across = DIMENSIONS[rows], DIMENSIONS[columns]
    lines = facts(frames, down).merge(facts(frames, across), on="slug", suffixes=("_row", "_column"))
    lines = lines.rename(columns={"word_row": "row", "word_column": "column"})
    counted = f"Products by {down.title} (rows) and {across.title} (columns)."
    meanings = " ".join(filter(None, (counted, heading.description, down.meaning, across.meaning)))
    notes = (*heading.notes, *_notes(frames, down, across))
    return count(
        frames, lines, axis(frames, down, lines["row"]), axis(frames, across, lines["column"]),
        Heading(heading.name, heading.title, meanings, notes),
    )  # fmt: skip


def count(
    frames: Frames, lines: pd.DataFrame, rows: Axis, columns: Axis, heading: Heading, with_shares: bool = True
) -> Table:
    """The table of counts over lines with the columns slug, row and column."""
    lines = lines.merge(frames.products[["slug", "brand", "platform"]], on="slug")
    # in plain dictionaries: a group of a frame for each of thousands of cells would take a hundred times as long
    platform_of = dict(zip(lines["slug"], lines["platform"], strict=True))
    behind = _sets(zip(zip(lines["row"], lines["column"], strict=True), lines["slug"], strict=True))
    platforms = _sets(zip(lines["column"], lines["platform"], strict=True)) if with_shares else {}
    totals = {word: len(platforms.get(word, ())) for word in columns.words}
    empty = {word: Cell(0, (), share_of(0, total)) for word, total in totals.items()}

    def cell_at(row: str, column: str) -> Cell:
        found = behind.get((row, column))
        if not found:
            return empty[column]
        share = share_of(len({platform_of[slug] for slug in found}), totals[column])
        return Cell(len(found), tuple(sorted(found)), share)

    def row_of(word: str) -> Row:
        cells = tuple(cell_at(word, column) for column in columns.words)
        return Row(spelled(word), cells, key=word, about=rows.subjects.get(word, ()))

    return Table(
        name=heading.name,
        title=heading.title,
        description=heading.description,
        row_header=rows.title,
        columns=tuple(spelled(word) for word in columns.words),
        rows=tuple(row_of(word) for word in rows.words),
        row_totals=_totals(lines, "row", rows.words),
        column_totals=_totals(lines, "column", columns.words),
        columns_about=tuple(columns.subjects.get(word, ()) for word in columns.words),
        notes=heading.notes,
        **reach(lines),
    )


def axis(frames: Frames, dimension: Dimension, words: pd.Series) -> Axis:
    """The axis of a dimension with the words that occur."""
    ordered = words_in_order(frames, dimension, set(words))
    return Axis(dimension.title, ordered, subjects(frames, dimension, ordered))


def _sets(pairs: Iterable[tuple[Key, str]]) -> Mapping[Key, set[str]]:
    """The distinct second values of each first one."""
    found: dict[Key, set[str]] = defaultdict(set)
    for key, value in pairs:
        found[key].add(value)
    return found


def _totals(lines: pd.DataFrame, by: str, words: Sequence[str]) -> tuple[int, ...]:
    counts = lines.groupby(by)["slug"].nunique()
    return tuple(int(counts.get(word, 0)) for word in words)


def _notes(frames: Frames, *dimensions: Dimension) -> tuple[str, ...]:
    """What a reader must know of the dimensions: several groups a product, and years that are not of the launch."""
    notes = [
        f"A product can have more than one {dimension.title}; it counts once in each, and once in every total."
        for dimension in dimensions
        if dimension.is_multiple
    ]
    by_teardown = frames.products[frames.products["year_basis"] == "teardown"]
    if len(by_teardown) and any(dimension.name == "year" for dimension in dimensions):
        counts = by_teardown.groupby("year")["slug"].count()
        years = ", ".join(f"{year} ({count})" for year, count in counts.items())
        notes.append(
            f"Years of the teardown, because the launch is not recorded, with the number of products: {years}."
        )
    return tuple(notes)
