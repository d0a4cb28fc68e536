"""Products side by side, with what differs in words. The script for comparisons by address says the same."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import newest_first
from lidoff.pages.drawings.body import Thumbnail, thumbnail
from lidoff.pages.numbers import rounded
from lidoff.pages.table import Link
from lidoff.pages.views.comparison_lines import Line, comparison_lines
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.wording import listed

MOST = 6
MOST_KNOWN = 2000  # products whose lines are at hand
FEW = 3
SCALES = 0.6, 0.3  # of life size, for a few products and for more, so that six usual bodies fit beside one another


@dataclass(frozen=True, slots=True)
class ComparedLine:
    """One line for all products."""

    label: str
    texts: tuple[tuple[str, str], ...]
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
    at_scale: str
    file_name: str
    notices: tuple[str, ...]


def newest_six(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Those that a ready-made comparison shows: the newest by year, then by slug."""
    return tuple(newest_first(entries)[:MOST])


class KnownColumns:
    """The lines of products, made once for many comparisons: the newest products stand in most of them."""

    def __init__(self) -> None:
        self._known: dict[str, tuple[Line, ...]] = {}

    def of(self, entry: Entry) -> tuple[Line, ...]:
        """Those of one product."""
        found = self._known.get(entry.slug)
        if found is None:
            if len(self._known) == MOST_KNOWN:
                del self._known[next(iter(self._known))]
            found = self._known[entry.slug] = comparison_lines(entry)
        return found


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
        at_scale=f"{root}scale/?{query}",
        file_name=file_name,
        notices=demo_notices(entries),
    )


def body(entry: Entry, scale: float) -> Thumbnail | None:
    """The body of a product to a common scale; None where its size was not measured."""
    measured = entry.record.measured.body_mm if entry.record.measured else None
    return thumbnail(measured.size, scale) if measured else None


def _sections(columns: Sequence[Sequence[Line]], names: Sequence[str]) -> tuple[ComparedSection, ...]:
    sections: dict[str, list[ComparedLine]] = {}
    for lines in zip(*columns, strict=True):
        if any(line.text for line in lines):
            sections.setdefault(lines[0].section, []).append(_compared(lines, names))
    return tuple(ComparedSection(title, tuple(lines)) for title, lines in sections.items())


def _compared(lines: Sequence[Line], names: Sequence[str]) -> ComparedLine:
    said = difference(lines, names)
    return ComparedLine(lines[0].label, tuple((line.text, line.also) for line in lines), said, said != SAME)


SAME = "the same"


def difference(lines: Sequence[Line], names: Sequence[str]) -> str:
    """What differs between the products in one line, in words."""
    known = [(line, name) for line, name in zip(lines, names, strict=True) if line.text]
    if len(known) < 2:
        return f"known of {known[0][1]} alone" if known else "not known"
    unknown = "" if len(known) == len(lines) else f", {len(lines) - len(known)} not known"
    if len({line.text for line, _ in known}) == 1:
        return SAME if not unknown else f"{SAME} where known{unknown}"
    values = [(line.value, name) for line, name in known if line.value is not None]
    if len(values) < len(known) or len({line.unit for line, _ in known}) > 1:
        return f"they differ{unknown}"
    return f"{_extremes(values)}{unknown}"


def _extremes(values: Sequence[tuple[float, str]]) -> str:
    """Which product has most, and how many times the least that is."""
    most, least = max(values, key=lambda one: one[0]), min(values, key=lambda one: one[0])
    if least[0] <= 0:
        return f"{most[1]} has the largest, {least[1]} the least"
    return f"{most[1]} has the largest, {rounded(most[0] / least[0], 3)} times that of {least[1]}"
