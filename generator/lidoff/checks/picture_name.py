"""A picture's name is made of small letters, digits and hyphens."""

import re
from collections.abc import Iterator

from lidoff.bench.picture_entry import plain_name
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.pictures_beside import UNNAMED, pictures_beside
from lidoff.rule import Rule

RULE = Rule(
    id="picture-name",
    title="Pictures are named in small letters, digits and hyphens",
    severity="error",
    scope="record",
    why=(
        "The name becomes part of the picture's address. Other signs are written in several ways there, and capitals "
        "make one file or two of a name, as the system has it."
    ),
    formula="each part of the path: a-z, 0-9 and hyphens; then a dot and the ending",
    source="Lidoff's own decision",
)

_NAME = re.compile(r"(?:[a-z0-9-]+/)*[a-z0-9-]+\.[a-z0-9]+")


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for pictures whose names have other signs."""
    for field, facts in pictures_beside(subject):
        if not _NAME.fullmatch(facts.file):
            folder, _, name = facts.file.rpartition("/")
            stem, dot, ending = name.rpartition(".")
            better = f"{folder}/".lstrip("/") + f"{plain_name(stem or name)}{dot}{ending.lower() if dot else ''}"
            fix = f"rename it to {better}" if better not in subject.files else "give it a free name of these signs"
            yield Notice(
                field=field,
                found=facts.file,
                expected="a name of the letters a to z, digits and hyphens",
                fix=fix if field == UNNAMED else f"{fix}, on the disk and here",
            )


CHECK = RecordCheck(RULE, run)
