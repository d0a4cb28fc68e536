"""A picture or log that the record names must lie beside it."""

import difflib
from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.walk import names_in
from lidoff.rule import Rule

RULE = Rule(
    id="missing-file",
    title="Every picture and log that is named lies beside the record",
    severity="error",
    scope="record",
    why="The page shows the pictures and draws the logs that the record names; without the file there is nothing to show.",
    source="Lidoff's own decision",
)

KEYS = frozenset({"file", "log", "photo"})


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for files that are named and do not exist."""
    for field, _, name in names_in(subject.record, KEYS):
        if name not in subject.files:
            near = difflib.get_close_matches(name, sorted(subject.files), n=1)
            yield Notice(
                field=field,
                found=f"{name}, which does not exist beside the record",
                expected="a file below the record's own folder",
                fix=f"write {near[0]}" if near else "add the file, or take the line out",
            )


CHECK = RecordCheck(RULE, run)
