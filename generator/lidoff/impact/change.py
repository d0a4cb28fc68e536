"""What moved between two states of the knowledge base, as plain data."""

from dataclasses import dataclass, field
from typing import Literal

from lidoff.finding import Finding
from lidoff.record.facts import FactChange

Kind = Literal["added", "changed", "removed"]


@dataclass(frozen=True, slots=True)
class FigureChange:
    """One derived figure that reads differently: as people read it, with the exact values beside."""

    id: str
    title: str
    of: str
    before: str
    after: str
    value_before: float | None
    value_after: float | None
    unit: str


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a product stands among the others of its tier: its rank from the largest, of n that have the value.

    ``distance`` is the robust z-score of the value's logarithm, None where too few are there or they do not differ.
    """

    name: str
    value: float
    unit: str
    tier: str
    rank: int
    n: int
    distance: float | None


@dataclass(frozen=True, slots=True)
class Name:
    """A part, maker, brand or marking that the other records do not have, or of which they say something else."""

    kind: Literal["part", "maker", "brand", "marking"]
    name: str
    field: str
    contradicts: str = ""


@dataclass(frozen=True, slots=True)
class Sibling:
    """Another product that is likely to be the same design or a near one: the index from 0 to 1, and what they share."""

    path: str
    title: str
    index: float
    shared: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RecordChange:
    """One record that was added, changed or removed. ``title`` is brand and model where it can be read."""

    path: str
    kind: Kind
    title: str
    readable: bool
    facts: tuple[FactChange, ...] = ()
    figures: tuple[FigureChange, ...] = ()
    standings: tuple[Standing, ...] = ()
    names: tuple[Name, ...] = ()
    siblings: tuple[Sibling, ...] = ()
    other_files: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CellChange:
    """One cell of a trend table that moved; an empty text is a cell that is not there."""

    table: str
    row: str
    column: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Impact:
    """All that a change means. ``records`` and ``records_before`` count those that can be read."""

    base: str
    records_before: int
    records: int
    changes: tuple[RecordChange, ...] = ()
    new_findings: tuple[Finding, ...] = ()
    resolved_findings: tuple[Finding, ...] = ()
    cells: tuple[CellChange, ...] = field(default=())
