"""What a check is: a rule and a function from what it sees to notices. Places in files are found afterwards."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from lidoff.bench.logs import Logs
from lidoff.bench.pictures import Pictures
from lidoff.figures.figure import Corner, Figure, Figures
from lidoff.finding import Place, Severity
from lidoff.record.gist import RecordGist
from lidoff.record.model import Record
from lidoff.record.other_protocols import NO_OTHER_PROTOCOLS, OtherProtocols
from lidoff.rule import Rule

if TYPE_CHECKING:
    from lidoff.checks.captures import Seen, Word
    from lidoff.figures.efficiency import Series


@dataclass(frozen=True)
class Subject:
    """What a check sees of one record, and what many checks make of it, made once and when it is first asked for.

    ``files`` are the entry's other files, relative to its folder; ``other_protocols`` is the list of the knowledge base;
    ``logs`` is what the logs beside the record say, by the field of the row that names each; ``pictures`` is what the
    pictures beside it are, by their path in its folder.
    """

    path: str
    slug: str
    record: Record
    figures: Figures
    files: frozenset[str] = frozenset()
    tiers_w: tuple[float, ...] = ()
    other_protocols: OtherProtocols = NO_OTHER_PROTOCOLS
    logs: Logs = field(default_factory=dict)
    pictures: Pictures = field(default_factory=dict)

    @cached_property
    def captures(self) -> tuple[Seen, ...]:
        """Every capture of every port, decoded."""
        from lidoff.checks.captures import captures_of

        return tuple(captures_of(self.record))

    @cached_property
    def words(self) -> tuple[Word, ...]:
        """Every different object of each port and kind of message."""
        from lidoff.checks.captures import distinct_objects

        return tuple(distinct_objects(self.captures))

    @cached_property
    def whole_record(self) -> Record:
        """The record with the points of its sweeps behind its own."""
        from lidoff.figures.points import with_sweeps

        return with_sweeps(self.record, self.logs)

    @cached_property
    def series(self) -> Mapping[Corner, Series]:
        """The efficiency points by what they were set to, and how they were taken."""
        from lidoff.figures.efficiency import series_by_corner

        return series_by_corner(self.whole_record)


HELD_FIGURES = frozenset(("power_density_w_per_cm3", "bulk_uf_per_w"))
"""The figures that checks of the collection compare; a check that compares another adds it here."""


@dataclass(frozen=True, slots=True)
class HeldFigures(Figures):
    """The few figures of a record that are held against those of others."""

    def all(self, figure_id: str) -> tuple[Figure, ...]:
        """Every figure of that id, absent ones included; raises LookupError where it is not held."""
        if figure_id not in HELD_FIGURES:
            raise LookupError(f"{figure_id} is not among HELD_FIGURES")
        return tuple(figure for figure in self.items if figure.id == figure_id)

    def present(self, figure_id: str) -> tuple[Figure, ...]:
        """Those of that id that have a value; raises LookupError where it is not held."""
        return tuple(figure for figure in self.all(figure_id) if figure.value is not None)


@dataclass(frozen=True, slots=True)
class Gist:
    """What a check of the collection sees of one record: the same as of a single one, but little of it.

    ``record`` has the fields that such checks compare, ``figures`` those of ``HELD_FIGURES``.
    """

    path: str
    slug: str
    record: RecordGist
    figures: HeldFigures
    tiers_w: tuple[float, ...] = ()
    pictures: Pictures = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Notice:
    """What a check has to say about one field of one record, in words.

    ``severity`` is the rule's where it is None. ``related`` names further fields, as pairs of record path ("" for the same
    record) and field; ``places`` are lines of other files. ``inputs`` are the values that the notice rests on: an answer in
    the record lapses when they change.
    """

    field: str
    found: str
    expected: str
    fix: str
    severity: Severity | None = None
    related: tuple[tuple[str, str], ...] = ()
    inputs: tuple[object, ...] = ()
    places: tuple[Place, ...] = ()


@dataclass(frozen=True, slots=True)
class RecordCheck:
    """A check that sees one record."""

    rule: Rule
    run: Callable[[Subject], Iterable[Notice]]


@dataclass(frozen=True, slots=True)
class CollectionCheck:
    """A check that sees all records; it says which record each notice is about, by its path."""

    rule: Rule
    run: Callable[[Sequence[Gist]], Iterable[tuple[str, Notice]]]
