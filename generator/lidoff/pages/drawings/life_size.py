"""Things of known size, standing in rows on a sheet of paper: bodies, boards, and what to measure them by."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lidoff.pages.numbers import edges, number

CARD_MM = (85.60, 53.98)  # ID-1 of ISO/IEC 7810, the size of a bank card
CELL_MM = (14.5, 50.5)  # the cell R6 of IEC 60086-2, as large as it may be
PIP_MM = (5.5, 1.0)  # its positive pole, drawn within that height
SHEET_MM = 158.0  # what A4's 210 leave between the margins of a page of text
PAPER_MM = 188.0  # and between those of the page that is made for drawings
GAP, MARGIN, LINE = 6.0, 1.0, 5.6
LETTER = 2.1  # of a text under a thing, at most
ROUNDED = 5.0
CORNER = {"rounded-box": ROUNDED, "irregular": ROUNDED}

Edges = tuple[float, float, float]


class Thing(NamedTuple):
    """A rectangle to be drawn: its size in mm, its corners, the text under it and its sort."""

    width: float
    height: float
    corner: float
    text: str
    sort: str


class Outline(NamedTuple):
    """One rounded rectangle in millimetres, the text under it and its sort."""

    x: float
    y: float
    width: float
    height: float
    corner: float
    text: str
    sort: str


@dataclass(frozen=True, slots=True)
class Standing:
    """Things as they stand, with the size of the drawing; the unit is a millimetre of the real thing."""

    width: float
    height: float
    outlines: tuple[Outline, ...]


@dataclass(frozen=True, slots=True)
class Board:
    """A board by its name and its two edges in mm."""

    name: str
    size: tuple[float, float]


def things_of(size: Edges | None, shape: str, boards: Iterable[Board]) -> tuple[Thing, ...]:
    """What is drawn of one product: the body from its largest face and from the side, and each board."""
    made: list[Thing] = []
    if size is not None:
        depth, width, length = sorted(size)
        corner = CORNER.get(shape, 1.0)
        made.append(Thing(length, width, corner, edges((length, width)), "face"))
        made.append(
            Thing(
                depth,
                width,
                depth / 2 if shape == "cylinder" else min(corner, depth / 2),
                f"{number(depth)} mm",
                "side",
            )
        )
    for board in boards:
        long, short = max(board.size), min(board.size)
        made.append(Thing(long, short, 0.8, f"board {board.name}, {edges((long, short))}", "board"))
    return tuple(made)


def card() -> Thing:
    """The card that everybody has."""
    return Thing(*CARD_MM, 3.18, "bank card, 85.6 × 54 mm", "card")


def cell() -> Thing:
    """The cell that everybody has."""
    return Thing(*CELL_MM, 1.5, "R6 cell", "cell")


def standing(things: Sequence[Thing], most: float = SHEET_MM) -> Standing:
    """Things side by side on one floor, on to the next row where ``most`` millimetres are full."""
    outlines: list[Outline] = []
    x, top, widest = MARGIN, MARGIN, 0.0
    for row in _rows(things, most):
        floor = top + max(one.height for one in row)
        x = MARGIN
        for one in row:
            room = _room(one)
            outlines += _on(one, x + (room - one.width) / 2, floor)
            x += room + GAP
        widest = max(widest, x - GAP)
        top = floor + LINE + GAP / 2
    return Standing(round(widest + MARGIN, 2), round(top - GAP / 2 + MARGIN, 2), tuple(outlines))


def stacked(things: Sequence[Thing]) -> Standing:
    """The same with the boards below the body, no wider than need be, so that several drawings stand in a row."""
    body = [one for one in things if one.sort in ("face", "side")] or things[:1]
    first = sum(_room(one) + GAP for one in body) - GAP
    return standing(things, max(first, *(_room(one) for one in things)) + 2 * MARGIN)


def _rows(things: Sequence[Thing], most: float) -> Iterator[list[Thing]]:
    row: list[Thing] = []
    filled = 2 * MARGIN
    for one in things:
        if row and filled + _room(one) > most:
            yield row
            row, filled = [], 2 * MARGIN
        row.append(one)
        filled += _room(one) + GAP
    if row:
        yield row


def _room(one: Thing) -> float:
    """Width of a thing or of the text under it."""
    return max(one.width, LETTER * len(one.text))


def _on(one: Thing, x: float, floor: float) -> Iterator[Outline]:
    if one.sort == "cell":
        pip = (x + (one.width - PIP_MM[0]) / 2, floor - one.height, *PIP_MM)
        yield Outline(*(round(place, 2) for place in pip), 0.3, "", one.sort)
        one = Thing(one.width, one.height - PIP_MM[1], one.corner, one.text, one.sort)
    places = (round(place, 2) for place in (x, floor - one.height, one.width, one.height, one.corner))
    yield Outline(*places, one.text, one.sort)
