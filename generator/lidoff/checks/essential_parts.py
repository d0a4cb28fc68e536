"""Where every part is listed, the parts that every mains charger has are among them."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.coverage import lists_every_part
from lidoff.finding import Severity
from lidoff.record.model import Record
from lidoff.rule import Rule

RULE = Rule(
    id="essential-parts",
    title="A list of every part has the parts that every mains charger has",
    severity="warning",
    scope="record",
    why=(
        "Where the list claims to hold every part of all boards and nothing was hidden, a missing transformer, power "
        "switch, mains rectifier or output connector is an omission: no mains charger works without. A fuse, a bulk "
        "or output capacitor, an output rectifier and a way for feedback are nearly always there, so their absence is "
        "a note: worth telling if it is true. Controllers that regulate from either side alone, and those with an "
        "isolator inside, need no part for feedback; a bridgeless boost stage needs no mains rectifier."
    ),
    source="Common practice, no source",
)

INDISPENSABLE: dict[str, frozenset[str]] = {
    "a transformer": frozenset({"transformer"}),
    "a power switch": frozenset({"primary-switch", "primary-high-side-switch"}),
    "a mains rectifier": frozenset({"bridge-rectifier", "rectifier-diode"}),
    "an output connector": frozenset({"output-connector"}),
}
USUAL: dict[str, frozenset[str]] = {
    "a fuse": frozenset({"fuse", "fusible-resistor"}),
    "a bulk capacitor": frozenset({"bulk-capacitor", "low-line-bulk-capacitor"}),
    "an output rectifier": frozenset({"sync-rectifier", "rectifier-diode"}),
    "an output capacitor": frozenset({"output-capacitor"}),
    "a way for feedback": frozenset({"optocoupler", "isolator"}),
}
NO_FEEDBACK_PART = frozenset({"primary-regulation", "secondary-control"})


def run(subject: Subject) -> Iterator[Notice]:
    """At most two notices: what no charger can do without, and what is nearly always there."""
    record = subject.record
    is_hidden = any(part.marking is not None and part.marking.state == "hidden" for part in record.components)
    if is_hidden or not lists_every_part(record):
        return
    present = _present(record)
    for wanted, severity in ((INDISPENSABLE, None), (USUAL, "note")):
        yield from _missing([name for name, roles in wanted.items() if roles.isdisjoint(present)], severity)


def _present(record: Record) -> frozenset[str]:
    """The roles that are filled, by a part of their own or by what a controller does itself."""
    roles = {role for part in record.components for role in part.roles}
    control = {feature for part in record.components for feature in part.control}
    if "switch-inside" in control:
        roles.add("primary-switch")
    if not NO_FEEDBACK_PART.isdisjoint(control):
        roles.add("isolator")
    if record.conversion is not None and record.conversion.pfc == "totem-pole":
        roles.add("bridge-rectifier")
    return frozenset(roles)


def _missing(names: list[str], severity: Severity | None) -> Iterator[Notice]:
    if names:
        yield Notice(
            field="coverage.parts",
            found=f"every part is said to be listed, and none is {' or '.join(names)}",
            expected=" and ".join(names),
            fix="add what is missing or its role; where the unit has none, say so in answered; else correct coverage",
            severity=severity,
            inputs=tuple(names),
        )


CHECK = RecordCheck(RULE, run)
