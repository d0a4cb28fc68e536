"""Bits and kinds of objects that no edition has given a meaning."""

from collections.abc import Iterator

from lidoff.checks.captures import spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.figures.citation import citation
from lidoff.rule import Rule

RULE = Rule(
    id="pd-reserved-bits",
    title="Reserved bits are zero",
    severity="note",
    scope="record",
    why=(
        "Sources set reserved bits to zero. A set one means a digit copied wrongly, an edition newer than this "
        "program, or a source with a mind of its own; other programs may read such a word in another way."
    ),
    source=citation(decode_source_object),
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for reserved bits and reserved kinds, each word of a port once."""
    for seen, item, also in subject.words:
        found = item.source_object
        if found.kind == "reserved" or found.reserved_bits:
            bits = [str(bit) for bit in range(31, -1, -1) if found.reserved_bits >> bit & 1]
            yield Notice(
                field=seen.at(item.position),
                found=spoken(found) if found.kind == "reserved" else f"{spoken(found)} with bit {', '.join(bits)} set",
                expected="a kind of object that is defined, and reserved bits at zero",
                fix="check the word against the capture; keep it where the port really sends it so",
                related=also,
                inputs=(found.word,),
            )


CHECK = RecordCheck(RULE, run)
