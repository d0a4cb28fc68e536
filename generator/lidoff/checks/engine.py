"""Run checks: from subjects to notices, with the rule beside each."""

from collections.abc import Iterable, Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice, RecordCheck, Subject
from lidoff.rule import Rule


def run_record_checks(checks: Iterable[RecordCheck], subject: Subject) -> Iterator[tuple[Rule, Notice]]:
    """Every notice about one record."""
    for check in checks:
        for notice in check.run(subject):
            yield check.rule, notice


def run_collection_checks(
    checks: Iterable[CollectionCheck], subjects: Sequence[Gist]
) -> Iterator[tuple[Rule, str, Notice]]:
    """Every notice that needs to see all records, with the path of the record it is about."""
    for check in checks:
        for path, notice in check.run(subjects):
            yield check.rule, path, notice
