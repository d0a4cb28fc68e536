"""A board's size in a photograph agrees with the one that was measured on the board."""

from collections.abc import Iterator
from decimal import Decimal
from math import hypot

from lidoff.bench.photo_lengths import SeenLength
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.uncertainty import expanded_uncertainty, standard_uncertainty
from lidoff.figures.photo_sizes import EDGES, PhotoSize, photo_sizes
from lidoff.figures.rows import only_instrument, reading_uncertainty
from lidoff.finding import Severity
from lidoff.record.model import Record
from lidoff.rule import Rule

UNKNOWN_VIEW = 0.05
"""Share that an unknown height above the plane and an unknown tilt may well explain: Lidoff's own decision."""

RULE = Rule(
    id="photo-size",
    title="A board's size in a photograph agrees with the measured one",
    severity="warning",
    scope="record",
    why=(
        "Where a board was measured by hand and its edges are marked in a photograph too, the two sizes check each "
        "other. They should differ by no more than both uncertainties together: where the points lie, the known "
        "length or card, the instrument, and the last place of the recorded size. A height above the plane of the "
        "known length makes a board look larger by height over distance from the camera; where that height, or without "
        "a card the tilt, is not recorded, a difference of up to 5 % is a note only."
    ),
    formula="|size in the photograph − size| ≤ √(U₁² + U₂²), with k = 2",
    source="JCGM 100:2008; the allowance of 5 % is Lidoff's own decision",
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for sizes that disagree, and for points from which no size follows."""
    for one in photo_sizes(subject.record):
        if one.seen is None:
            yield Notice(
                field=one.field,
                found=f"two points from which no size follows: {one.absent}",
                expected="a known length with the size of the picture in pixels, or a card, in that picture",
                fix="mark one with lidoff mark, or take in_photo out",
                inputs=(one.absent,),
            )
        elif subject.record.boards[one.board].size_mm is not None:
            yield from _compared(subject.record, one, one.seen)


def _compared(record: Record, one: PhotoSize, seen: SeenLength) -> Iterator[Notice]:
    board = record.boards[one.board]
    measured = board.size_mm[one.edge]
    spread = hypot(seen.expanded_mm, expanded_uncertainty(_spread(record, measured)))
    difference = seen.length_mm - measured
    if abs(difference) <= spread:
        return
    other = board.size_mm[1 - one.edge]
    is_swapped = abs(seen.length_mm - other) <= spread
    name = EDGES[one.edge]
    size = f"{seen.length_mm:.1f} ± {seen.expanded_mm:.1f} mm"
    yield Notice(
        field=one.field,
        found=f"{size} for the {name} of board {board.id} from the photograph",
        expected=f"{measured:g} mm as measured, within ± {spread:.1f} mm for both together",
        fix=_fix(is_swapped, seen, name),
        severity=_severity(seen, abs(difference) / measured),
        related=(("", f"boards[{one.board}].size_mm"),),
        inputs=(board.size_mm, round(seen.length_mm, 2)),
    )


def _spread(record: Record, measured: float) -> float:
    """Standard uncertainty of a size as it stands in the record: its instrument, and half of its last place."""
    decimals = max(0, -int(Decimal(repr(measured)).normalize().as_tuple().exponent))
    last_place = standard_uncertainty(0.5 * 10.0**-decimals)
    return hypot(last_place, reading_uncertainty(record, only_instrument(record, "length"), "length", measured) or 0.0)


def _severity(seen: SeenLength, share: float) -> Severity:
    is_view_known = seen.is_height_known and seen.tilt is not None
    return "warning" if is_view_known or share > UNKNOWN_VIEW else "note"


def _fix(is_swapped: bool, seen: SeenLength, name: str) -> str:
    if is_swapped:
        return "swap length and width in the one or the other: this is the other edge"
    unknown = [
        *(() if seen.is_height_known else ("record above_mm with camera_mm",)),
        *(() if seen.tilt is not None else ("lay a card beside the board, which shows the tilt",)),
    ]
    return "; ".join((f"measure the {name} again, or place the points again", *unknown))


CHECK = RecordCheck(RULE, run)
