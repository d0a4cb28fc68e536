"""The figures of a record as text for a terminal, by the questions of a reader."""

import textwrap
from collections.abc import Iterator, Sequence
from string import ascii_lowercase

from lidoff.figures.catalogue import KINDS, QUESTIONS
from lidoff.figures.caution import caution
from lidoff.figures.figure import Assumed, Figure, Figures
from lidoff.figures.show import assumed_text, corner_text, is_measured, shown
from lidoff.record.model import Record

WIDTH = 110
INDENT = "  "
INSTRUMENTS_ALONE = (
    "± is the expanded uncertainty (k = 2) from the stated accuracy of the instruments alone; "
    "units differ from each other."
)

Marks = dict[Assumed, str]


def listing(record: Record, figures: Figures) -> str:
    """All figures, what they assume, why some are absent, and the caution."""
    marks = _marks(figures)
    return "\n".join(_lines(record, figures, marks)) + "\n"


def _lines(record: Record, figures: Figures, marks: Marks) -> Iterator[str]:
    yield f"{record.product.brand} {record.product.model}" + (" (invented data)" if record.demo else "")
    for question, heading in QUESTIONS.items():
        mine = [figure for figure in figures if KINDS[figure.id].question == question]
        yield from ("", heading)
        yield from _present([figure for figure in mine if figure.value is not None], marks)
        yield from _absent([figure for figure in mine if figure.value is None])
        if question == "sure":
            yield from _doubts(figures, marks)
    yield from ("", "Caution")
    for sentence in caution(record, figures):
        yield from textwrap.wrap(sentence, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT)


def _present(figures: Sequence[Figure], marks: Marks) -> Iterator[str]:
    """One line a figure: its name, its value, and what is to be said of it."""
    rows = [(_name(figure), shown(figure).text, _remarks(figure, marks)) for figure in figures]
    name_width = max((len(name) for name, _, _ in rows), default=0)
    value_width = max((len(value) for _, value, _ in rows), default=0)
    for name, value, remarks in rows:
        yield f"{INDENT}{name:<{name_width}}  {value:<{value_width}}  {remarks}".rstrip()


def _name(figure: Figure) -> str:
    corner = corner_text(figure.of)
    return f"{KINDS[figure.id].title}, {corner}" if corner else KINDS[figure.id].title


def _remarks(figure: Figure, marks: Marks) -> str:
    used = " ".join(marks[one] for one in figure.assumed)
    pieces = (shown(figure).imperial, "as measured" if is_measured(figure) else "", f"assumes {used}" if used else "")
    return "  ".join(piece for piece in pieces if piece)


def _absent(figures: Sequence[Figure]) -> Iterator[str]:
    for figure in figures:
        text = f"{_name(figure)}: none, {figure.absent}"
        yield from textwrap.wrap(text, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT * 2)


def _marks(figures: Figures) -> Marks:
    """A letter for each assumption that a figure rests on, in the order of their first use."""
    used = dict.fromkeys(one for figure in figures if figure.value is not None for one in figure.assumed)
    return dict(zip(used, ascii_lowercase, strict=False))


def _doubts(figures: Figures, marks: Marks) -> Iterator[str]:
    """What stands behind the marks and the plus-minus signs."""
    if any(figure.expanded_uncertainty for figure in figures):
        yield from textwrap.wrap(INSTRUMENTS_ALONE, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT)
    if not marks:
        yield f"{INDENT}No figure rests on an assumption."
    for one, mark in marks.items():
        text = f"{mark}  {one.id} {assumed_text(one)}: {one.source}"
        yield from textwrap.wrap(text, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT + "   ")
