"""A part's name rests on something that the record shows."""

from collections.abc import Iterator, Sequence

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.record.model import Record
from lidoff.record.model.component import Component
from lidoff.rule import Rule

RULE = Rule(
    id="identification-evidence",
    title="What a part was identified by is there, and as certain as is said",
    severity="warning",
    scope="record",
    why=(
        "A part that was named by its print has a print that can be read; one that is certain has no candidates "
        "beside it; one that has a part number is not unidentified. Where parts are named by a print that the record "
        "does not give, or by nothing at all, it is one note for all of them: a reader can't judge such a name, and a "
        "search for the print can't find it. Records of a public document, for which no unit was opened, are passed "
        "over there."
    ),
    source="Lidoff's own decision",
)

BY_PRINT = frozenset({"printed-part-number", "printed-code"})
NO_PRINT = frozenset({"none", "erased", "hidden"})
MOST_NAMED = 6

Numbered = Sequence[tuple[int, Component]]


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for identifications that contradict the rest of the part, then one note for each sort of gap."""
    record = subject.record
    for place, part in enumerate(record.components):
        yield from _contradictions(place, part)
    if record.source is None:
        yield from _gaps(record)


def _contradictions(place: int, part: Component) -> Iterator[Notice]:
    by_print = part.identified_by in BY_PRINT
    if by_print and part.marking is not None and part.marking.state in NO_PRINT and not part.marking.lines:
        yield Notice(
            field=f"components[{place}].identified_by",
            found=f"{part.ref} by {part.identified_by}, and its marking is {part.marking.state}",
            expected="a print that was read, or another way of identification",
            fix="correct identified_by, or the state of the marking",
            related=(("", f"components[{place}].marking"),),
            inputs=(part.identified_by, part.marking.state),
        )
    if part.candidates and part.strength == "certain":
        yield Notice(
            field=f"components[{place}].strength",
            found=f"{part.ref} is certain, and {_parts(len(part.candidates), 'other ')} could be meant",
            expected="likely or guess where there are candidates",
            fix="lower the strength, or take the candidates out",
            related=(("", f"components[{place}].candidates"),),
            inputs=(part.strength, tuple(one.part_number for one in part.candidates)),
        )
    if part.part_number is not None and part.identified_by == "unidentified":
        yield Notice(
            field=f"components[{place}].identified_by",
            found=f"{part.ref} is unidentified, and has the part number {part.part_number}",
            expected="what the part number rests on, or no part number",
            fix="correct identified_by, or move the number to candidates",
            related=(("", f"components[{place}].part_number"),),
            inputs=(part.identified_by, part.part_number),
        )


def _gaps(record: Record) -> Iterator[Notice]:
    parts = list(enumerate(record.components))
    unprinted = [(i, part) for i, part in parts if part.identified_by in BY_PRINT and not _has_print(part)]
    unfounded = [(i, part) for i, part in parts if part.part_number is not None and part.identified_by is None]
    yield from _gap(unprinted, "identified_by", "identified by a print that is not given", "its lines, under marking")
    yield from _gap(unfounded, "part_number", "with a number that rests on nothing", "identified_by beside the number")


def _has_print(part: Component) -> bool:
    """Whether its print is given, or another notice is about its lack."""
    return part.marking is not None and (bool(part.marking.lines) or part.marking.state in NO_PRINT)


def _gap(parts: Numbered, key: str, found: str, expected: str) -> Iterator[Notice]:
    if parts:
        named = ", ".join(part.ref for _, part in parts[:MOST_NAMED])
        more = f" and {len(parts) - MOST_NAMED} more" if len(parts) > MOST_NAMED else ""
        yield Notice(
            field=f"components[{parts[0][0]}].{key}",
            found=f"{_parts(len(parts))} {found}: {named}{more}",
            expected=expected,
            fix="add it where it is known",
            severity="note",
            inputs=tuple(part.ref for _, part in parts),
        )


def _parts(count: int, which: str = "") -> str:
    return f"{count} {which}{'part' if count == 1 else 'parts'}"


CHECK = RecordCheck(RULE, run)
