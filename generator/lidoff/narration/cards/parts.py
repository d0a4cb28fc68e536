"""The main parts by function in columns, with how sure each is."""

from lidoff.entry import Entry
from lidoff.narration.cards.sheet import BOTTOM, LEFT, QUIET, RIGHT, SMALL, TOP, Sheet, notes_of
from lidoff.pages.part_groups import grouped
from lidoff.pages.vocabulary import label
from lidoff.record.model.component import Component
from lidoff.trends.canvas import cut_to

COLUMNS, GAP = 3, 48
LINE, HEAD = 36, 50
SIGNS = {"certain": "", "likely": "~ ", "guess": "? "}


def parts_card(entry: Entry) -> str | None:
    """None where no part is recorded."""
    groups = grouped(entry.record.components)
    if not groups:
        return None
    sheet = Sheet(entry.title, "Parts by function", _described(groups), notes_of(entry))
    width = (RIGHT - LEFT - GAP * (COLUMNS - 1)) / COLUMNS
    column, y, left_out = 0, float(TOP), 0
    most = _most(groups)
    for name, parts in groups.items():
        shown = parts[:most]
        needed = HEAD + LINE * len(shown)
        if y + needed > BOTTOM + 10 and y > TOP:
            column, y = column + 1, float(TOP)
        if column >= COLUMNS:
            left_out += len(parts)
            continue
        left_out += len(parts) - len(shown)
        x = LEFT + column * (width + GAP)
        sheet.text(x, y + 26, cut_to(name, width, 28), 28, weight="bold")
        sheet.line(x, y + 38, x + width, y + 38, QUIET, 1.5)
        for place, part in enumerate(shown):
            sheet.text(x, y + HEAD + 20 + place * LINE, cut_to(_line(part), width, 24), 24)
        y += needed + 20
    rest = f"; {left_out} more lines in the record" if left_out else ""
    sheet.text(RIGHT, BOTTOM + 20, f"~ likely, ? a guess{rest}", SMALL, QUIET, anchor="end")
    return sheet.svg


def _most(groups: dict[str, list[Component]]) -> int:
    """How many parts a group may show so that three columns hold all groups."""
    room = COLUMNS * (BOTTOM - TOP) * 0.86
    for most in range(12, 1, -1):
        if sum(HEAD + 20 + LINE * min(len(parts), most) for parts in groups.values()) <= room:
            return most
    return 1


def _line(part: Component) -> str:
    count = f" ×{part.quantity}" if part.quantity and part.quantity > 1 else ""
    what = part.part_number or label("role", part.roles[0])
    return f"{part.ref}{count}  {SIGNS.get(part.strength or '', '')}{what}"


def _described(groups: dict[str, list[Component]]) -> str:
    return " ".join(f"{name}: {', '.join(_line(part) for part in parts)}." for name, parts in groups.items())
