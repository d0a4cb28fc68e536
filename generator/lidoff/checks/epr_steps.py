"""The extended power range: which objects stand where, and which go with the power."""

from collections.abc import Iterator

from lidoff.checks.captures import (
    FIRST_EPR_POSITION,
    HIGHEST_SPR_VOLTAGE,
    SAME_VOLTAGE,
    Seen,
    amount,
    listed,
    spoken,
)
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_messages import PositionedObject
from lidoff.engineering.usb_pd_offers import meets_current
from lidoff.engineering.usb_pd_rules import FixedOffer, required_epr_offers
from lidoff.engineering.usb_pd_supplies import EprAdjustableSupply, FixedSupply
from lidoff.figures.citation import citation
from lidoff.rule import Rule

RULE = Rule(
    id="epr-steps",
    title="Voltages above 20 V stand at position 8 and above, with the steps that go with the power",
    severity="warning",
    scope="record",
    why=(
        "A message of the standard range has at most seven objects, none above 20 V (21 V for PPS). Higher voltages "
        "are sent only in the message of the extended range, from position 8 on; the positions before that are "
        "filled with zeros. Steps that are missing for the power, and a first object that does not announce the "
        "extended range though its message was captured, are notes."
    ),
    formula="28 V above 100 W, 36 V above 140 W, 48 V above 180 W, each with I = P / V, at most 5 A",
    source=(
        f"{citation(required_epr_offers)}; positions: USB Power Delivery Specification R3.1, clause 6.5 (from memory)"
    ),
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices about places, then about missing steps, then about the flag."""
    seen_before: list[Seen] = []
    for seen in subject.captures:
        seen_before.append(seen)
        misplaced = [item for item in seen.message.objects if _is_misplaced(seen, item)]
        if misplaced:
            yield _misplaced(seen, misplaced)
        elif seen.capture.message == "spr" and len(seen.capture.words) >= FIRST_EPR_POSITION:
            yield _too_many(seen)
        elif seen.capture.message == "epr":
            yield from _missing(seen)
    yield from _without_flag(seen_before)


def is_extended(item: PositionedObject) -> bool:
    """Whether an object belongs to the extended power range."""
    supply = item.source_object.supply
    if isinstance(supply, FixedSupply):
        return supply.voltage > HIGHEST_SPR_VOLTAGE
    return isinstance(supply, EprAdjustableSupply)


def _is_misplaced(seen: Seen, item: PositionedObject) -> bool:
    return is_extended(item) and (seen.capture.message == "spr" or item.position < FIRST_EPR_POSITION)


def _misplaced(seen: Seen, misplaced: list[PositionedObject]) -> Notice:
    objects = listed([f"{spoken(item.source_object)} at position {item.position}" for item in misplaced])
    kind = "standard" if seen.capture.message == "spr" else "extended"
    return Notice(
        field=seen.at(misplaced[0].position),
        found=f"{objects} of a message of the {kind} range",
        expected="objects above 20 V from position 8 on, in a message of the extended range",
        fix='fill the empty positions before 8 with "0x00000000", and see that message is epr',
        inputs=(seen.capture.message, *seen.capture.words),
    )


def _too_many(seen: Seen) -> Notice:
    return Notice(
        field=seen.at(FIRST_EPR_POSITION),
        found=f"{len(seen.capture.words)} words in a message of the standard range",
        expected="at most 7",
        fix="set message to epr if it was captured in the extended range, else take away what is not of it",
        inputs=(seen.capture.message, *seen.capture.words),
    )


def _missing(seen: Seen) -> Iterator[Notice]:
    if not seen.alone or not seen.message.has_power_rules:
        return
    for offer in required_epr_offers(seen.message.rated):
        if not _has(seen, offer):
            yield Notice(
                field=seen.field,
                found=f"no fixed object of {offer.voltage:g} V with {amount(offer.current, 'A')}",
                expected=f"one, as this message comes to {amount(seen.message.rated, 'W')} (cable: {seen.cable})",
                fix="check that no word was left out; keep it where the port really offers it so",
                severity="note",
                inputs=seen.capture.words,
            )


def _has(seen: Seen, offer: FixedOffer) -> bool:
    fixed = [o.source_object.supply for o in seen.message.objects if isinstance(o.source_object.supply, FixedSupply)]
    near = [one for one in fixed if abs(one.voltage - offer.voltage) <= SAME_VOLTAGE * offer.voltage]
    return any(meets_current(one.current, offer.current) for one in near)


def _without_flag(captures: list[Seen]) -> Iterator[Notice]:
    """A port alone whose message of the extended range was captured, while none of the standard range announces it."""
    extended = {seen.port_field: seen for seen in reversed(captures) if seen.capture.message == "epr" and seen.alone}
    for port_field, epr in extended.items():
        standard = [
            seen
            for seen in captures
            if seen.port_field == port_field and seen.alone and seen.capture.message == "spr" and seen.message.objects
        ]
        firsts = [seen.message.objects[0].source_object.supply for seen in standard]
        if standard and not any(getattr(first, "epr_capable", False) for first in firsts):
            yield Notice(
                field=standard[0].at(1),
                found="bit 23 at zero: the first object does not announce the extended range",
                expected="bit 23 set, since a message of the extended range was captured from the same port",
                fix="check the first word against the capture; keep it where the port really sends it so",
                severity="note",
                related=(("", epr.field),),
                inputs=(*standard[0].capture.words, *epr.capture.words),
            )


CHECK = RecordCheck(RULE, run)
