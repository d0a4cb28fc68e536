"""The order of the objects in a message."""

from collections.abc import Iterator, Sequence

from lidoff.checks.captures import FIRST_EPR_POSITION, spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_messages import PositionedObject
from lidoff.engineering.usb_pd_objects import AUGMENTED_KINDS
from lidoff.engineering.usb_pd_supplies import BatterySupply, FixedSupply, ProgrammableSupply, Supply, VariableSupply
from lidoff.rule import Rule

RULE = Rule(
    id="pd-object-order",
    title="The objects of a message stand in the order of the specification",
    severity="warning",
    scope="record",
    why=(
        "Fixed objects come first, lowest voltage first, then batteries, then variable supplies, then augmented "
        "objects, PPS ranges by their highest voltage. The extended power range starts the order anew at position 8. "
        "Sources put their objects in this order; words typed in another one were mostly copied wrongly."
    ),
    source="USB Power Delivery Specification R3.x, clause 6.4.1 (from memory)",
)

GROUPS = {"fixed": 0, "battery": 1, "variable": 2} | dict.fromkeys(AUGMENTED_KINDS, 3)


def run(subject: Subject) -> Iterator[Notice]:
    """One notice a message, at the first object that is out of order; which object is first, another rule judges."""
    for seen in subject.captures:
        objects = seen.message.objects
        standard = [item for item in objects[1:] if item.position < FIRST_EPR_POSITION]
        extended = [item for item in objects if item.position >= FIRST_EPR_POSITION]
        pair = _out_of_order(standard) or _out_of_order(extended)
        if pair:
            earlier, later = pair
            yield Notice(
                field=seen.at(later.position),
                found=f"{spoken(later.source_object)} behind {spoken(earlier.source_object)}",
                expected="fixed objects first and by rising voltage, then augmented ones by rising highest voltage",
                fix="put the words in the order of the captured message",
                related=(("", seen.at(earlier.position)),),
                inputs=(earlier.source_object.word, later.source_object.word),
            )


def _out_of_order(objects: Sequence[PositionedObject]) -> tuple[PositionedObject, PositionedObject] | None:
    for earlier, later in zip(objects, objects[1:], strict=False):
        before, after = GROUPS[earlier.source_object.kind], GROUPS[later.source_object.kind]
        same_kind = earlier.source_object.kind == later.source_object.kind
        if before > after or (same_kind and _rank(earlier.source_object.supply) > _rank(later.source_object.supply)):
            return earlier, later
    return None


def _rank(supply: Supply) -> float:
    """The voltage that objects of one kind are sorted by."""
    match supply:
        case FixedSupply(voltage=voltage):
            return voltage
        case BatterySupply(voltage_min=low) | VariableSupply(voltage_min=low):
            return low
        case ProgrammableSupply(voltage_max=high):
            return high
        case _:
            return 0.0


CHECK = RecordCheck(RULE, run)
