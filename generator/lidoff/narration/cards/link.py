"""The picture that stands for a product where others link to its page: main facts, readable when shown small."""

from lidoff.entry import Entry
from lidoff.narration.cards.pair import rows_of
from lidoff.narration.cards.sheet import HEADING, LEFT, QUIET, RIGHT, TOP, Sheet, notes_of
from lidoff.pages.absences import MEANINGS
from lidoff.pages.views.head import one_line

SIZE = (1200, 630)  # pixels; what sites that show previews of links ask for, common practice
SHOWN = ("Power density", "Average efficiency, 230 V", "Sustained power", "Body", "Mass", "Converter")
COLUMNS = 3
VALUE = 44
FIRST_ROW, ROW = TOP + 120, 340
CROPPED_ABOVE = 46  # the sheet is a little too high for this size


def link_card(entry: Entry) -> str:
    """What is known of the main facts, in reading order."""
    known = {name: value for name, value in rows_of(entry) if value not in MEANINGS}
    facts = [(name, known[name]) for name in SHOWN if name in known]
    said = " ".join(f"{name}: {value}." for name, value in facts)
    sheet = Sheet(entry.title, one_line(entry), said or "No measurements are recorded.", notes_of(entry))
    room = (RIGHT - LEFT) / COLUMNS
    for place, (name, value) in enumerate(facts):
        x, y = LEFT + place % COLUMNS * room, FIRST_ROW + place // COLUMNS * ROW
        sheet.text(x, y, name, HEADING, QUIET)
        sheet.lines(x, y + 84, value, room - 48, VALUE, most=2)
    width, height = SIZE
    box = f"0 {CROPPED_ABOVE} {sheet.root.get('width')} {int(sheet.root.get('width')) * height / width:g}"
    sheet.root.attrib.update(viewBox=box, width=str(width), height=str(height))
    return sheet.svg
