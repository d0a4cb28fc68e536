"""A card in a photograph was seen squarely."""

from collections.abc import Iterator
from math import sqrt

from lidoff.bench.photo_lengths import in_pixels, tilt_of
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.engineering.card_plane import CardTilt
from lidoff.engineering.photo_scale import POINT_PLACING_PX, pixel_distance
from lidoff.record.model.picture import Card
from lidoff.rule import Rule

LARGEST = 0.01
"""Share by which edges or axes may differ: Lidoff's own decision."""

RULE = Rule(
    id="card-tilt",
    title="The card in a photograph was seen squarely",
    severity="warning",
    scope="record",
    why=(
        "Opposite edges of a card are equally long, and its two axes have one scale. Where they differ in the picture "
        "by more than 1 %, the camera looked at a slant, a corner was placed wrongly, or it is no card of this format. "
        "Lengths in the plane of the card are still found, since its four corners tell the tilt; what lies above or "
        "below that plane is shifted, and its size is less sure. Pictures so small that placing the points may make as "
        "much difference are passed over."
    ),
    formula="longer edge / shorter edge − 1 ≤ 1 %, and scale along 85.60 mm / scale along 53.98 mm within 1 %",
    source="ISO/IEC 7810, format ID-1; the limit is Lidoff's own decision",
)

_PLACE_AGAIN = "place the corners where the straight edges would meet, or photograph it again from straight above"
_BEGIN_LONG = "begin with the two ends of a long edge, and go on round the card"
_SHORT_EDGE_FIRST = -0.5
"""Corners that begin with a short edge give (53.98 / 85.60)² − 1, which is −0.6, as the difference of the axes."""


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for cards whose corners show a tilt, or are those of no card."""
    for place, photo in enumerate(subject.record.photos):
        if photo.card is None:
            continue
        field = f"photos[{place}].card.corners"
        try:
            tilt = tilt_of(photo.card)
        except ValueError:
            yield Notice(
                field=field,
                found="four corners that enclose no convex figure",
                expected="the corners in order round the card, the first two at the ends of a long edge",
                fix="place the corners again",
                inputs=photo.card.corners,
            )
            continue
        said = _said(tilt, max(LARGEST, _unsure(photo.card)))
        if said:
            yield Notice(
                field=field,
                found=f"a card whose {said}",
                expected="at most 1 % between opposite edges and between the two axes",
                fix=_BEGIN_LONG if tilt.axes < _SHORT_EDGE_FIRST else _PLACE_AGAIN,
                inputs=photo.card.corners,
            )


def _said(tilt: CardTilt, limit: float) -> str:
    differences = (
        ("two axes disagree by", abs(tilt.axes)),
        ("long edges differ by", tilt.long_sides),
        ("short edges differ by", tilt.short_sides),
    )
    return ", ".join(f"{words} {share:.1%}".replace("%", " %") for words, share in differences if share > limit)


def _unsure(card: Card) -> float:
    """Share by which the edges may differ from placing the points alone (k = 2)."""
    corners = [in_pixels(corner, card.picture_px) for corner in card.corners]
    shortest = min(pixel_distance(corners[i], corners[(i + 1) % 4]) for i in range(4))
    spread = sqrt(2) * POINT_PLACING_PX / sqrt(3) / shortest
    return 2 * sqrt(2) * spread


CHECK = RecordCheck(RULE, run)
