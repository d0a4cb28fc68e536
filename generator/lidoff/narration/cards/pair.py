"""Two products side by side, line by line; where one has nothing, the word says which kind of gap it is."""

from collections import Counter
from collections.abc import Iterator

from lidoff.entry import Entry
from lidoff.figures.rows import measured
from lidoff.figures.show import shown
from lidoff.narration.cards.sheet import (
    BODY,
    BOTTOM,
    FIRST,
    GRID,
    INK,
    LEFT,
    QUIET,
    RIGHT,
    SECOND,
    TOP,
    Sheet,
    notes_of,
)
from lidoff.pages.absences import MEANINGS, NOT_MEASURED, NOT_STATED, absence_of
from lidoff.pages.numbers import edges, ounces, quantity
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital
from lidoff.rows.positions import NOT_RECORDED
from lidoff.trends.canvas import cut_to

NAMES = 470


def pair_card(entry: Entry, other: Entry) -> str:
    """Both in columns."""
    rows = [(name, mine, theirs) for (name, mine), (_, theirs) in zip(rows_of(entry), rows_of(other), strict=True)]
    said = " ".join(f"{name}: {mine} and {theirs}." for name, mine, theirs in rows)
    sheet = Sheet(f"{entry.title} and {other.title}", "Side by side", said, notes_of(entry, other))
    width = (RIGHT - LEFT - NAMES) / 2
    step = (BOTTOM - TOP - 70) / len(rows)
    for place, (one, colour) in enumerate(((entry, FIRST), (other, SECOND))):
        x = LEFT + NAMES + place * width
        sheet.box(x, TOP + 44, width - 40, 8, colour)
        sheet.text(x, TOP + 26, cut_to(one.title, width - 40, 34), 34, weight="bold")
    for place, (name, mine, theirs) in enumerate(rows):
        y = TOP + 70 + place * step
        if place:
            sheet.line(LEFT, y, RIGHT, y, GRID, 1.5)
        sheet.text(LEFT, y + step * 0.64, cut_to(name, NAMES - 20, BODY), BODY, QUIET)
        for column, value in enumerate((mine, theirs)):
            colour = QUIET if value in MEANINGS else INK
            sheet.text(LEFT + NAMES + column * width, y + step * 0.64, cut_to(value, width - 40, BODY), BODY, colour)
    return sheet.svg


def rows_of(entry: Entry) -> Iterator[tuple[str, str]]:
    """Each line's name, and what is known of the product or the word for the gap."""
    record, taken, figures = entry.record, measured(entry.record), entry.figures
    power = record.product.rated_power_w
    yield "Rated power", NOT_STATED if power is None else quantity(power, "W")
    yield "On sale since", str(record.product.launched) if record.product.launched else NOT_STATED
    kinds = Counter(label("connector", port.connector) for port in record.ports)
    yield "Ports", ", ".join(f"{count} × {kind}" for kind, count in kinds.items())
    yield "Body", edges(taken.body_mm.size) if taken.body_mm else NOT_MEASURED
    yield "Mass", NOT_MEASURED if taken.mass_g is None else f"{quantity(taken.mass_g, 'g')}, {ounces(taken.mass_g)}"
    for name, id in (("Power density", "power_density_w_per_cm3"), ("Bulk capacitance", "bulk_capacitance_uf")):
        found = figures.present(id)
        yield name, shown(found[0]).text if found else absence_of(figures.all(id))
    averages = [one for one in figures.present("average_efficiency_pct") if (one.of.mains_v or 0) > 180]
    best = max(averages, key=lambda one: one.of.output_v or 0, default=None)
    yield "Average efficiency, 230 V", f"{shown(best).text} at {best.of.output_v:g} V" if best else NOT_MEASURED
    idle = [row.power_w for row in taken.no_load if row.mains_v > 180]
    yield "No load, 230 V", quantity(round(1000 * idle[0], 3), "mW") if idle else NOT_MEASURED
    kept = figures.present("sustained_power_w")
    yield "Sustained power", shown(max(kept, key=lambda one: one.value)).text if kept else NOT_MEASURED
    for name, claim in (("Power factor", "pfc"), ("Converter", "primary")):
        word = getattr(record.conversion, claim) if record.conversion else None
        yield name, capital(label(claim, word)) if word else NOT_RECORDED
