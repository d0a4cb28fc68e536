"""The earlier product that a record revises is in the knowledge base."""

import difflib
from collections.abc import Iterable, Iterator, Mapping, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
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


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """Notices for revisions of a product without a readable record."""
    known = {subject.slug for subject in subjects}
    former = {path: subject.slug for subject in subjects for path in subject.record.product.formerly}
    beside = _by_folder(known)
    for subject in subjects:
        revised = subject.record.product.revision_of
        if revised is None or revised in known:
            continue
        fix, others = "leave it until the earlier product has a record", _alike(revised, beside) - {subject.slug}
        if revised in former:
            fix = f"write {former[revised]}, which it became"
        elif near := difflib.get_close_matches(revised, sorted(others), n=1, cutoff=ALIKE):
            fix = f"write {near[0]} if that is meant; else {fix}"
        yield (
            subject.path,
            Notice(
                field="product.revision_of",
                found=f"{revised}, where no readable record lies",
                expected="the folders of a product under entries: brand/model",
                fix=fix,
                inputs=(revised,),
            ),
        )


def _by_folder(slugs: Iterable[str]) -> Mapping[str, set[str]]:
    """The products under each brand's folder, and under each model's: a slip is looked for in one of the two."""
    found: dict[str, set[str]] = {}
    for slug in slugs:
        brand, _, model = slug.partition("/")
        found.setdefault(f"{brand}/", set()).add(slug)
        found.setdefault(f"/{model}", set()).add(slug)
    return found


def _alike(revised: str, beside: Mapping[str, set[str]]) -> set[str]:
    brand, _, model = revised.partition("/")
    return beside.get(f"{brand}/", set()) | beside.get(f"/{model}", set())


CHECK = CollectionCheck(RULE, run)
