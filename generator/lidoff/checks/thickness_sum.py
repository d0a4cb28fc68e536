"""A board with its parts is not thicker than what is around it."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.outlines import envelopes, fits, size
from lidoff.rule import Rule

RULE = Rule(
    id="thickness-sum",
    title="A board with its parts is no thicker than the assembly or the body",
    severity="warning",
    scope="record",
    why=(
        "The thickness of a board and the height of its tallest part add up to a block that must fit in the envelope "
        "of the bare assembly, else of the body. Where it does not, in every position, the height was taken with the "
        "board, over both sides, or has a slip in it. A board that is too large by itself is left to another rule."
    ),
    formula="(board length, board width, board thickness + height of its parts) ≤ edges of the envelope + 1 mm",
    source="Geometry; the allowance is Lidoff's own decision",
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for boards whose parts stand higher than there is room."""
    around = next(envelopes(subject.record), None)
    if around is None:
        return
    field, name, edges = around
    for place, board in enumerate(subject.record.boards):
        if board.size_mm is None or board.parts_height_mm is None or not fits(board.size_mm, edges):
            continue
        height = board.parts_height_mm + (board.thickness_mm or 0.0)
        block = (*board.size_mm, height)
        if not fits(block, edges):
            yield Notice(
                field=f"boards[{place}].parts_height_mm",
                found=f"board {board.id} with its parts takes {size(block)}, the {name} {size(edges)}",
                expected=f"a block that fits in the {name} in some position",
                fix="measure the height above the board's own surface again, or correct the other sizes",
                related=(("", field),),
                inputs=(board.size_mm, height, edges),
            )


CHECK = RecordCheck(RULE, run)
