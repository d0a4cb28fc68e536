"""What is printed on parts, and their numbers: each text with what it was seen on, and how sure that is."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.marking_index import SHORTEST, searchable
from lidoff.pages.views.parts_list import certainty
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, listed
from lidoff.record.model.component import Component, Marking

NUMBER, PRINT, POSSIBLE = "part number", "print", "part number that it could be"
OTHER_SAMPLE = ", on another sample"
MOST_READINGS = 12  # of one text; a date on many kinds of parts tells nothing more
MOST_PRODUCTS = 3  # linked from one row

# text as written, what it is, the part, its slug, what it does, how sure, in how many products, some of them
Row = tuple[str, str, str, str, str, str, int, list[tuple[str, str]]]


@dataclass(frozen=True, slots=True)
class Reading:
    """One text with what it was taken for; the products that agree in all of this make one row."""

    text: str
    found: str
    part: str
    slug: str
    roles: str
    sure: str

    def row(self, entries: list[Entry]) -> Row:
        """The row of a table, with the newest of its products."""
        some = [(entry.slug, entry.title) for entry in entries[:MOST_PRODUCTS]]
        return (self.text, self.found, self.part, self.slug, self.roles, self.sure, len(entries), some)


def lookup_rows(context: Context) -> list[tuple[str, tuple[list[Row], int]]]:
    """For each searchable text, in order: its rows, those seen most first, and how many more there are."""
    found: dict[str, dict[Reading, dict[str, Entry]]] = {}
    for entry in context.entries:
        for component in entry.record.components:
            for reading in _readings(component, context):
                text = searchable(reading.text)
                if len(text) >= SHORTEST:
                    found.setdefault(text, {}).setdefault(reading, {})[entry.slug] = entry
    return [(text, _ranked(found[text])) for text in sorted(found)]


def _ranked(readings: dict[Reading, dict[str, Entry]]) -> tuple[list[Row], int]:
    rows = [reading.row(list(entries.values())) for reading, entries in readings.items()]
    rows.sort(key=lambda row: (-row[6], row))
    return rows[:MOST_READINGS], max(0, len(rows) - MOST_READINGS)


def _readings(component: Component, context: Context) -> Iterator[Reading]:
    """Every text of a part: its number, the lines of its print, both on other samples, the numbers it could have."""
    roles, sure = capital(listed(label("role", role) for role in component.roles)), certainty(component)
    part = (*_part(component.maker, component.part_number, context), roles)
    if component.part_number:
        yield Reading(component.part_number, NUMBER, *part, sure)
    for text, found in _lines(component.marking):
        yield Reading(text, found, *part, sure)
    for other in component.other_samples:
        there = (*_part(other.maker, other.part_number, context), roles, "")
        if other.part_number:
            yield Reading(other.part_number, NUMBER + OTHER_SAMPLE, *there)
        for text, found in _lines(other.marking):
            yield Reading(text, found + OTHER_SAMPLE, *there)
    for one in component.candidates:
        may_be = _part(one.maker, one.part_number, context)
        yield Reading(one.part_number, POSSIBLE, *may_be, roles, "one of several possibilities")


def _lines(marking: Marking | None) -> Iterable[tuple[str, str]]:
    """Each line of a print, and what it is; "readable" goes without saying."""
    if marking is None:
        return ()
    state = "" if marking.state == "legible" else f", {label('marking_state', marking.state)}"
    return ((line, PRINT + state) for line in marking.lines)


def _part(maker: str | None, part_number: str | None, context: Context) -> tuple[str, str]:
    """A part as far as it is known, and the slug of its page, if it has one."""
    if not part_number:
        return (f"{maker}, part number not known" if maker else "not known"), ""
    slug = addresses.part_slug(maker, part_number)
    return (f"{maker} {part_number}" if maker else part_number), (slug if slug in context.parts else "")
