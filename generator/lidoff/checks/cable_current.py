"""What a port offers through a cable that is not made for it."""

from collections.abc import Iterator

from lidoff.checks.captures import Seen, listed, spoken
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.usb_pd_messages import PositionedObject
from lidoff.engineering.usb_pd_offers import cable_needed
from lidoff.engineering.usb_pd_supplies import Supply
from lidoff.figures.citation import citation
from lidoff.rule import Rule

RULE = Rule(
    id="cable-current",
    title="More than 3 A, or more than 20 V, is offered only through a cable marked for it",
    severity="warning",
    scope="record",
    why=(
        "A cable without electronic marking carries 3 A. A source reads the marking and offers more than 3 A only "
        "through a cable marked for 5 A, more than 20 V (21 V for PPS) only through one marked for the extended "
        "range. An offer beyond that can overheat a cable, or the cable was recorded wrongly. Captive cables, and "
        "instruments that were plugged in without one, are not judged."
    ),
    source=citation(cable_needed),
)

CARRIES = {
    "unmarked-3a": ("any",),
    "emarked-3a": ("any",),
    "emarked-5a": ("any", "emarked-5a"),
    "emarked-epr": ("any", "emarked-5a", "epr-5a"),
}
NEEDED = {"any": "any", "emarked-5a": "emarked-5a or emarked-epr", "epr-5a": "emarked-epr"}


def run(subject: Subject) -> Iterator[Notice]:
    """One notice a capture, with all objects that its cable is not made for."""
    for seen in subject.captures:
        carried = CARRIES.get(seen.capture.cable)
        if carried is None:
            continue
        beyond = [(item, cable) for item in seen.message.objects if (cable := needed_for(item)) not in carried]
        if beyond:
            yield _notice(seen, beyond)


def needed_for(item: PositionedObject) -> str:
    """The cable that an object needs."""
    supply = item.source_object.supply
    voltage, current = _highest(supply)
    return cable_needed(voltage, current) if voltage > 0 else "any"


def _highest(supply: Supply) -> tuple[float, float]:
    """The highest voltage and the largest current of an offer; 0 where the object does not say."""
    voltage = getattr(supply, "voltage_max", getattr(supply, "voltage", 0.0))
    current = getattr(supply, "current", 0.0)
    if hasattr(supply, "current_to_15v"):
        return 20.0, max(supply.current_to_15v, supply.current_to_20v)
    return voltage, current


def _notice(seen: Seen, beyond: list[tuple[PositionedObject, str]]) -> Notice:
    most = "epr-5a" if any(cable == "epr-5a" for _, cable in beyond) else "emarked-5a"
    return Notice(
        field=seen.at(beyond[0][0].position),
        found=f"{listed([spoken(item.source_object) for item, _ in beyond])} through the cable {seen.cable}",
        expected=f"such an offer only through {NEEDED[most]}",
        fix="check the cable and the words; where both are right, answer it",
        related=(("", f"{seen.field}.cable"),),
        inputs=(seen.capture.cable, *(item.source_object.word for item, _ in beyond)),
    )


CHECK = RecordCheck(RULE, run)
