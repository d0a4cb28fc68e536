"""The earlier product that a record revises is in the knowledge base."""

import difflib
from collections.abc import Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Notice, Subject
from lidoff.rule import Rule

RULE = Rule(
    id="unknown-revision",
    title="The product that is revised has a record",
    severity="note",
    scope="collection",
    why=(
        "The page of a revision links to the earlier product and tells what was exchanged since, where that has a "
        "record. It may never have been opened, so it is a note; but the path may have a slip in it, or the record "
        "may have moved."
    ),
    source="Lidoff's own decision",
)

ALIKE = 0.8


def run(subjects: Sequence[Subject]) -> Iterator[tuple[str, Notice]]:
    """Notices for revisions of a product without a readable record."""
    known = {subject.slug for subject in subjects}
    former = {path: subject.slug for subject in subjects for path in subject.record.product.formerly}
    for subject in subjects:
        revised = subject.record.product.revision_of
        if revised is None or revised in known:
            continue
        fix = "leave it until the earlier product has a record"
        if revised in former:
            fix = f"write {former[revised]}, which it became"
        elif near := difflib.get_close_matches(revised, sorted(known - {subject.slug}), n=1, cutoff=ALIKE):
            fix = f"write {near[0]} if that is meant; else {fix}"
        yield subject.path, Notice(
            field="product.revision_of",
            found=f"{revised}, where no readable record lies",
            expected="the folders of a product under entries: brand/model",
            fix=fix,
            inputs=(revised,),
        )


CHECK = CollectionCheck(RULE, run)
