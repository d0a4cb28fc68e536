"""Power density among the products of the same tier, densest first."""

from collections.abc import Sequence

from lidoff.engineering.geometry import in_unit
from lidoff.engineering.rounding import round_significant
from lidoff.entry import Entry
from lidoff.narration.cards.sheet import BODY, BOTTOM, FIRST, GRID, INK, LEFT, QUIET, RIGHT, SMALL, TOP, Sheet, notes_of
from lidoff.narration.placing import Placing, density_placing
from lidoff.trends.canvas import cut_to

MOST = 12
NAMES, BARS = 520, 1480


def density_card(entry: Entry, entries: Sequence[Entry], tiers_w: Sequence[float]) -> str | None:
    """None where the product has no density or no tier."""
    placing = density_placing(entry, entries, tiers_w)
    if placing is None:
        return None
    heading = (
        f"Power density, rated {placing.tier}: {placing.denser} of {placing.count - 1} others on record are denser"
    )
    said = "; ".join(f"{title} {round_significant(value, 3)} W/cm³" for title, value in placing.values)
    sheet = Sheet(entry.title, heading, said, notes_of(entry))
    rows = _rows(placing, entry.title)
    step = min((BOTTOM - TOP - 40) / len(rows), 108)
    largest = placing.values[0][1]
    for place, (title, value) in enumerate(rows):
        y = TOP + 20 + place * step
        own = title == entry.title
        bar = (BARS - NAMES) * value / largest
        sheet.text(
            NAMES - 24,
            y + step * 0.62,
            cut_to(title, NAMES - LEFT - 24, BODY),
            BODY,
            INK,
            "bold" if own else "normal",
            "end",
        )
        sheet.box(NAMES, y + step * 0.18, bar, step * 0.64, FIRST if own else GRID, FIRST if own else QUIET, 0, 2)
        metric, imperial = round_significant(value, 3), round_significant(in_unit(value * 1e6, "W/in³"), 3)
        sheet.text(
            NAMES + bar + 18,
            y + step * 0.62,
            f"{metric} W/cm³ · {imperial} W/in³",
            SMALL,
            INK,
            "bold" if own else "normal",
        )
    if len(rows) < placing.count:
        sheet.text(RIGHT, BOTTOM + 18, f"{placing.count - len(rows)} more not drawn", SMALL, QUIET, anchor="end")
    return sheet.svg


def _rows(placing: Placing, own: str) -> list[tuple[str, float]]:
    """The densest, the least dense, and those around the product, where all would be too many."""
    values = list(placing.values)
    if len(values) <= MOST:
        return values
    place = next(place for place, (title, _) in enumerate(values) if title == own)
    start = min(max(place - MOST // 2, 1), len(values) - MOST + 1)
    return [values[0], *values[start : start + MOST - 2], values[-1]]
