"""Boards and the bare assembly are not larger than the body that holds them."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.outlines import Edges, fits, size
from lidoff.figures.rows import measured
from lidoff.record.model import Record
from lidoff.rule import Rule

RULE = Rule(
    id="board-fits-body",
    title="Boards and the bare assembly fit in the body",
    severity="warning",
    scope="record",
    why=(
        "A board or an assembly that is larger than the outside of its body, in every upright position, cannot have "
        "come out of it: one of the sizes has a slip in it. One that is larger than the room between the walls is a "
        "note only, since boards may lie in grooves of the wall and connectors may reach through it."
    ),
    formula="edges ≤ edges of the body outside + 1 mm; as a note: edges ≤ edges of the body − 2 × wall + 1 mm",
    source="Geometry; the allowance is Lidoff's own decision",
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for boards and an assembly that are larger than the body or the room in it."""
    record = subject.record
    found = measured(record)
    if found.body_mm is None:
        return
    body = found.body_mm.size
    inside = room_within(record, body)
    if found.assembly_mm is not None:
        yield from _compared("measured.assembly_mm", "the assembly", found.assembly_mm, body, inside)
    for place, board in enumerate(record.boards):
        if board.size_mm is not None:
            yield from _compared(f"boards[{place}].size_mm", f"board {board.id}", board.size_mm, body, inside)


def room_within(record: Record, body: Edges) -> Edges | None:
    """Edges of the room between the walls [mm]; None where the wall is not recorded or would fill the body."""
    wall = record.construction.wall_mm if record.construction is not None else None
    if wall is None or 2 * wall >= min(body):
        return None
    return tuple(edge - 2 * wall for edge in body)


def _compared(field: str, name: str, edges: Edges, body: Edges, inside: Edges | None) -> Iterator[Notice]:
    if not fits(edges, body):
        yield Notice(
            field=field,
            found=f"{name} has {size(edges)}, and the body {size(body)} outside",
            expected="a size that fits in the body in some position",
            fix="measure again, and correct the size of one or the other",
            related=(("", "measured.body_mm.size"),),
            inputs=(edges, body),
        )
    elif inside is not None and not fits(edges, inside):
        yield Notice(
            field=field,
            found=f"{name} has {size(edges)}, and the room between the walls {size(inside)}",
            expected="a size that fits between the walls, unless it lies in grooves of the wall",
            fix="check the size, the body and wall_mm; leave them if it reaches into the wall",
            severity="note",
            related=(("", "measured.body_mm.size"), ("", "construction.wall_mm")),
            inputs=(edges, inside),
        )


CHECK = RecordCheck(RULE, run)
