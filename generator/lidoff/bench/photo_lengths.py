"""Two points of a photograph -> the length between them, from the known length or the card in the picture."""

from dataclasses import dataclass
from math import hypot

from lidoff.engineering.card_plane import CardTilt, Corners, card_length, card_length_uncertainty, card_tilt
from lidoff.engineering.photo_scale import (
    Point,
    height_error,
    metres_per_pixel,
    pixel_distance,
    scaled_length,
    scaled_length_uncertainty,
)
from lidoff.engineering.uncertainty import expanded_uncertainty, standard_uncertainty
from lidoff.record.model.picture import Card, Photo, Scale

MM_PER_M = 1e3
Ends = tuple[Point, Point]


class NoLength(Exception):
    """There is no length to give; the text says why, in words for people."""


@dataclass(frozen=True, slots=True)
class SeenLength:
    """A length in a photograph [mm], with its expanded uncertainty (k = 2) [mm], and what it rests on.

    ``tilt`` is what the card tells of the camera's direction; None where a known length stands for the card.
    """

    length_mm: float
    expanded_mm: float
    tilt: CardTilt | None = None
    is_height_known: bool = False

    @property
    def basis(self) -> str:
        """What the length follows from, in words."""
        return "a card" if self.tilt is not None else "a known length"


def seen_length(photo: Photo, ends: Ends, above_mm: float | None = None, known_spread_mm: float = 0.0) -> SeenLength:
    """The length between two points of a photograph, given as fractions of it.

    ``known_spread_mm`` is the standard uncertainty of the known length. A height above its plane is not taken off: its
    whole effect counts as a half-width. Raises NoLength with the reason where the picture gives no length.
    """
    try:
        if photo.card is not None:
            length, spread = _by_card(photo.card, ends)
            tilt = tilt_of(photo.card)
        elif photo.scale is not None:
            length, spread = _by_known_length(photo.scale, ends, known_spread_mm)
            tilt = None
        else:
            raise NoLength("the picture has neither a known length nor a card")
        is_height_known = above_mm is not None and (photo.camera_mm is not None or above_mm == 0)
        if above_mm and photo.camera_mm is not None:
            share = abs(height_error(above_mm / MM_PER_M, photo.camera_mm / MM_PER_M))
            spread = hypot(spread, standard_uncertainty(share * length))
    except ValueError as refusal:
        raise NoLength(f"the points can't be used ({refusal})") from refusal
    return SeenLength(length * MM_PER_M, expanded_uncertainty(spread) * MM_PER_M, tilt, is_height_known)


def tilt_of(card: Card) -> CardTilt:
    """How far a card is tilted in its picture; raises ValueError for corners that are no card."""
    return card_tilt(_corners(card))


def _by_card(card: Card, ends: Ends) -> tuple[float, float]:
    """Length and standard uncertainty [m]."""
    corners, (first, second) = _corners(card), (in_pixels(end, card.picture_px) for end in ends)
    length = card_length(corners, first, second)
    if length == 0:
        raise ValueError("both ends lie in one point")
    return length, card_length_uncertainty(corners, first, second)


def _by_known_length(scale: Scale, ends: Ends, known_spread_mm: float) -> tuple[float, float]:
    if scale.picture_px is None:
        raise NoLength("how many pixels the picture had is not recorded: scale.picture_px")
    known, pixels = (
        pixel_distance(*(in_pixels(point, scale.picture_px) for point in pair)) for pair in (scale.points, ends)
    )
    known_length = scale.length_mm / MM_PER_M
    spread = scaled_length_uncertainty(pixels, known_length, known, known_spread_mm / MM_PER_M)
    return scaled_length(pixels, metres_per_pixel(known_length, known)), spread


def _corners(card: Card) -> Corners:
    first, second, third, fourth = (in_pixels(corner, card.picture_px) for corner in card.corners)
    return first, second, third, fourth


def in_pixels(point: Point, size: tuple[int, int]) -> Point:
    """A point given as fractions of a picture of that size."""
    return point[0] * size[0], point[1] * size[1]
