"""What is printed on a board: outlines, reference names, the board's name, the line along the gap."""

from collections.abc import Mapping, Sequence

from art import box, disc, group, line, text_width, words
from layout import Layout, Placed, Rect, leads
from mask import Finish

SIZE = 1.25


def silkscreen(
    layout: Layout, side: str, parts: Sequence[Placed], board: Mapping, finish: Finish, slot: Rect | None
) -> str:
    """All print of one side."""
    taken = [one.rect for one in parts] + joints(layout, side) + ([slot] if slot else [])
    drawn = [_gap_line(layout, side, finish)]
    drawn += [_outline(one, body, finish) for one in parts for body in one.bodies]
    for one in parts:
        place = _beside(one.rect, one.item.ref, layout, taken)
        if place is not None:
            taken.append(place)
            drawn.append(
                words(place.x + place.width / 2, place.y + place.height / 2, one.item.ref, SIZE, finish.silk, bold=True)
            )
    name = " ".join(str(piece) for piece in (board.get("silkscreen"), board.get("date_code")) if piece)
    if name and side == "top" or name and finish.bare is False and board.get("layers") == 1:
        drawn.append(_name(name, layout, taken, finish))
    return group("".join(drawn))


def joints(layout: Layout, side: str) -> list[Rect]:
    """Where leads come through to this side, as the viewer sees them."""
    through = [
        rect
        for one in (layout.top if side == "bottom" else layout.bottom)
        if one.item.through_hole
        for rect in leads(one)
    ]
    if side == "top":
        return through
    return [Rect(layout.width - rect.x - rect.width, rect.y, rect.width, rect.height) for rect in through]


def _outline(one: Placed, body: Rect, finish: Finish) -> str:
    room = 0.22
    if one.item.family in ("radial", "toroid", "snap-in") and body.width == body.height:
        return disc(
            body.x + body.width / 2,
            body.y + body.height / 2,
            body.width / 2 + room,
            "none",
            stroke=finish.silk,
            stroke_width=0.14,
            opacity=0.85,
        )
    if body.width < 3 and body.height < 3:
        return ""
    return box(
        body.x - room,
        body.y - room,
        body.width + 2 * room,
        body.height + 2 * room,
        "none",
        0.3,
        stroke=finish.silk,
        stroke_width=0.14,
        opacity=0.85,
    )


def _beside(rect: Rect, ref: str, layout: Layout, taken: Sequence[Rect]) -> Rect | None:
    """A free place next to a part for its name."""
    wide, high, room = text_width(ref, SIZE, True) + 0.2, SIZE, 0.3
    middle_x, middle_y = rect.x + rect.width / 2 - wide / 2, rect.y + rect.height / 2 - high / 2
    spots = (
        (middle_x, rect.y - room - high), (middle_x, rect.y + rect.height + room), (rect.x - room - wide, middle_y),
        (rect.x + rect.width + room, middle_y), (rect.x, rect.y - room - high), (rect.x, rect.y + rect.height + room),
        (rect.x + rect.width + room, rect.y), (rect.x - room - wide, rect.y),
        (rect.x + rect.width + room, rect.y + rect.height - high), (rect.x - room - wide, rect.y + rect.height - high),
    )  # fmt: skip
    for x, y in spots:
        place = Rect(x, y, wide, high)
        if _inside(place, layout) and not any(place.overlaps(other) for other in taken if other is not rect):
            return place
    return None


def _inside(place: Rect, layout: Layout) -> bool:
    return (
        place.x > 0.3
        and place.y > 0.3
        and place.x + place.width < layout.width - 0.3
        and place.y + place.height < layout.height - 0.3
    )


def _name(name: str, layout: Layout, taken: Sequence[Rect], finish: Finish) -> str:
    """The board's name in the largest free place, along or upright."""
    for size in (2.6, 2.1, 1.7, 1.3, 1.0):
        wide = text_width(name, size, True) + 0.6
        for upright in (False, True):
            across, along = (size + 0.3, wide) if upright else (wide, size + 0.3)
            y = layout.height - along - 0.6
            while y > 0.5:
                x = 0.6
                while x + across < layout.width - 0.5:
                    if not any(Rect(x, y, across, along).overlaps(other) for other in taken):
                        middle = (x + across / 2, y + along / 2)
                        turn = {"transform": f"rotate(-90 {middle[0]:.2f} {middle[1]:.2f})"} if upright else {}
                        return words(*middle, name, size, finish.silk, bold=True, **turn)
                    x += 0.5
                y -= 0.5
    return ""


def _gap_line(layout: Layout, side: str, finish: Finish) -> str:
    if layout.barrier is None:
        return ""
    x = layout.barrier if side == "top" else layout.width - layout.barrier
    return line(x, 0.6, x, layout.height - 0.6, finish.silk, 0.2, stroke_dasharray="1.2 0.7", opacity=0.55)
