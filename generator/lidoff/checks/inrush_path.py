"""Something limits the current that charges the bulk capacitor at switch-on."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.coverage import lists_every_part
from lidoff.checks.ratings import with_any_role
from lidoff.figures.bus import BULK, with_role
from lidoff.rule import Rule

RULE = Rule(
    id="inrush-path",
    title="A part that limits the inrush current is recorded",
    severity="note",
    scope="record",
    why=(
        "The empty bulk capacitor is charged through a thermistor or a fusible resistor. Small units may leave it to "
        "the resistance of filter and fuse. Worth knowing only where every part is listed and nothing was hidden."
    ),
    source="common practice, no source",
)

ROLES = ("inrush-thermistor", "fusible-resistor")


def run(subject: Subject) -> Iterator[Notice]:
    """A note where every part is listed and none limits the inrush current."""
    bulk = with_role(subject.record, BULK)
    if bulk and lists_every_part(subject.record) and not with_any_role(subject.record, ROLES):
        place, part = bulk[0]
        yield Notice(
            field=f"components[{place}].roles",
            found=f"{part.ref} is charged from the mains, and no part with the role {ROLES[0]} or {ROLES[1]} is listed",
            expected="a part that limits the inrush current, or the resistance of filter and fuse alone",
            fix="look for a thermistor or resistor in series with the bridge; if there is none, leave it",
        )


CHECK = RecordCheck(RULE, run)
