"""A picture's file is in the knowledge base once."""

from collections.abc import Iterator, Sequence

from lidoff.checks.check import CollectionCheck, Gist, Notice
from lidoff.checks.drafts import published_first
from lidoff.checks.pictures_beside import pictures_beside
from lidoff.rule import Rule

RULE = Rule(
    id="picture-twice",
    title="No two pictures are the same file",
    severity="error",
    scope="collection",
    why=(
        "The same file under two names was most often put into the wrong folder, or copied with the record that served "
        "as a pattern: then one product is shown with another's picture. A record that names one file twice shows it "
        "twice."
    ),
    formula="equal SHA-256 digests",
    source="Lidoff's own decision",
)

Where = tuple[Gist, str, str]


def run(subjects: Sequence[Gist]) -> Iterator[tuple[str, Notice]]:
    """A notice for each picture that an earlier one is the same file as; the published records come first."""
    first: dict[str, Where] = {}
    for subject in published_first(subjects):
        for field, facts in pictures_beside(subject):
            if facts.fault is not None or not facts.sha256:
                continue
            known = first.setdefault(facts.sha256, (subject, field, facts.file))
            if known[0] is not subject or known[2] != facts.file:
                yield subject.path, _same(subject, field, facts.file, known)
        yield from ((subject.path, notice) for notice in _named_twice(subject))


def _same(subject: Gist, field: str, name: str, known: Where) -> Notice:
    other, other_field, other_name = known
    own = other is subject
    return Notice(
        field=field,
        found=f"{name}, the same file as {other_name if own else f'{other.slug}/{other_name}'}",
        expected="each picture once",
        fix="leave one of them out" if own else "put the file there that was meant, or leave one of them out",
        related=(("" if own else other.path, other_field),),
    )


def _named_twice(subject: Gist) -> Iterator[Notice]:
    first: dict[str, int] = {}
    for place, photo in enumerate(subject.record.photos):
        known = first.setdefault(photo.file, place)
        if known != place:
            yield Notice(
                field=f"photos[{place}].file",
                found=f"{photo.file}, which photos[{known}] names already",
                expected="each picture once",
                fix="name the file that was meant, or leave one of the two out",
                related=(("", f"photos[{known}].file"),),
            )


CHECK = CollectionCheck(RULE, run)
