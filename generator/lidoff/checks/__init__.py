"""The checks, in the order in which they are shown. A new check is one file and one line here."""

from lidoff.checks import duplicate_name, missing_file, unknown_reference
from lidoff.checks.check import CollectionCheck, RecordCheck
from lidoff.rule import Rule

RECORD_CHECKS: tuple[RecordCheck, ...] = (
    duplicate_name.CHECK,
    unknown_reference.CHECK,
    missing_file.CHECK,
)

COLLECTION_CHECKS: tuple[CollectionCheck, ...] = ()


def all_rules() -> tuple[Rule, ...]:
    """Every rule there is: those of reading a file, those of one record, those of the collection."""
    from lidoff.record.rules import FILE_RULES

    return FILE_RULES + tuple(check.rule for check in (*RECORD_CHECKS, *COLLECTION_CHECKS))
