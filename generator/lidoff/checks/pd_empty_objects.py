"""Objects that offer nothing, or that stand twice in one message."""

from collections.abc import Iterator

from lidoff.checks.captures import FIRST_EPR_POSITION, Seen, spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_supplies import SourceObject
from lidoff.rule import Rule

RULE = Rule(
    id="pd-empty-objects",
    title="No object of a message is empty or stands twice",
    severity="note",
    scope="record",
    why=(
        "Zeros fill the positions before 8 in a message of the extended range; anywhere else a word of zero, an "
        "object without current or power, and the same word twice in one message are mostly slips of the one who "
        "typed it."
    ),
    source="Lidoff's own decision; positions: USB Power Delivery Specification R3.1, clause 6.5 (from memory)",
)

FIX = "check the words against the capture; keep them where the port really sends them so"


def run(subject: Subject) -> Iterator[Notice]:
    """One notice a message, at its first such object."""
    for seen in subject.captures:
        found = _empty_position(seen) or _idle(seen) or _repeated(seen)
        if found:
            position, said, expected = found
            yield Notice(
                field=seen.at(position),
                found=said,
                expected=expected,
                fix=FIX,
                inputs=(seen.capture.message, *seen.capture.words),
            )


def _empty_position(seen: Seen) -> tuple[int, str, str] | None:
    full = {item.position for item in seen.message.objects}
    for position in range(1, len(seen.capture.words) + 1):
        if position not in full and (seen.capture.message == "spr" or position >= FIRST_EPR_POSITION):
            expected = "empty positions only before 8, in a message of the extended range"
            return position, f"an empty object at position {position}", expected
    return None


def _idle(seen: Seen) -> tuple[int, str, str] | None:
    for item in seen.message.objects:
        if _offers_nothing(item.source_object):
            return item.position, spoken(item.source_object), "an object that offers some current or power"
    return None


def _offers_nothing(source_object: SourceObject) -> bool:
    supply = source_object.supply
    amounts = [getattr(supply, name) for name in ("current", "power", "current_to_15v") if hasattr(supply, name)]
    return bool(amounts) and not any(amounts)


def _repeated(seen: Seen) -> tuple[int, str, str] | None:
    first: dict[int, int] = {}
    for item in seen.message.objects:
        earlier = first.setdefault(item.source_object.word, item.position)
        if earlier != item.position:
            said = f"{spoken(item.source_object)} at position {item.position}, as at position {earlier}"
            return item.position, said, "each object once"
    return None


CHECK = RecordCheck(RULE, run)
