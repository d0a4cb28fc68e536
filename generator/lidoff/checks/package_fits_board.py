"""A part is not larger than the board that carries it, nor than the body around it."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.outlines import ALLOWANCE_MM, Edges, envelopes, family_and_edges, fits, size, smallest_footprint
from lidoff.record.model import Record
from lidoff.record.model.construction import Magnetic
from lidoff.rule import Rule

RULE = Rule(
    id="package-fits-board",
    title="A part is no larger than its board and its product",
    severity="warning",
    scope="record",
    why=(
        "The body size of a package, the longest edge of a core and the height of a magnetic part are set beside the "
        "board that carries the part and beside the assembly or body around it. Leaded parts may stand or lie and may "
        "stick out by a millimetre. Beyond that in every position, a size has a slip in it or the wrong board is "
        "named."
    ),
    formula=(
        "smallest footprint of the part ≤ size of the board + 1 mm; edges of the part ≤ edges of the assembly or body "
        "+ 1 mm"
    ),
    source="Geometry; the allowance is Lidoff's own decision",
)

CORES_BY_LENGTH = frozenset({"EE", "EI", "EFD", "ER", "EQ", "ATQ", "PQ", "planar", "U"})
"""Core families whose size begins with the longest edge in millimetres."""

Misfit = tuple[str, str, Edges]
"""Field, designator and the room that is needed on the board."""


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for parts, cores and magnetic parts that cannot be where they are said to be."""
    record = subject.record
    around = next(envelopes(record), None)
    misfits: dict[str, list[Misfit]] = {}
    for board_name, misfit in _misfits(record):
        misfits.setdefault(board_name, []).append(misfit)
    for place, board in enumerate(record.boards):
        if board.id in misfits and board.size_mm is not None:
            yield _on_board(place, board.id, board.size_mm, misfits[board.id])
    if around is not None:
        told = {field for several in misfits.values() for field, _, _ in several}
        yield from (notice for notice in _in_envelope(record, *around) if notice.field not in told)


def _misfits(record: Record) -> Iterator[tuple[str, Misfit]]:
    """Every part and core that is larger than its board, with the board's name."""
    sizes = {board.id: board.size_mm for board in record.boards if board.size_mm is not None}
    for place, part in enumerate(record.components):
        board = sizes.get(part.board or "")
        found = family_and_edges(part.package) if part.package is not None and board is not None else None
        if part.board is not None and board is not None and found is not None and part.side != "off-board":
            footprint = smallest_footprint(*found)
            if not fits(footprint, board):
                yield part.board, (f"components[{place}].package", part.ref, footprint)
    on_board = {part.ref: part.board for part in record.components if part.board in sizes}
    for place, magnetic in enumerate(record.magnetics):
        name, longest = on_board.get(magnetic.ref), longest_edge(magnetic)
        if name is not None and longest is not None and longest > max(sizes[name]) + ALLOWANCE_MM:
            yield name, (f"magnetics[{place}].core.size", magnetic.ref, (longest,))


def _on_board(place: int, name: str, board: Edges, misfits: list[Misfit]) -> Notice:
    """One notice a board: of several parts that are too large, the board's own size is more likely wrong."""
    field, ref, room = misfits[0]
    more = f"; nor do {', '.join(ref for _, ref, _ in misfits[1:6])}" if len(misfits) > 1 else ""
    return Notice(
        field=field if len(misfits) == 1 else f"boards[{place}].size_mm",
        found=f"{ref}, {size(room)} at least, does not fit on board {name}, {size(board)}{more}",
        expected="a board that is no smaller than its parts",
        fix="correct the size of the part or of the board, or the board that is named",
        related=(("", f"boards[{place}].size_mm" if len(misfits) == 1 else field),),
        inputs=(board, *(room for _, _, room in misfits)),
    )


def _in_envelope(record: Record, around: str, name: str, envelope: Edges) -> Iterator[Notice]:
    """Notices for parts that are larger than the whole assembly or body."""
    for place, part in enumerate(record.components):
        found = family_and_edges(part.package) if part.package is not None else None
        if found is not None and not fits(found[1], envelope):
            yield _too_large(f"components[{place}].package", part.ref, found[1], around, name, envelope)
    for place, magnetic in enumerate(record.magnetics):
        if magnetic.height_mm is not None and magnetic.height_mm > max(envelope) + ALLOWANCE_MM:
            height = (magnetic.height_mm,)
            yield _too_large(f"magnetics[{place}].height_mm", magnetic.ref, height, around, name, envelope)


def _too_large(field: str, ref: str, edges: Edges, around: str, name: str, envelope: Edges) -> Notice:
    return Notice(
        field=field,
        found=f"{ref}, {size(edges)}, is larger than the {name}, {size(envelope)}",
        expected=f"a part that fits in the {name}",
        fix="measure again, and correct the smaller or the larger of the two",
        related=(("", around),),
        inputs=(edges, envelope),
    )


def longest_edge(magnetic: Magnetic) -> float | None:
    """The longest edge of a core [mm], where the size of its family begins with it."""
    core = magnetic.core
    if core is None or core.size is None or core.family not in CORES_BY_LENGTH:
        return None
    first = core.size.split("/")[0]
    return float(first) if first.isascii() and first.replace(".", "", 1).isdigit() else None


CHECK = RecordCheck(RULE, run)
