"""The way of the power as blocks in rows, with what is certain and what is not."""

from lidoff.entry import Entry
from lidoff.narration.cards.sheet import (
    BODY,
    BOTTOM,
    FIRST,
    INK,
    LEFT,
    PLATE,
    QUIET,
    RIGHT,
    SECOND,
    SMALL,
    TOP,
    Sheet,
    notes_of,
)
from lidoff.pages.drawings.chain import PlacedBlock
from lidoff.pages.views.conversion import conversion_view

FEW, GAP = 8, 64
EDGES = {"certain": "", "likely": "16 9", "guess": "4 9", "open": "4 9"}


def chain_card(entry: Entry) -> str | None:
    """None where the conversion is not recorded."""
    view = conversion_view(entry.record, "")
    if view is None or view.drawing is None:
        return None
    blocks = view.drawing.blocks
    sheet = Sheet(entry.title, "From the mains to the ports", view.drawing.description, notes_of(entry))
    a_row = 4 if len(blocks) <= FEW else 5
    rows = [blocks[start : start + a_row] for start in range(0, len(blocks), a_row)]
    width = (RIGHT - LEFT - GAP * (a_row - 1)) / a_row
    height = (BOTTOM - TOP - 20 - 56 * (len(rows) - 1)) / max(len(rows), 2)
    for row, found in enumerate(rows):
        y = TOP + 10 + row * (height + 56)
        for column, block in enumerate(found):
            x = LEFT + column * (width + GAP)
            _block(sheet, block, x, y, width, height)
            if column + 1 < len(found):
                _arrow(sheet, x + width, y + height / 2, GAP)
        if row + 1 < len(rows):
            _turn(sheet, x + width / 2, y + height, LEFT + width / 2, y + height + 56)
    if any(block.block.is_across for block in blocks):
        sheet.text(RIGHT, BOTTOM + 22, "orange: the stage that crosses the insulation", SMALL, QUIET, anchor="end")
    return sheet.svg


def _block(sheet: Sheet, placed: PlacedBlock, x: float, y: float, width: float, height: float) -> None:
    block = placed.block
    edge = SECOND if block.is_across else FIRST if block.strength is not None else INK
    sheet.box(x, y, width, height, PLATE, edge, 14, 5, EDGES.get(block.strength or "certain", "4 9"))
    below = sheet.lines(x + 26, y + 50, block.name, width - 52, SMALL, 2, QUIET)
    sheet.lines(
        x + 26,
        below + 22,
        block.text or "not recorded",
        width - 52,
        BODY,
        max(int((height - (150 if placed.said else 100)) / 39), 1),
    )
    if placed.said:
        sheet.text(x + 26, y + height - 26, placed.said, SMALL, QUIET)


def _arrow(sheet: Sheet, x: float, y: float, length: float) -> None:
    sheet.line(x + 8, y, x + length - 20, y, INK, 4)
    sheet.path(f"M{x + length - 24:g} {y - 11:g}L{x + length - 6:g} {y:g}L{x + length - 24:g} {y + 11:g}Z", INK, 1, INK)


def _turn(sheet: Sheet, x: float, y: float, to_x: float, to_y: float) -> None:
    middle = (y + to_y) / 2
    sheet.path(f"M{x:g} {y + 6:g}V{middle:g}H{to_x:g}V{to_y - 18:g}", INK, 4)
    sheet.path(f"M{to_x - 11:g} {to_y - 20:g}L{to_x:g} {to_y - 4:g}L{to_x + 11:g} {to_y - 20:g}Z", INK, 1, INK)
