"""The body beside a bank card and a cell, all at one scale."""

from collections.abc import Sequence

from lidoff.entry import Entry
from lidoff.narration.cards.sheet import (
    BOTTOM,
    FIRST,
    INK,
    LEFT,
    PLATE,
    QUIET,
    RIGHT,
    SMALL,
    THIRD,
    TOP,
    Sheet,
    notes_of,
)
from lidoff.pages.drawings.life_size import Outline, Standing, Thing, card, cell, standing, things_of
from lidoff.pages.numbers import edges, edges_in_inches, ounces, quantity
from lidoff.trends.canvas import text_width

ROOM = 130
ONE_ROW_MM, BETWEEN_MM = 300, 9


def size_card(entry: Entry) -> str | None:
    """None where the body was not measured."""
    measured = entry.record.measured
    body = measured.body_mm if measured else None
    if body is None:
        return None
    size = f"{edges(body.size)}, or {edges_in_inches(body.size)}"
    mass = f"; {quantity(measured.mass_g, 'g')}, or {ounces(measured.mass_g)}" if measured.mass_g is not None else ""
    said = f"{size}{mass}"
    sheet = Sheet(
        entry.title,
        said,
        f"The body, {said}, from its largest face and its side, beside a card and a cell.",
        notes_of(entry),
    )
    things = (*things_of(body.size, body.shape or "box", ()), card(), cell())
    drawn = _in_one_row(things) if sum(one.width for one in things) < ONE_ROW_MM else standing(things)
    scale = min((RIGHT - LEFT) / drawn.width, (BOTTOM - TOP - ROOM) / drawn.height)
    left = (LEFT + RIGHT - drawn.width * scale) / 2
    top = TOP + (BOTTOM - TOP - ROOM - drawn.height * scale) / 2
    for outline in drawn.outlines:
        _outline(sheet, outline, left, top, scale)
    y = BOTTOM - 44
    sheet.line(left, y, left + 50 * scale, y, INK, 4)
    for end in (left, left + 50 * scale):
        sheet.line(end, y - 12, end, y + 12, INK, 4)
    sheet.text(left + 25 * scale, y + 42, "50 mm, or 1.97 in", SMALL, QUIET, anchor="middle")
    return sheet.svg


def _in_one_row(things: Sequence[Thing]) -> Standing:
    """All on one floor, as a picture is wider than a page."""
    floor = max(one.height for one in things)
    outlines, x = [], 0.0
    for one in things:
        outlines.append(Outline(x, floor - one.height, one.width, one.height, one.corner, one.text, one.sort))
        x += one.width + BETWEEN_MM
    return Standing(x - BETWEEN_MM, floor, tuple(outlines))


def _outline(sheet: Sheet, one: Outline, left: float, top: float, scale: float) -> None:
    fills = {"face": (FIRST, FIRST), "side": (FIRST, FIRST), "board": (THIRD, THIRD)}
    fill, edge = fills.get(one.sort, (PLATE, INK))
    x, y = left + one.x * scale, top + one.y * scale
    dash = "" if one.sort in fills else "14 10"
    sheet.box(
        x,
        y,
        one.width * scale,
        one.height * scale,
        fill if one.sort in fills else "none",
        edge,
        one.corner * scale,
        3,
        dash,
    )
    if one.text:
        size = SMALL if text_width(one.text, SMALL) < max(one.width * scale * 1.35, 120) else 20
        sheet.text(x + one.width * scale / 2, y + one.height * scale + 38, one.text, size, INK, anchor="middle")
