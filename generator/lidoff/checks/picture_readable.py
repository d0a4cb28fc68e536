"""A picture is whole, still, and of a format that every browser shows."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.pictures_beside import pictures_beside
from lidoff.rule import Rule

RULE = Rule(
    id="picture-readable",
    title="Pictures can be read and shown",
    severity="error",
    scope="record",
    why=(
        "A file that is empty, breaks off, is damaged, moves, or is of a format that not every browser shows makes no "
        "picture on the page. What counts is what the file holds, whatever its name says."
    ),
    source="Lidoff's own decision",
)


def run(subject: Subject) -> Iterator[Notice]:
    """One notice for each picture that can't be shown."""
    for field, facts in pictures_beside(subject):
        if facts.fault is not None:
            yield Notice(field, f"{facts.file}: {facts.fault.found}", facts.fault.expected, facts.fault.fix)


CHECK = RecordCheck(RULE, run)
