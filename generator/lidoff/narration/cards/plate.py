"""The rating plate as text: what is printed, and what it comes to."""

from lidoff.entry import Entry
from lidoff.narration.cards.sheet import BODY, BOTTOM, HEADING, LEFT, PLATE, QUIET, RIGHT, TOP, Sheet, notes_of, wrapped
from lidoff.narration.cards.sheet import INK as EDGE
from lidoff.pages.numbers import quantity, span
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import listed

TEXT_RIGHT = 1270
DIRECT_CURRENT = "\u2393"  # not in the font of the cards


def rating_plate(entry: Entry) -> str | None:
    """The printed text in a frame, and its main values beside it; None where nothing of the label is recorded."""
    record = entry.record
    if record.label is None or not (record.label.printed or record.label.input):
        return None
    printed = " ".join((record.label.printed or "The text is not recorded.").split())
    shown = printed.replace(DIRECT_CURRENT, "=")
    sign = "= stands for the sign of direct current" if shown != printed else ""
    sheet = Sheet(entry.title, "What the label says", printed, (*notes_of(entry), sign))
    sheet.box(LEFT, TOP, TEXT_RIGHT - LEFT, BOTTOM - TOP, PLATE, EDGE, 18, 4)
    sheet.box(LEFT + 14, TOP + 14, TEXT_RIGHT - LEFT - 28, BOTTOM - TOP - 28, "none", EDGE, 10, 1.5)
    room = TEXT_RIGHT - LEFT - 110
    size = next(
        size
        for size in (46, 42, 38, 34, 30, 26, 22)
        if len(wrapped(shown, room, size)) * size * 1.35 < 600 or size == 22
    )
    for place, line in enumerate(wrapped(shown, room, size)[: int(640 / (size * 1.35))]):
        sheet.text(LEFT + 55, TOP + 55 + size + place * size * 1.35, line, size)
    y = TOP + 46
    for name, value in _facts(entry):
        left = int((BOTTOM - y - 34) // (BODY * 1.3))
        if left < 1:
            break
        sheet.text(TEXT_RIGHT + 48, y, name, 26, QUIET)
        y = (
            sheet.lines(
                TEXT_RIGHT + 48,
                y + 44,
                value,
                RIGHT - TEXT_RIGHT - 48,
                HEADING if len(value) < 22 else BODY,
                min(left, 4),
            )
            + 34
        )
    return sheet.svg


def _facts(entry: Entry) -> list[tuple[str, str]]:
    record = entry.record
    found = []
    if record.product.rated_power_w is not None:
        found.append(("Rated power", quantity(record.product.rated_power_w, "W")))
    stated = record.label.input if record.label else None
    if stated and stated.voltage_min_v is not None and stated.voltage_max_v is not None:
        found.append(("Input", span(stated.voltage_min_v, stated.voltage_max_v, "V")))
    if stated and stated.current_a is not None:
        found.append(("Input current, at most", quantity(stated.current_a, "A")))
    if record.product.protection_class:
        found.append(("Protection", label("protection_class", record.product.protection_class)))
    if record.label and record.label.manufacturer:
        found.append(("Maker printed", record.label.manufacturer))
    if record.label and record.label.marks:
        found.append(("Marks seen", listed(label("mark", mark) for mark in record.label.marks)))
    return found
