"""A picture in the repository does not tell where it was taken."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.pictures_beside import pictures_beside
from lidoff.rule import Rule

RULE = Rule(
    id="picture-metadata",
    title="Pictures do not tell where and by whom they were taken",
    severity="error",
    scope="record",
    why=(
        "Cameras write the position of the bench into the file, and often the serial number of the camera and its "
        "owner. The repository is published with all its history, so this can't be taken back. A position is an error, "
        "a name or a serial number a note."
    ),
    source=(
        "Exif 2.32, section 4.6.6 (GPS tags); IPTC Photo Metadata Standard (location fields): both from memory; "
        "refusing them is Lidoff's own decision"
    ),
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for pictures that tell of a place, a person or a device."""
    for field, facts in pictures_beside(subject):
        if facts.places:
            yield Notice(
                field=field,
                found=f"{facts.file} tells where it was taken: {', '.join(facts.places)}"[:200],
                expected="a picture that says nothing about its place",
                fix="take it out, and add the original with lidoff photo add, before anything is committed",
            )
        if facts.persons:
            yield Notice(
                field=field,
                found=f"{facts.file} names the {', '.join(facts.persons)}",
                expected="a picture that says nothing about its owner and the camera",
                fix="take it out, and add the original with lidoff photo add",
                severity="note",
            )


CHECK = RecordCheck(RULE, run)
