"""Boxes over a picture lie in the picture and have a size."""

from collections.abc import Iterator

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.record.model import Record
from lidoff.record.model.picture import Photo
from lidoff.rule import Rule

RULE = Rule(
    id="callout-box",
    title="Boxes over a picture lie within it",
    severity="warning",
    scope="record",
    why=(
        "A box is left, top, width and height as fractions of the picture. Left and width, or top and height, that "
        "come to more than 1 reach out of it; most often right and bottom were written in place of width and height. "
        "A box without width or height shows nothing. Two boxes for one part in one picture are a note, unless the "
        "line stands for several parts."
    ),
    formula="left + width ≤ 1 and top + height ≤ 1",
    source="Lidoff's own decision",
)

ROUNDING = 0.005
"""Half of the last place of the two fractions that people write."""
DIGITS = 9  # beyond them a sum of decimals shows how the machine holds it


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for boxes that leave their picture, are empty, or show a part twice."""
    for place, photo in enumerate(subject.record.photos):
        for number, callout in enumerate(photo.callouts):
            problem = _problem(callout.box)
            if problem is not None:
                yield Notice(
                    field=f"photos[{place}].callouts[{number}].box",
                    found=f"the box for {callout.ref} {problem}",
                    expected="left, top, width and height within 0 to 1, with a width and a height",
                    fix="draw the box again",
                    inputs=callout.box,
                )
        if photo.callouts:
            yield from _twice(place, photo, subject.record)


def _problem(box: tuple[float, float, float, float]) -> str | None:
    left, top, width, height = box
    right, bottom = round(left + width, DIGITS), round(top + height, DIGITS)
    if width == 0 or height == 0:
        return "has no width or no height"
    if right > 1 + ROUNDING:
        return f"reaches to {right:g} of the picture's width"
    if bottom > 1 + ROUNDING:
        return f"reaches to {bottom:g} of the picture's height"
    return None


def _twice(place: int, photo: Photo, record: Record) -> Iterator[Notice]:
    several = {part.ref for part in record.components if (part.quantity or 1) > 1}
    first: dict[str, int] = {}
    for number, callout in enumerate(photo.callouts):
        if callout.ref in first and callout.ref not in several:
            yield Notice(
                field=f"photos[{place}].callouts[{number}].ref",
                found=f"a second box for {callout.ref} in one picture",
                expected="one box a part, unless its quantity is more than 1",
                fix="name the part that this box shows, or take one box out",
                severity="note",
                related=(("", f"photos[{place}].callouts[{first[callout.ref]}].ref"),),
                inputs=(callout.ref,),
            )
        first.setdefault(callout.ref, number)


CHECK = RecordCheck(RULE, run)
