"""What a check is: a rule and a function from what it sees to notices. Places in files are found afterwards."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from lidoff.bench.logs import Logs
from lidoff.figures.figure import Figures
from lidoff.finding import Place, Severity
from lidoff.record.model import Record
from lidoff.record.other_protocols import NO_OTHER_PROTOCOLS, OtherProtocols
from lidoff.rule import Rule


@dataclass(frozen=True, slots=True)
class Subject:
    """What a check sees of one record.

    ``files`` are the entry's other files, relative to its folder; ``other_protocols`` is the list of the knowledge base;
    ``logs`` is what the logs beside the record say, by the field of the row that names each.
    """

    path: str
    slug: str
    record: Record
    figures: Figures
    files: frozenset[str] = frozenset()
    tiers_w: tuple[float, ...] = ()
    other_protocols: OtherProtocols = NO_OTHER_PROTOCOLS
    logs: Logs = field(default_factory=dict)


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
    run: Callable[[Sequence[Subject]], Iterable[tuple[str, Notice]]]
