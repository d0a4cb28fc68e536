"""Bodies to scale: large beside a card of known size, or small for lists and tables."""

from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.pages.drawings.life_size import CARD_MM, SHEET_MM, Board, Edges, Outline, card, cell, standing, things_of
from lidoff.pages.numbers import edges

BETWEEN_FACES = 3.0
FITS = "on paper at 100 % in life size."
TOO_WIDE = "made smaller where the page is too narrow for it."


@dataclass(frozen=True, slots=True)
class BodyDrawing:
    """A body from its largest face and the side, its boards, a card and a cell; in millimetres of the real thing."""

    title: str
    description: str
    caption: str
    width: float
    height: float
    outlines: tuple[Outline, ...]


@dataclass(frozen=True, slots=True)
class Thumbnail:
    """A body as a cell draws it: its largest face and its side, in millimetres of the page."""

    width: float
    height: float
    depth: float

    @property
    def drawn_width(self) -> float:
        """Width of both faces and the gap between them."""
        return round(self.width + (BETWEEN_FACES + self.depth if self.depth else 0), 2)

    @property
    def side_x(self) -> float:
        """Where the side begins."""
        return round(self.width + BETWEEN_FACES, 2)


def body_drawing(name: str, size: Edges, shape: str, boards: Iterable[Board] = ()) -> BodyDrawing:
    """One body and its boards beside a card and a cell."""
    known = tuple(boards)
    drawn = standing((*things_of(size, shape, known), cell(), card()))
    besides = f", its {'boards' if len(known) > 1 else 'board'}" if known else ""
    return BodyDrawing(
        title="Size beside a bank card and an R6 cell",
        description=(
            f"{name}, {edges(size)}: its largest face and its side{besides}, beside a card of 85.60 by 53.98 mm and "
            "a cell of 14.5 by 50.5 mm."
        ),
        caption="All to one scale, " + (FITS if drawn.width <= SHEET_MM + 2 else TOO_WIDE),
        width=drawn.width,
        height=drawn.height,
        outlines=drawn.outlines,
    )


def thumbnail(size: Edges, scale: float) -> Thumbnail:
    """A body at a fraction of its real size."""
    depth, height, width = (round(scale * edge, 2) for edge in sorted(size))
    return Thumbnail(width, height, depth)


def card_thumbnail(scale: float) -> Thumbnail:
    """The card at the same scale, without a side."""
    return thumbnail((*CARD_MM, 0.0), scale)
