"""The current that a Type-C port announces on its CC line against the label."""

from collections.abc import Iterator

from lidoff.checks.captures import TYPE_C
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.label_offers import PRINTED_CURRENT, same_voltage
from lidoff.engineering.type_c_current import current_adverts
from lidoff.figures.citation import citation
from lidoff.rule import Rule

RULE = Rule(
    id="type-c-current",
    title="The current announced by Type-C is what the label promises at 5 V",
    severity="note",
    scope="record",
    why=(
        "A device without USB PD takes what the CC line announces. Where it announces more than the label promises "
        "at 5 V, or less, and the port was not captured with USB PD that could say more, one of them was noted "
        "wrongly or the product contradicts itself."
    ),
    source=citation(current_adverts),
)

ANNOUNCED = {f"type-c-{advert.name}": advert.current for advert in current_adverts() if advert.name != "default"}


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for ports that announce one current and promise another."""
    for place, port in enumerate(subject.record.ports):
        announced = [name for name in port.protocols or () if name in ANNOUNCED]
        printed = [
            (number, offer.current_a)
            for number, offer in enumerate(port.label)
            if offer.kind == "fixed" and same_voltage(5.0, offer.voltage_v)
        ]
        if len(announced) != 1 or len(printed) != 1 or port.connector not in TYPE_C:
            continue
        (name,), ((number, current),) = announced, printed
        more, less = ANNOUNCED[name] > current + PRINTED_CURRENT, ANNOUNCED[name] < current - PRINTED_CURRENT
        if more or (less and not port.advertised):
            yield Notice(
                field=f"ports[{place}].label[{number}].current_a",
                found=f"{current:g} A at 5 V on the label, {ANNOUNCED[name]:g} A announced ({name})",
                expected="the same current",
                fix="check the label and the measured advert; where both are right, leave them",
                related=(("", f"ports[{place}].protocols"),),
                inputs=(current, name),
            )


CHECK = RecordCheck(RULE, run)
