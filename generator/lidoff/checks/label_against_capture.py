"""The label's outputs against the captured objects, one by one, both ways."""

from collections.abc import Iterator, Sequence

from lidoff.checks.captures import Seen, amount, listed, spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.label_offers import (
    PRINTED_CURRENT,
    PRINTED_VOLTAGE,
    best_current,
    on_label,
    same_voltage,
    suits,
)
from lidoff.engineering.usb_pd_supplies import (
    EprAdjustableSupply,
    FixedSupply,
    ProgrammableSupply,
    SourceObject,
    SprAdjustableSupply,
)
from lidoff.record.model.label import Offer, Port
from lidoff.rule import Rule

RULE = Rule(
    id="label-against-capture",
    title="What the label promises is what the port advertises",
    severity="warning",
    scope="record",
    why=(
        "An output on the label that no message shows is either a slip or a promise that is not kept. It is judged "
        "only where the port was captured alone and through a cable that is made for that output, and is a note "
        "where the port also speaks a proprietary protocol, by which it may well be offered. What a port offers "
        "beyond its label is a note, where the whole label was read."
    ),
    formula="currents are compared to 0.05 A and voltages of ranges to 0.15 V, as labels print them",
    source="Lidoff's own decision",
)

MINIMUM = 0.35  # 3.0 V and 3.3 V are both printed as 3.3 V


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for promises that are not seen, and for offers that are not promised."""
    captures: dict[str, list[Seen]] = {}
    for seen in subject.captures:
        captures.setdefault(seen.port_field, []).append(seen)
    coverage = subject.record.coverage
    is_whole = coverage is not None and coverage.label == "whole"
    for place, port in enumerate(subject.record.ports):
        field = f"ports[{place}]"
        for number, offer in enumerate(port.label):
            if offer.kind != "proprietary" and field in captures:
                yield from _promise(f"{field}.label[{number}]", port, offer, captures[field])
        if is_whole and port.label and field in captures:
            yield from _beyond(port, captures[field])


def _promise(field: str, port: Port, offer: Offer, captures: Sequence[Seen]) -> Iterator[Notice]:
    suitable = [seen for seen in captures if suits(seen, offer)]
    if not suitable:
        return
    best = best_current(captures, offer)
    inputs = (on_label(offer), *(seen.capture.words for seen in suitable))
    if best is None or best < (offer.current_a or 0.0) - PRINTED_CURRENT:
        shown = "in no capture" if best is None else f"at most {amount(best, 'A')} in the captures"
        is_note = bool(port.other_protocols)
        then = "leave it" if is_note else "answer it"
        yield Notice(
            field=field,
            found=f"{on_label(offer)} on the label, {shown}",
            expected=f"an object that covers it, as the port was captured alone (cable: {suitable[0].cable})",
            fix=f"correct the label's offer or the words; where both are right, {then}",
            severity="note" if is_note else None,
            related=tuple(("", seen.field) for seen in suitable),
            inputs=inputs,
        )
    elif offer.kind == "pps" and (lowest := _lowest(captures, offer)) > offer.voltage_min_v + MINIMUM:
        yield Notice(
            field=field,
            found=f"{on_label(offer)} on the label, from {lowest:g} V in the captures",
            expected="a range that begins where the label says",
            fix="correct the label's offer or the words; where both are right, leave it",
            severity="note",
            related=tuple(("", seen.field) for seen in suitable),
            inputs=inputs,
        )


def _lowest(captures: Sequence[Seen], offer: Offer) -> float:
    """The lowest voltage among the captured ranges that reach as high as the offer."""
    supplies = (item.source_object.supply for seen in captures for item in seen.message.objects)
    ranges = (one for one in supplies if isinstance(one, ProgrammableSupply))
    return min(one.voltage_min for one in ranges if one.voltage_max >= offer.voltage_max_v - PRINTED_VOLTAGE)


def _beyond(port: Port, captures: Sequence[Seen]) -> Iterator[Notice]:
    """One notice a port with all that its captures alone show and its label does not mention."""
    found: dict[str, str] = {}
    for seen in captures:
        for item in seen.message.objects if seen.alone else ():
            if not _is_mentioned(item.source_object, port.label):
                found.setdefault(spoken(item.source_object), seen.at(item.position))
    if found:
        first, *others = found.values()
        yield Notice(
            field=first,
            found=f"beyond the label: {listed(found)}",
            expected="what the label promises; a port may offer more",
            fix="look whether the label says it after all, else leave it",
            severity="note",
            related=tuple(("", field) for field in others),
            inputs=tuple(found),
        )


def _is_mentioned(source_object: SourceObject, label: Sequence[Offer]) -> bool:
    match source_object.supply:
        case FixedSupply(voltage=voltage, current=current):
            same = [o for o in label if o.kind == "fixed" and same_voltage(voltage, o.voltage_v)]
            return any(current <= offer.current_a + PRINTED_CURRENT for offer in same)
        case ProgrammableSupply(voltage_max=high, current=current, power_limited=is_limited):
            reaching = [o for o in label if o.kind == "pps" and o.voltage_max_v >= high - PRINTED_VOLTAGE]
            return any(is_limited or current <= offer.current_a + PRINTED_CURRENT for offer in reaching)
        case EprAdjustableSupply() | SprAdjustableSupply():
            return any(offer.kind == "avs" for offer in label)
    return False


CHECK = RecordCheck(RULE, run)
