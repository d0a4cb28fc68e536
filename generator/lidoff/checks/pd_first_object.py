"""The first object of a message, and the flags that belong to it alone."""

from collections.abc import Iterator

from lidoff.checks.captures import FIRST_EPR_POSITION, spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_objects import LAYOUTS
from lidoff.engineering.usb_pd_supplies import FixedSupply, SourceObject
from lidoff.rule import Rule

RULE = Rule(
    id="pd-first-object",
    title="A message begins with 5 V",
    severity="warning",
    scope="record",
    why=(
        "Every source offers 5 V first, which is what a port gives before anything is agreed. A message that begins "
        "with something else has mostly lost its first word on the way. That object alone carries the flags of the "
        "port; in later ones these bits are zero, and a set one gets a note."
    ),
    source=(
        "USB Power Delivery Specification R3.x, clause 6.4.1 (from memory); bits 29 to 23 as in the Linux kernel "
        "6.1.187, include/linux/usb/pd.h"
    ),
)

LOWEST_FIRST, HIGHEST_FIRST = 4.75, 5.5
FLAGS = {field.name: field.lowest_bit for field in LAYOUTS["fixed"] if field.width == 1}


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for messages that begin otherwise, and for flags where there are none."""
    for seen in subject.captures:
        first = seen.message.objects[0] if seen.message.objects else None
        if first is not None and first.position == 1 and not _is_five_volts(first.source_object):
            yield Notice(
                field=seen.at(1),
                found=f"{spoken(first.source_object)} as the first object",
                expected="a fixed object of 5 V",
                fix="copy the whole message anew, from its first object on",
                inputs=(first.source_object.word,),
            )
    for seen, item, also in subject.words:
        if 1 < item.position < FIRST_EPR_POSITION and (bits := _flags(item.source_object)):
            yield Notice(
                field=seen.at(item.position),
                found=f"{spoken(item.source_object)} with bit {', '.join(map(str, bits))} set",
                expected="bits 29 to 23 at zero in every fixed object but the first",
                fix="check the word against the capture; keep it where the port really sends it so",
                severity="note",
                related=also,
                inputs=(item.source_object.word,),
            )


def _is_five_volts(source_object: SourceObject) -> bool:
    supply = source_object.supply
    return isinstance(supply, FixedSupply) and LOWEST_FIRST <= supply.voltage <= HIGHEST_FIRST


def _flags(source_object: SourceObject) -> list[int]:
    """The bits of the flags that are set, highest first."""
    if source_object.kind != "fixed":
        return []
    return [bit for name, bit in FLAGS.items() if getattr(source_object.supply, name)]


CHECK = RecordCheck(RULE, run)
