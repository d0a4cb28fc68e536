"""The parts one by one along the way of the power, with how each was identified."""

from collections.abc import Iterator

from lidoff.narration.line import DETAIL, Line, Subject
from lidoff.pages.part_groups import grouped
from lidoff.record.model.component import Component

NO_PRINT = ("circuit", "pinout", "measurement", "x-ray", "die-photo")


def sure_part(part: Component) -> bool:
    """Whether a part has a number that is more than a guess or a claim."""
    return (
        part.part_number is not None and part.strength in ("certain", "likely") and part.identified_by != "brand-claim"
    )


def named(subject: Subject, part: Component, role: str) -> str:
    """A part by its role and designator."""
    return subject.language.text("part/role-ref", role=subject.language.word("role", role), ref=part.ref)


def all_parts(subject: Subject) -> Iterator[Line]:
    """A line for each part, the first of each group introduced by the name of the group."""
    for parts in grouped(subject.entry.record.components).values():
        for part in parts:
            yield _line(subject, part)


def _line(subject: Subject, part: Component) -> Line:
    values = {
        "ref": part.ref,
        "role": subject.language.listed(subject.language.word("role", role) for role in part.roles[:2]),
        "part": " ".join(word for word in (part.maker, part.part_number) if word),
        "package": part.package or "",
        "by": subject.language.word("identified_by", part.identified_by) if part.identified_by else "",
    }
    return Line(f"part/{_plan(part)}", DETAIL, values, refs=(part.ref,))


def _plan(part: Component) -> str:
    if part.part_number is None:
        if part.identified_by in NO_PRINT and part.package:
            return "unnumbered"
        return "bare"
    if part.strength == "guess":
        return "guess"
    return "likely" if part.strength == "likely" else "certain"
