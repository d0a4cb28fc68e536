"""A capacitor for low mains voltage only comes with the switch that connects it."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.coverage import lists_main_parts
from lidoff.figures.bus import LOW_LINE_BULK, with_role
from lidoff.rule import Rule

RULE = Rule(
    id="low-line-bulk",
    title="A bulk capacitor for low mains voltage and its switch are both recorded",
    severity="note",
    scope="record",
    why=(
        "Some designs connect a bulk capacitor of lower rated voltage only while the mains voltage is low. Such a "
        "capacitor is left out of the voltage margin, so it matters that its switch was seen. One without the other "
        "is worth a second look, where all main parts are listed."
    ),
    source="common practice, no source",
)

SWITCH = "low-line-switch"


def run(subject: Subject) -> Iterator[Notice]:
    """A notice where only one of the two is listed."""
    if not lists_main_parts(subject.record):
        return
    capacitors, switches = with_role(subject.record, LOW_LINE_BULK), with_role(subject.record, SWITCH)
    for (place, part), seen, other in (
        *((one, LOW_LINE_BULK, SWITCH) for one in capacitors if not switches),
        *((one, SWITCH, LOW_LINE_BULK) for one in switches if not capacitors),
    ):
        yield Notice(
            field=f"components[{place}].roles",
            found=f"{part.ref} is a {seen}, and no part is a {other}",
            expected=f"a {seen} together with a {other}",
            fix=f"add the {other}, or correct the role of {part.ref}",
            inputs=(part.ref, part.roles),
        )


CHECK = RecordCheck(RULE, run)
