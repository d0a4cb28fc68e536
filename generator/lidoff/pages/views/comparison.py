"""Products side by side, with what differs in words. The script for comparisons by address says the same."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.absences import gaps_text
from lidoff.pages.context import newest_first
from lidoff.pages.drawings.body import Thumbnail, thumbnail
from lidoff.pages.numbers import rounded
from lidoff.pages.table import Link
from lidoff.pages.views.comparison_lines import Line, comparison_lines
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.wording import listed

MOST = 6
FEW = 3
SCALES = 0.6, 0.3  # of life size, for a few products and for more, so that six usual bodies fit beside one another


class ComparedLine(NamedTuple):
    """One line for all products, with what it says of each."""

    label: str
    lines: Sequence[Line]
    difference: str
    differs: bool


@dataclass(frozen=True, slots=True)
class ComparedSection:
    """The lines that answer one question."""

    title: str
    lines: tuple[ComparedLine, ...]


@dataclass(frozen=True, slots=True)
class ComparisonView:
    """Several products side by side."""

    title: str
    sentence: str
    products: tuple[Link, ...]
    bodies: tuple[Thumbnail | None, ...]
    scale: float
    sections: tuple[ComparedSection, ...]
    by_address: str
    gaps: str
    at_scale: str
    file_name: str
    notices: tuple[str, ...]


def newest_six(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Those that a ready-made comparison shows: the newest by year, then by slug."""
    return tuple(newest_first(entries)[:MOST])


def comparison_view(
    title: str,
    entries: Sequence[Entry],
    of: int,
    root: str,
    file_name: str,
    column: Callable[[Entry], tuple[Line, ...]] = comparison_lines,
) -> ComparisonView:
    """The comparison of these products, out of ``of`` that it could show."""
    columns = [column(entry) for entry in entries]
    names = [entry.title for entry in entries]
    rest = f" These are the newest {len(entries)} of {of}." if of > len(entries) else ""
    scale = SCALES[len(entries) > FEW]
    query = "&".join(f"p={entry.slug}" for entry in entries)
    return ComparisonView(
        title=title,
        sentence=f"{listed(names)}, side by side.{rest}",
        products=tuple(Link(entry.title, root + addresses.product(entry.slug)) for entry in entries),
        bodies=tuple(body(entry, scale) for entry in entries),
        scale=scale,
        sections=_sections(columns, names),
        by_address=f"{root}compare/?{query}",
        gaps=f"{root}compare/#gaps",
        at_scale=f"{root}scale/?{query}",
        file_name=file_name,
        notices=demo_notices(entries),
    )


def body(entry: Entry, scale: float) -> Thumbnail | None:
    """The body of a product to a common scale; None where its size was not measured."""
    found = entry.sketch.measured
    measured = found.body_mm if found else None
    return thumbnail(measured.size, scale) if measured else None


def _sections(columns: Sequence[Sequence[Line]], names: Sequence[str]) -> tuple[ComparedSection, ...]:
    sections: dict[str, list[ComparedLine]] = {}
    for lines in zip(*columns, strict=True):
        if any([line.text for line in lines]):
            sections.setdefault(lines[0].section, []).append(_compared(lines, names))
    return tuple(ComparedSection(title, tuple(lines)) for title, lines in sections.items())


def _compared(lines: Sequence[Line], names: Sequence[str]) -> ComparedLine:
    said = difference(lines, names)
    return ComparedLine(lines[0].label, lines, said, said != SAME)


SAME = "the same"


def difference(lines: Sequence[Line], names: Sequence[str]) -> str:
    """What differs between the products in one line, in words."""
    known = [(line, name) for line, name in zip(lines, names, strict=True) if line.text]
    if len(known) < 2:
        return f"known of {known[0][1]} alone" if known else gaps_text(line.missing for line in lines)
    missing = [line.missing for line in lines if not line.text]
    gaps = f", {gaps_text(missing)}" if missing else ""
    if len({line.text for line, _ in known}) == 1:
        return f"{SAME} where known{gaps}" if gaps else SAME
    values = [(line.value, name) for line, name in known if line.value is not None]
    if len(values) < len(known) or len({line.unit for line, _ in known}) > 1:
        return f"they differ{gaps}"
    return f"{_extremes(values)}{gaps}"


def _extremes(values: Sequence[tuple[float, str]]) -> str:
    """Which product has most, and how many times the least that is."""
    most, least = max(values, key=lambda one: one[0]), min(values, key=lambda one: one[0])
    if least[0] <= 0:
        return f"{most[1]} most, {least[1]} least"
    return f"{most[1]} most, {rounded(most[0] / least[0], 3)} times {least[1]}"
