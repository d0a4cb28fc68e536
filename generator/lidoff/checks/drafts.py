"""Drafts among the records: where records are held against each other, the published ones have the say."""

from collections.abc import Iterable, Sequence

from lidoff.checks.check import Gist

PUBLISHED_WEIGHT = 1_000_000
"""More than there will be drafts: one published record outweighs them all."""


def is_draft(subject: Gist) -> bool:
    """Whether a record is a draft."""
    return subject.record.status == "draft"


def published_first(subjects: Sequence[Gist]) -> list[Gist]:
    """The records in their order, drafts behind the published ones."""
    return sorted(subjects, key=is_draft)


def weight(subjects: Iterable[Gist]) -> int:
    """How much records weigh together, one for each use."""
    return sum(1 if is_draft(subject) else PUBLISHED_WEIGHT for subject in subjects)
