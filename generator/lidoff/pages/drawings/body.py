"""Bodies to scale: large beside a card of known size, or small for lists and tables."""

from dataclasses import dataclass

from lidoff.pages.numbers import edges, number

CARD_MM = (85.60, 53.98)  # ID-1 of ISO/IEC 7810, the size of a bank card
GAP, MARGIN, TEXT = 8.0, 2.0, 5.0
ROUNDED = 5.0
CORNER = {"rounded-box": ROUNDED, "irregular": ROUNDED}
BETWEEN_FACES = 3.0

Edges = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Outline:
    """One rounded rectangle in millimetres, the text under it and its sort: ``face``, ``side`` or ``card``."""

    x: float
    y: float
    width: float
    height: float
    corner: float
    text: str
    sort: str


@dataclass(frozen=True, slots=True)
class BodyDrawing:
    """A body from its largest face and from the side, with the card; its units are millimetres of the real thing."""

    title: str
    description: str
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


def body_drawing(name: str, size: Edges, shape: str) -> BodyDrawing:
    """One body beside the card."""
    depth, width, length = sorted(size)
    floor = MARGIN + max(CARD_MM[1], width)
    corner = CORNER.get(shape, 1.0)
    side_x = MARGIN + length + GAP / 2
    card_x = side_x + depth + GAP
    side_corner = depth / 2 if shape == "cylinder" else corner
    outlines = (
        _standing(MARGIN, floor, (length, width), corner, edges((length, width)), "face"),
        _standing(side_x, floor, (depth, width), side_corner, f"{number(depth)} mm", "side"),
        _standing(card_x, floor, CARD_MM, 3.2, "bank card, 85.6 × 54 mm", "card"),
    )
    return BodyDrawing(
        title="Size beside a bank card",
        description=f"{name}, {edges(size)}: its largest face and its side beside a card of 85.60 by 53.98 mm.",
        width=round(card_x + CARD_MM[0] + MARGIN, 2),
        height=round(floor + 2 * TEXT, 2),
        outlines=outlines,
    )


def thumbnail(size: Edges, scale: float) -> Thumbnail:
    """A body at a fraction of its real size."""
    depth, height, width = (round(scale * edge, 2) for edge in sorted(size))
    return Thumbnail(width, height, depth)


def card_thumbnail(scale: float) -> Thumbnail:
    """The card at the same scale, without a side."""
    return thumbnail((*CARD_MM, 0.0), scale)


def _standing(x: float, floor: float, size: tuple[float, float], corner: float, text: str, sort: str) -> Outline:
    width, height = size
    places = (round(place, 2) for place in (x, floor - height, width, height, corner))
    return Outline(*places, text, sort)
