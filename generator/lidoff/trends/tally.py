"""What one product adds to a table, and the lines of a table from what all have added.

In every table a product counts for itself: its lines are the same whatever other products there are. So a table is known
from how often each item was added, and one that changes takes its old items out and puts its new ones in.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass
from itertools import product as pairs_of
from typing import Protocol

from lidoff.entry import Entry
from lidoff.rows.positions import NOT_IDENTIFIED
from lidoff.rows.product_facts import PRODUCT_COLUMNS
from lidoff.rows.record_rows import rows_of
from lidoff.trends.dimensions import DIMENSIONS, Dimension, in_order, spelled, words_of
from lidoff.trends.statistics import spread_of
from lidoff.trends.table import Value

Line = tuple[Value, ...]
Counts = Mapping[str, int]
BREAK = "\0"  # no record can hold it
CELL, ROW, COLUMN, ALL, GROUP, VALUE = "cell", "row", "column", "all", "group", "value"


@dataclass(frozen=True, slots=True)
class Product:
    """One product as tables see it: its row of facts, and the entry for what the row leaves out."""

    row: Mapping[str, object]
    entry: Entry

    def words(self, dimension: str) -> tuple[str, ...]:
        """The groups of a dimension that it is in."""
        return words_of(self.row[dimension], DIMENSIONS[dimension])


class Tally(Protocol):
    """How a table is known from what products add to it."""

    def items(self, product: Product) -> Iterable[str]:
        """What one product adds, each once."""

    def lines(self, counts: Counts, tiers: Sequence[str]) -> list[Line]:
        """The lines with their totals, as `formats.lines_with_totals` has them."""


Pairs = Callable[[Product], Iterable[tuple[str, str]]]
Words = Callable[[Counts, Sequence[str]], Sequence[str]]
"""The words of an axis in their order, from the number of products of each."""


def product_of(entry: Entry, tiers_w: Sequence[float]) -> Product:
    """An entry as tables see it; which design it is counted as depends on others, and matters to shares alone."""
    return Product(dict(zip(PRODUCT_COLUMNS, rows_of(entry, tiers_w).product, strict=True)), entry)


@dataclass(frozen=True, slots=True)
class Counted:
    """A table of products by two words; a list of one column has no totals."""

    title: str
    pairs: Pairs
    rows: Words
    columns: Words
    is_list: bool = False

    def items(self, product: Product) -> Iterator[str]:
        """Its cells, and once each its rows, its columns and the whole."""
        found = dict.fromkeys(self.pairs(product))
        if not found:
            return
        yield from (f"{CELL}{BREAK}{row}{BREAK}{column}" for row, column in found)
        yield from (f"{ROW}{BREAK}{row}" for row in dict.fromkeys(row for row, _ in found))
        yield from (f"{COLUMN}{BREAK}{column}" for column in dict.fromkeys(column for _, column in found))
        yield ALL

    def lines(self, counts: Counts, tiers: Sequence[str]) -> list[Line]:
        """Heading, rows with their totals, totals of the columns."""
        by_row, by_column = _under(counts, ROW), _under(counts, COLUMN)
        rows, columns = self.rows(by_row, tiers), self.columns(by_column, tiers)
        lines: list[Line] = [(self.title, *map(spelled, columns))]
        for row in rows:
            found = (counts.get(f"{CELL}{BREAK}{row}{BREAK}{column}", 0) for column in columns)
            lines.append((spelled(row), *found))
        if self.is_list:
            return lines
        totals = ("all", *(by_row.get(row, 0) for row in rows), counts.get(ALL, 0))
        lines.append(("all", *(by_column.get(column, 0) for column in columns)))
        return [(*line, total) for line, total in zip(lines, totals, strict=True)]


@dataclass(frozen=True, slots=True)
class Spread:
    """A table of how a value is spread over groups; ``rows`` is None where groups have nothing but values."""

    title: str
    columns: tuple[str, ...]
    groups: Callable[[Product], Iterable[str]]
    values: Callable[[Product], Iterable[tuple[str, float]]]
    rows: Words | None

    def items(self, product: Product) -> Iterator[str]:
        """Its groups, and its value in each and in all."""
        if self.rows is not None:
            yield from (f"{GROUP}{BREAK}{group}" for group in self.groups(product))
            yield ALL
        yield from (f"{VALUE}{BREAK}{group}{BREAK}{value!r}" for group, value in self.values(product))

    def lines(self, counts: Counts, tiers: Sequence[str]) -> list[Line]:
        """Heading, a line a group, and one over all."""
        groups, values = _under(counts, GROUP), _values(counts)
        if self.rows is None:
            return [
                (self.title, *self.columns),
                *((unit, *astuple(spread_of(values[unit]))) for unit in sorted(values)),
            ]
        lines: list[Line] = [(self.title, *self.columns)]
        for word in self.rows(groups, tiers):
            lines.append((spelled(word), groups.get(word, 0), *astuple(spread_of(values.get(word, ())))))
        return [*lines, ("all", counts.get(ALL, 0), *astuple(spread_of(values.get("", ()))))]


def cross(rows: str, columns: str) -> Counted:
    """The tally of products by two dimensions."""
    return Counted(
        DIMENSIONS[rows].title,
        lambda product: pairs_of(product.words(rows), product.words(columns)),
        dimension_words(rows), dimension_words(columns),
    )  # fmt: skip


def spread(rows: str, columns: tuple[str, ...], value: Callable[[Product], float | None]) -> Spread:
    """The tally of a value over the groups of a dimension; all products together are the group without a name."""

    def values(product: Product) -> Iterator[tuple[str, float]]:
        found = value(product)
        if found is not None:
            yield from ((group, found) for group in dict.fromkeys((*product.words(rows), "")))

    return Spread(
        DIMENSIONS[rows].title, columns, lambda product: dict.fromkeys(product.words(rows)), values,
        dimension_words(rows),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Narrowed:
    """A tally of the products that meet conditions: words wanted, by dimension."""

    tally: Counted | Spread
    wanted: Mapping[str, tuple[str, ...]]

    def items(self, product: Product) -> Iterable[str]:
        """What a product adds, if it is wanted."""
        is_wanted = all(not set(words).isdisjoint(product.words(field)) for field, words in self.wanted.items())
        return self.tally.items(product) if is_wanted else ()

    def lines(self, counts: Counts, tiers: Sequence[str]) -> list[Line]:
        """The lines of the table."""
        return self.tally.lines(counts, tiers)


def dimension_words(name: str) -> Words:
    """The words of a dimension in its order."""
    dimension: Dimension = DIMENSIONS[name]
    return lambda counts, tiers: in_order(tiers, dimension, set(counts))


def fixed_words(*words: str) -> Words:
    """Always the same words."""
    return lambda counts, tiers: words


def most_used_first(counts: Counts, tiers: Sequence[str] = ()) -> tuple[str, ...]:
    """Words by the number of their products; what was not identified comes last."""
    return tuple(sorted(counts, key=lambda word: (word == NOT_IDENTIFIED, -counts[word], word.casefold(), word)))


def _under(counts: Counts, kind: str) -> dict[str, int]:
    """The items of one kind, by their word."""
    start = kind + BREAK
    return {item.removeprefix(start): count for item, count in counts.items() if item.startswith(start)}


def _values(counts: Counts) -> dict[str, list[float]]:
    """All values of each group."""
    found: dict[str, list[float]] = {}
    for item, count in _under(counts, VALUE).items():
        group, _, value = item.partition(BREAK)
        found.setdefault(group, []).extend([float(value)] * count)
    return found
