"""Products at one scale, in life size: each drawing with its sentence, and the same as data for the page's script."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.drawings.life_size import PAPER_MM, Standing, card, cell, stacked, standing, things_of
from lidoff.pages.table import Link
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.size import boards_of
from lidoff.pages.wording import counted

MOST = 12
RULER_MM = 100


@dataclass(frozen=True, slots=True)
class Figure:
    """One drawing, its product, and what else is to be said of it."""

    drawing: Standing
    product: Link
    note: str


@dataclass(frozen=True, slots=True)
class LifeSizeView:
    """A set of products at one scale."""

    title: str
    sentence: str
    measures: Standing
    figures: tuple[Figure, ...]
    unmeasured: tuple[Link, ...]
    by_address: str
    notices: tuple[str, ...]


def life_size_view(title: str, entries: Sequence[Entry], number: int, root: str) -> LifeSizeView:
    """Products at one scale; ``number`` is how many there were to choose from."""
    drawn = [(entry, drawing_of(entry)) for entry in entries]
    shown = f"These are the newest {len(entries)} of {number}." if number > len(entries) else ""
    sentence = (
        f"Bodies and boards of {counted(len(entries), 'charger')} as rectangles, all at one scale. {shown}".strip()
    )
    query = "&".join(f"p={entry.slug}" for entry in entries)
    return LifeSizeView(
        title=title,
        sentence=sentence,
        measures=measures(),
        figures=tuple(Figure(one, _link(entry, root), note_of(one)) for entry, one in drawn if one is not None),
        unmeasured=tuple(_link(entry, root) for entry, one in drawn if one is None),
        by_address=f"{root}scale/?{query}",
        notices=demo_notices(entries),
    )


def measures() -> Standing:
    """The things of known size."""
    return standing((cell(), card()))


def drawing_of(entry: Entry) -> Standing | None:
    """Body and boards of one product; None where neither was measured."""
    measured = entry.sketch.measured
    body = measured.body_mm if measured else None
    shape = (body.shape if body else None) or "box"
    things = things_of(body.size if body else None, shape, boards_of(entry.sketch))
    return stacked(things) if things else None


def note_of(drawing: Standing) -> str:
    """A word of warning where a sheet of paper is too narrow."""
    return "Longer than an A4 sheet is wide: on paper its right end is cut off." if drawing.width > PAPER_MM else ""


def life_size_data(entry: Entry) -> Mapping[str, object] | None:
    """The drawing as the page's script takes it."""
    drawing = drawing_of(entry)
    if drawing is None:
        return None
    outlines = [[one.x, one.y, one.width, one.height, one.corner, one.text, one.sort] for one in drawing.outlines]
    return {"width": drawing.width, "height": drawing.height, "note": note_of(drawing), "outlines": outlines}


def newest(entries: Iterable[Entry]) -> list[Entry]:
    """The first few of entries that stand newest first."""
    return list(entries)[:MOST]


def _link(entry: Entry, root: str) -> Link:
    return Link(entry.title, root + addresses.product(entry.slug))
