"""Capacitors on the mains side have the safety class of their place."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.finding import Severity
from lidoff.record.model import Record
from lidoff.record.model.component import Component
from lidoff.rule import Rule

RULE = Rule(
    id="capacitor-class",
    title="X and Y capacitors have the safety class of their place",
    severity="warning",
    scope="record",
    why=(
        "Class X is for places where a failure does not lead to electric shock, across the line; class Y for those "
        "where it could. A part of class X alone between the mains side and the output or earth is most likely "
        "misread, and if not, a finding that matters. A class Y part across the line is allowed. Notes are: a single "
        "Y2 across the reinforced insulation of class II, where Y1 or two Y2 in series are usual, and a class that "
        "was to be read and is not recorded."
    ),
    source="IEC 60384-14, definitions of classes X and Y; IEC 62368-1, annex G.11 (both from memory)",
)

UNREADABLE = frozenset({"hidden", "coated", "erased", "none", "partial"})


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for safety classes that do not go with the role, or that are missing."""
    record = subject.record
    for place, part in enumerate(record.components):
        is_y, is_x = "y-capacitor" in part.roles, "x-capacitor" in part.roles
        if not (is_x or is_y):
            continue
        safety_class = part.ratings.safety_class if part.ratings is not None else None
        if safety_class is None:
            yield from _missing(place, part, "y1, y2" if is_y else "x1, x2")
        elif is_y and "y" not in safety_class:
            found, inputs = f"{part.ref} is a y-capacitor of class {safety_class}", (part.roles, safety_class)
            yield _notice(place, found, "class y1, y2 or both x and y", inputs)
        elif is_y and "y1" not in safety_class and _is_alone_across_reinforced(record, part):
            found = f"{part.ref} is a single {safety_class} between primary and secondary, in class II"
            yield _notice(place, found, "usually y1, or two y2 in series", (part.roles, safety_class), "note")


def _is_alone_across_reinforced(record: Record, part: Component) -> bool:
    is_across = part.across == "primary-secondary" and record.product.protection_class == "ii"
    return is_across and part.series_string is None


def _missing(place: int, part: Component, classes: str) -> Iterator[Notice]:
    """Nothing is asked for where neither ratings nor a readable print were recorded."""
    is_unreadable = part.marking is not None and part.marking.state in UNREADABLE
    if part.ratings is not None and not is_unreadable:
        yield _notice(place, f"{part.ref} without its safety class", f"one of {classes} or a combined one", (), "note")


def _notice(
    place: int, found: str, expected: str, inputs: tuple[object, ...], severity: Severity | None = None
) -> Notice:
    return Notice(
        field=f"components[{place}].ratings.safety_class",
        found=found,
        expected=expected,
        fix="read the print again, then correct or add safety_class, the role or series_string",
        severity=severity,
        inputs=inputs,
    )


CHECK = RecordCheck(RULE, run)
