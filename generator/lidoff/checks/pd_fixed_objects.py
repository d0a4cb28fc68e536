"""The fixed objects that go with a port's power."""

from collections.abc import Iterator

from lidoff.checks.captures import FIRST_EPR_POSITION, SAME_VOLTAGE, Seen, amount, listed, spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_offers import meets_current
from lidoff.engineering.usb_pd_rules import FixedOffer, required_fixed_offers
from lidoff.engineering.usb_pd_supplies import FixedSupply
from lidoff.figures.citation import citation
from lidoff.rule import Rule

RULE = Rule(
    id="pd-fixed-objects",
    title="A port alone offers the fixed voltages that go with its power",
    severity="note",
    scope="record",
    why=(
        "A sink counts on these voltages and currents: a notebook that asks for 15 V charges slowly, or not at all, "
        "at a port that leaves 15 V out. The power is that of the strongest fixed object of the same message, so "
        "that what the cable takes away is not counted against the port. Judged only where nothing else was plugged "
        "in. Real products leave objects out, hence a note; 12 V is optional and never counts."
    ),
    formula="I = P / V at the highest voltage of 5, 9, 15 and 20 V, 3 A at those below it, less one step of 10 mA",
    source=citation(required_fixed_offers),
)


def run(subject: Subject) -> Iterator[Notice]:
    """One notice a port, at its first message that lacks something in the standard power range."""
    told: set[str] = set()
    for seen in subject.captures:
        if not seen.alone or not seen.message.has_power_rules or seen.port_field in told:
            continue
        lacking = {offer: found for offer in required_fixed_offers(seen.message.rated) if (found := _lack(seen, offer))}
        if lacking:
            told.add(seen.port_field)
            wanted = listed([f"{offer.voltage:g} V {amount(offer.current, 'A')}" for offer in lacking])
            yield Notice(
                field=f"{seen.field}.words",
                found=listed(lacking.values()),
                expected=f"{wanted}, as this message comes to {amount(seen.message.rated, 'W')} (cable: {seen.cable})",
                fix="check the words against the capture; keep them where the port really offers it so",
                inputs=(*seen.capture.words, seen.capture.cable),
            )


def _lack(seen: Seen, offer: FixedOffer) -> str | None:
    """What a message has instead of an offer; None where it has the offer. 20.3 V 3 A stand for 20 V too."""
    near = [
        item
        for item in seen.message.objects
        if item.position < FIRST_EPR_POSITION
        and isinstance(item.source_object.supply, FixedSupply)
        and abs(item.source_object.supply.voltage - offer.voltage) <= SAME_VOLTAGE * offer.voltage
    ]
    if not near:
        return f"no {offer.voltage:g} V"
    best = max(near, key=lambda item: item.source_object.supply.current)
    supply = best.source_object.supply
    needed = min(offer.current, seen.message.rated / supply.voltage)
    return None if meets_current(supply.current, needed) else spoken(best.source_object)


CHECK = RecordCheck(RULE, run)
