"""What is printed on parts, and their numbers: each text with what it was seen on, and how sure that is."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.marking_index import SHORTEST, searchable
from lidoff.pages.views.parts_list import certainty
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, listed
from lidoff.record.model.component import Component, Marking
from lidoff.record.sketch import PartSketch
from lidoff.rows.positions import NOT_IDENTIFIED, NOT_RECORDED

NUMBER, PRINT, POSSIBLE = "part number", "print", "part number that it could be"
OTHER_SAMPLE = ", on another sample"
ONE_OF_SEVERAL = "one of several possibilities"
STRENGTHS = ("certain", "likely", "guess")  # any other word is less
MOST_READINGS = 12  # of one text; a date on many kinds of parts tells nothing more
MOST_PRODUCTS = 3  # linked from one row

# text as written, what it is, the part, its slug, what it does, how sure, in how many products, some of them
Row = tuple[str, str, str, str, str, str, int, list[tuple[str, str]]]


class Part(NamedTuple):
    """One text on one part: what makes a row. ``slug`` is that of the part's page, if it has one."""

    text: str
    name: str
    slug: str


@dataclass(frozen=True, slots=True)
class Reading:
    """What one record says of a text: what kind of text it is, what the part does, and how sure it is."""

    part: Part
    found: str
    roles: tuple[str, ...]
    sure: str


def lookup_rows(context: Context) -> list[tuple[str, tuple[list[Row], int]]]:
    """For each searchable text, in order: its rows, those seen most first, and how many more there are."""
    found: dict[str, dict[Part, list[tuple[Entry, Reading]]]] = {}
    for entry in context.entries:
        for component in entry.sketch.components:
            for reading in _readings(component, context):
                text = searchable(reading.part.text)
                if len(text) >= SHORTEST:
                    found.setdefault(text, {}).setdefault(reading.part, []).append((entry, reading))
    return [(text, _ranked(found[text])) for text in sorted(found)]


def _ranked(parts: Mapping[Part, Sequence[tuple[Entry, Reading]]]) -> tuple[list[Row], int]:
    rows = [_row(part, seen) for part, seen in parts.items()]
    rows.sort(key=lambda row: (-row[6], row))
    return rows[:MOST_READINGS], max(0, len(rows) - MOST_READINGS)


def _row(part: Part, seen: Sequence[tuple[Entry, Reading]]) -> Row:
    """One row of the table: all that the records say of this text on this part."""
    entries = list({entry.slug: entry for entry, _ in seen}.values())
    roles = _most_first(role for _, reading in seen for role in reading.roles)
    some = [(entry.slug, entry.title) for entry in entries[:MOST_PRODUCTS]]
    sure = _strongest([(entry.slug, reading.sure) for entry, reading in seen], len(entries))
    return (
        part.text,
        _kinds(reading.found for _, reading in seen),
        part.name,
        part.slug,
        capital(listed(roles)),
        sure,
        len(entries),
        some,
    )


def _most_first(words: Iterable[str]) -> list[str]:
    return [word for word, _ in Counter(words).most_common()]


def _kinds(found: Iterable[str]) -> str:
    """What kind of text it is; of the same kind in other states only the state."""
    first, *others = _most_first(found)
    return "; also ".join((first, *(other.removeprefix(f"{first.partition(',')[0]}, ") for other in others)))


def _strongest(said: Sequence[tuple[str, str]], products: int) -> str:
    """The best that any record says, and in how many of the products where not all say so."""
    holders: dict[str, set[str]] = {}
    for product, sure in said:
        holders.setdefault(sure, set()).add(product)
    best = min(holders, key=lambda sure: (_rank(sure), -len(holders[sure]), sure))
    return best if len(holders[best]) == products else f"{best}, in {len(holders[best])} of {products} products"


def _rank(sure: str) -> int:
    word = sure.partition(",")[0]
    return STRENGTHS.index(word) if word in STRENGTHS else len(STRENGTHS) + (sure == NOT_RECORDED)


def _readings(component: Component | PartSketch, context: Context) -> Iterator[Reading]:
    """Every text of a part: its number, the lines of its print, both on other samples, the numbers it could have."""
    roles = tuple(label("role", role) for role in component.roles)
    sure = certainty(component) or NOT_RECORDED
    part = _part(component.maker, component.part_number, context)
    if component.part_number:
        yield Reading(Part(component.part_number, *part), NUMBER, roles, sure)
    for text, found in _lines(component.marking):
        yield Reading(Part(text, *part), found, roles, sure)
    for other in component.other_samples:
        there = _part(other.maker, other.part_number, context)
        if other.part_number:
            yield Reading(Part(other.part_number, *there), NUMBER + OTHER_SAMPLE, roles, NOT_RECORDED)
        for text, found in _lines(other.marking):
            yield Reading(Part(text, *there), found + OTHER_SAMPLE, roles, NOT_RECORDED)
    for one in component.candidates:
        may_be = _part(one.maker, one.part_number, context)
        yield Reading(Part(one.part_number, *may_be), POSSIBLE, roles, ONE_OF_SEVERAL)


def _lines(marking: Marking | None) -> Iterable[tuple[str, str]]:
    """Each line of a print, and what it is; "readable" goes without saying."""
    if marking is None:
        return ()
    state = "" if marking.state == "legible" else f", {label('marking_state', marking.state)}"
    return ((line, PRINT + state) for line in marking.lines)


def _part(maker: str | None, part_number: str | None, context: Context) -> tuple[str, str]:
    """A part as far as it is known, and the slug of its page, if it has one."""
    if not part_number:
        return (f"{maker}, part number not identified" if maker else NOT_IDENTIFIED), ""
    slug = addresses.part_slug(maker, part_number)
    return (f"{maker} {part_number}" if maker else part_number), (slug if slug in context.parts else "")
