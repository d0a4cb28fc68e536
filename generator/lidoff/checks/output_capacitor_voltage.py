"""Capacitors at the output are rated for the highest voltage of their rail."""

from collections.abc import Iterator

from lidoff.checks.amounts import recorded
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.figures.bus import capacitance_of, with_role
from lidoff.figures.known import Absent, Known
from lidoff.figures.label import highest_output
from lidoff.figures.transformer import PER_PORT_STAGES, secondary_voltage
from lidoff.record.model import Record
from lidoff.record.model.component import Component
from lidoff.rule import Rule

RULE = Rule(
    id="output-capacitor-voltage",
    title="Output capacitors are rated for the highest voltage of their rail",
    severity="warning",
    scope="record",
    why=(
        "The capacitors behind the isolated converter see the highest voltage of the ports, adjustable ranges "
        "included, or that of the bus that feeds the per-port converters. Those at a per-port converter see at least "
        "the lower of the bus and the highest voltage of their port; small ones, which may serve a supply pin, are "
        "left out. A rating below that is most likely misread, or the part belongs to another rail. Equality is "
        "normal."
    ),
    source="ratings of the recorded parts; which voltage a rail carries follows from the recorded conversion",
    formula=r"V_{rated} < V_{rail,max}",
)

FEEDS_A_RAIL_FROM = 10e-6
"""Capacitance [F] from which a capacitor at a per-port converter carries power and serves no supply pin."""


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for capacitors rated below their rail."""
    record = subject.record
    for place, part in with_role(record, "output-capacitor"):
        yield from _beside(place, part, _rail(record, part.port))
    for place, part in with_role(record, "dc-dc-capacitor"):
        if _feeds_a_rail(place, part):
            yield from _beside(place, part, _per_port_rail(record, part.port))


def _rail(record: Record, port: str | None) -> Known | None:
    """The highest voltage that an output capacitor surely sees, None where it is not known."""
    per_port = record.conversion.per_port if record.conversion else None
    if per_port in PER_PORT_STAGES and port is not None:
        # it may sit behind the converter of its port
        return _per_port_rail(record, port)
    try:
        return secondary_voltage(record, port)
    except Absent:
        # what feeds step-down converters is above all of their outputs
        return _highest(record, None) if per_port == "buck" else None


def _per_port_rail(record: Record, port: str | None) -> Known | None:
    """The least that a capacitor at a per-port converter sees: before it or behind it."""
    conversion = record.conversion
    ports = [port] if port is not None else [one.id for one in record.ports]
    outputs = [found for one in ports if (found := _highest(record, one)) is not None]
    if conversion is None or not outputs or len(outputs) < len(ports):
        return None
    behind = min(outputs, key=lambda one: one.value)
    if conversion.intermediate_v is None:
        return behind if conversion.per_port == "buck" else None
    return behind if behind.value <= conversion.intermediate_v else Known(conversion.intermediate_v)


def _highest(record: Record, port: str | None) -> Known | None:
    try:
        return highest_output(record, None if port is None else (port,))
    except Absent:
        return None


def _feeds_a_rail(place: int, part: Component) -> bool:
    try:
        return capacitance_of(place, part).value >= FEEDS_A_RAIL_FROM
    except Absent:
        return False


def _beside(place: int, part: Component, rail: Known | None) -> Iterator[Notice]:
    rating = part.ratings.voltage_v if part.ratings is not None else None
    if rail is None or rating is None or rating >= rail.value or part.series_string is not None:
        return
    yield Notice(
        field=f"components[{place}].ratings.voltage_v",
        found=f"{part.ref} is rated {recorded(rating, 'V')}, and its rail reaches {recorded(rail.value, 'V')}",
        expected=f"a rating of {recorded(rail.value, 'V')} or more",
        fix="read the print again; check role, port and the voltages of ports and conversion",
        related=tuple(("", one.field) for one in rail.inputs) or (("", "conversion.intermediate_v"),),
        inputs=(rating, rail.value),
    )


CHECK = RecordCheck(RULE, run)
