"""The computed figures on a page: value, uncertainty, what it is of, what it rests on, or why there is none."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from lidoff.figures.catalogue import KINDS, FigureKind, Question
from lidoff.figures.figure import Figure, Figures
from lidoff.figures.listing import INSTRUMENTS_ALONE
from lidoff.figures.show import assumed_text, corner_text, is_measured, shown
from lidoff.pages import addresses
from lidoff.pages.numbers import SPACE
from lidoff.pages.table import Cell, Cells, Column, Grid
from lidoff.pages.wording import assumption_name, capital, counted, listed

CAPTIONS = {
    "promises": "Computed from these promises",
    "delivers": "Computed from these measurements",
    "made": "Computed from the circuit",
    "sure": "What the parts leave open",
}
CACHED = 1000  # sets of assumptions: there are a few dozen
COLUMNS = (Column("Figure"), Column("Of"), Column("Value", is_number=True), Column("Assumes"))


class AbsentFigure(NamedTuple):
    """A figure that could not be computed, and why."""

    title: str
    href: str
    of: str
    reason: str


@dataclass(frozen=True, slots=True)
class FiguresView:
    """Figures by question, what they assume, and those that are absent."""

    promises: Grid | None
    delivers: Grid | None
    made: Grid | None
    sure: Grid | None
    assumed: Grid | None
    absent: tuple[AbsentFigure, ...]


def figures_view(figures: Figures, root: str) -> FiguresView:
    """All figures of a record, sorted for its page."""
    known = [(KINDS[figure.id], figure) for figure in figures if figure.id in KINDS]
    present = [(kind, figure) for kind, figure in known if figure.value is not None]
    return FiguresView(
        *(_table(question, [one for one in present if one[0].question == question], root) for question in CAPTIONS),
        assumed=_assumptions(figure for _, figure in present),
        absent=tuple([_absent(kind, figure, root) for kind, figure in known if figure.value is None]),
    )


def _table(question: Question, present: Sequence[tuple[FigureKind, Figure]], root: str) -> Grid | None:
    if not present:
        return None
    rows = tuple([_row(kind, figure, root) for kind, figure in present])
    is_uncertain = any(figure.expanded_uncertainty for _, figure in present)
    return Grid(CAPTIONS[question], COLUMNS, rows, notes=(INSTRUMENTS_ALONE,) if is_uncertain else ())


def _row(kind: FigureKind, figure: Figure, root: str) -> Cells:
    texts = shown(figure, SPACE)
    return (
        Cell(kind.title, href=root + addresses.method(kind.id), note="as measured" if is_measured(figure) else ""),
        corner_text(figure.of, SPACE),
        Cell(texts.text, note=texts.imperial) if texts.imperial else texts.text,
        _names(tuple([one.id for one in figure.assumed])),
    )


@lru_cache(maxsize=CACHED)
def _names(ids: tuple[str, ...]) -> str:
    """Assumptions as people read them."""
    return capital(listed(map(assumption_name, ids)))


def _assumptions(figures: Iterable[Figure]) -> Grid | None:
    """Every assumption that a figure of this page rests on, once."""
    used = {one.id: one for figure in figures for one in figure.assumed}
    rows = tuple(
        (capital(assumption_name(name)), assumed_text(one, SPACE), one.source) for name, one in sorted(used.items())
    )
    columns = (Column("Assumption"), Column("Value", is_number=True), Column("From where"))
    caption = f"{capital(counted(len(rows), 'assumption'))} behind the figures on this page"
    return Grid(caption, columns, rows) if rows else None


def _absent(kind: FigureKind, figure: Figure, root: str) -> AbsentFigure:
    href = root + addresses.method(kind.id)
    return AbsentFigure(kind.title, href, corner_text(figure.of, SPACE), figure.absent or "")
