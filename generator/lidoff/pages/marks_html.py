"""The marks over a picture and their legend as HTML. In Python for the reason that tables are: a page has many.

Places are percentages, sizes of strokes and signs are not: a mark is as easy to see on a small picture as on a large.
"""

from collections.abc import Iterable, Sequence

from markupsafe import Markup

from lidoff.pages.escaping import escaped
from lidoff.pages.views.pictures import Mark, Picture

_OPENING = '<svg class="lf-marks" width="100%" height="100%" aria-hidden="true" focusable="false">'


def marks(picture: Picture) -> Markup:
    """The boxes with their numbers; each leads to the row of its part. Keyboards and readers' aids use the legend."""
    if not picture.marks:
        return Markup("")
    return Markup(f"{_OPENING}{''.join(_boxes(picture))}</svg>")


def legend(shown: Sequence[Mark]) -> Markup:
    """What each number stands for, in the order of the numbers, each part once."""
    rows = {mark.number: mark for mark in sorted(shown, key=lambda mark: mark.number)}
    items = "".join(
        f'<li><a href="#part-{mark.number}" data-mark="{mark.number}">'
        f"<b>{mark.number}</b> <span>{escaped(mark.ref)}</span></a>"
        f"{' ' if mark.what else ''}{escaped(mark.what)}</li>"
        for mark in rows.values()
    )
    return Markup(f'<ul class="lf-legend">{items}</ul>')


def _boxes(picture: Picture) -> Iterable[str]:
    """All boxes, then all numbers: no line of a box crosses the number of another."""
    seen: set[int] = set()
    for mark in picture.marks:
        id = "" if mark.number in seen else f' id="mark-{picture.place}-{mark.number}"'
        seen.add(mark.number)
        box = f'x="{mark.x}%" y="{mark.y}%" width="{mark.width}%" height="{mark.height}%"'
        yield (
            f'<a{id} href="#part-{mark.number}" tabindex="-1" data-mark="{mark.number}">'
            f'<rect class="lf-halo" {box}/><rect class="lf-box" {box}/></a>'
        )
    for mark in picture.marks:
        yield (
            f'<g data-mark="{mark.number}"><circle cx="{mark.x}%" cy="{mark.y}%" r="9"/>'
            f'<text x="{mark.x}%" y="{mark.y}%">{mark.number}</text></g>'
        )
