"""The plane of a card in a photograph: lengths in it whatever its tilt, and how far it is tilted."""

from dataclasses import dataclass
from math import hypot, sqrt

from lidoff.engineering._arguments import require_not_negative, require_positive
from lidoff.engineering.photo_scale import POINT_PLACING_PX, Point, pixel_distance

CARD_LENGTH = 0.08560
CARD_WIDTH = 0.05398
CARD_LENGTH_HALF_WIDTH = 0.000125
CARD_WIDTH_HALF_WIDTH = 0.000055
"""Half of the way from the least to the largest size of an unused card: 85.47 to 85.72, 53.92 to 54.03, from memory."""

Corners = tuple[Point, Point, Point, Point]
_STEP_PX = 1e-3
_LEAST_TURN = 1e-6


@dataclass(frozen=True, slots=True)
class CardTilt:
    """What the four corners of a card tell of the camera's direction; each is 0 where it looks squarely.

    Attributes
    ----------
    long_sides : float
        Longer over shorter of the two long edges in the picture, less 1. [-]
    short_sides : float
        Longer over shorter of the two short edges in the picture, less 1. [-]
    axes : float
        Scale along the long edges over that along the short ones, less 1. [-]
    """

    long_sides: float
    short_sides: float
    axes: float

    @property
    def largest(self) -> float:
        """The largest of the three, whatever its sign. [-]"""
        return max(self.long_sides, self.short_sides, abs(self.axes))


def card_tilt(corners: Corners) -> CardTilt:
    r"""How far a card's picture differs from that of a card seen squarely.

    Parameters
    ----------
    corners : four pairs of float
        Where the edges would meet, in order round the card; the first two are the ends of a long edge. [px]

    Returns
    -------
    CardTilt
        The differences of opposite edges and of the two axes. [-]

    Raises
    ------
    ValueError
        The corners are not those of a convex quadrilateral.

    Notes
    -----
    .. math::

        e_l = \frac{\max(a, c)}{\min(a, c)} - 1

        e_s = \frac{\max(b, d)}{\min(b, d)} - 1

        e_a = \frac{(a + c) / 2 l}{(b + d) / 2 w} - 1

    with the edges a, b, c, d in the picture and the card's length l and width w. The corners of a card are rounded:
    what counts is where the straight edges would meet. Edges of 1000 pixels tell a tilt from about 0.2 % on.

    Examples
    --------
    >>> tilt = card_tilt(((100, 100), (956, 100), (956, 639.8), (100, 639.8)))
    >>> tilt.largest < 1e-9
    True

    References
    ----------
    .. [1] ISO/IEC 7810, format ID-1: 85.60 mm by 53.98 mm.
    """
    _require_convex(corners)
    first, second, third, fourth = (pixel_distance(corners[i], corners[(i + 1) % 4]) for i in range(4))
    axes = (first + third) / CARD_LENGTH / ((second + fourth) / CARD_WIDTH) - 1
    long_sides = max(first, third) / min(first, third) - 1
    short_sides = max(second, fourth) / min(second, fourth) - 1
    return CardTilt(long_sides, short_sides, axes)


def card_length(
    corners: Corners, first: Point, second: Point, length: float = CARD_LENGTH, width: float = CARD_WIDTH
) -> float:
    r"""Distance of two points in the plane of a card, with the tilt of that plane taken off.

    Parameters
    ----------
    corners : four pairs of float
        Where the card's edges would meet, in order round it; the first two are the ends of a long edge. [px]
    first : pair of float
        One point. [px]
    second : pair of float
        The other point. [px]
    length : float, optional
        Length of the card. [m]
    width : float, optional
        Width of the card. [m]

    Returns
    -------
    float
        Distance in the plane of the card. [m]

    Raises
    ------
    ValueError
        The corners are not those of a convex quadrilateral, or a point lies on or behind the plane's horizon.

    Notes
    -----
    .. math::

        x = \frac{a u + b v + c}{g u + h v + 1}

        y = \frac{d u + e v + f}{g u + h v + 1}

    takes the unit square (u, v) to the four corners; it is solved in closed form and inverted, and u and v are
    multiplied by the card's length and width. Holds in the card's plane alone. Distortion by the lens is not taken
    off, and far from the card the uncertainty grows.

    Examples
    --------
    >>> corners = ((0.0, 0.0), (856.0, 0.0), (856.0, 539.8), (0.0, 539.8))
    >>> round(card_length(corners, (0.0, 0.0), (520.0, 0.0)), 9)
    0.052

    References
    ----------
    .. [1] P. S. Heckbert, "Fundamentals of texture mapping and image warping", master's thesis, University of
       California, Berkeley, 1989, section 2.2.3 (from memory).
    .. [2] ISO/IEC 7810, format ID-1: 85.60 mm by 53.98 mm.
    """
    require_positive(length=length, width=width)
    _require_convex(corners)
    inverse = _inverse(_square_to(corners))
    (u1, v1), (u2, v2) = (_mapped(inverse, point, corners[0]) for point in (first, second))
    return hypot((u2 - u1) * length, (v2 - v1) * width)


def card_length_uncertainty(corners: Corners, first: Point, second: Point, placing: float = POINT_PLACING_PX) -> float:
    r"""Standard uncertainty of a distance in the plane of a card, from the six points and the card's own tolerance.

    Parameters
    ----------
    corners : four pairs of float
        Where the card's edges would meet, in order round it; the first two are the ends of a long edge. [px]
    first : pair of float
        One point. [px]
    second : pair of float
        The other point. [px]
    placing : float, optional
        Half-width within which each coordinate of a point was placed. [px]

    Returns
    -------
    float
        Standard uncertainty. [m]

    Raises
    ------
    ValueError
        As for the distance itself, or the half-width is negative.

    Notes
    -----
    .. math::

        u^2(L) = \sum_i \left(\frac{\Delta L}{\Delta x_i} \frac{a_i}{\sqrt{3}}\right)^2

    over the twelve coordinates and the two sizes of the card, with differences in place of derivatives. Height above
    the plane and the lens come on top.

    Examples
    --------
    >>> corners = ((0.0, 0.0), (856.0, 0.0), (856.0, 539.8), (0.0, 539.8))
    >>> 0 < card_length_uncertainty(corners, (100.0, 100.0), (620.0, 100.0)) < 0.0002
    True

    References
    ----------
    .. [1] JCGM 100:2008, clauses 4.3.7 and 5.1.2, equation (10); 5.1.3, note 2, on differences.
    """
    require_not_negative(placing=placing)
    points = (*corners, first, second)
    total = 0.0
    for index in range(6):
        for axis in (0, 1):
            slope = (_moved(points, index, axis, _STEP_PX) - _moved(points, index, axis, -_STEP_PX)) / (2 * _STEP_PX)
            total += (slope * placing) ** 2
    exact = card_length(corners, first, second)
    longer = card_length(corners, first, second, length=CARD_LENGTH + CARD_LENGTH_HALF_WIDTH)
    wider = card_length(corners, first, second, width=CARD_WIDTH + CARD_WIDTH_HALF_WIDTH)
    total += (longer - exact) ** 2 + (wider - exact) ** 2
    return sqrt(total / 3)


def _moved(points: tuple[Point, ...], index: int, axis: int, step: float) -> float:
    """The distance with one coordinate of one point changed."""
    moved = [list(point) for point in points]
    moved[index][axis] += step
    first, second, third, fourth, start, end = (tuple(point) for point in moved)
    return card_length((first, second, third, fourth), start, end)


def _require_convex(corners: Corners) -> None:
    turns = []
    for index in range(4):
        (ax, ay), (bx, by), (cx, cy) = (corners[(index + step) % 4] for step in range(3))
        turns.append((bx - ax) * (cy - by) - (by - ay) * (cx - bx))
    least = min(turns) if turns[0] > 0 else -max(turns)
    largest = max(abs(turn) for turn in turns)
    if not (largest > 0 and least > _LEAST_TURN * largest):
        raise ValueError("corners: found an order or place that makes no convex figure, expected them in order round")


def _square_to(corners: Corners) -> tuple[float, ...]:
    """The nine coefficients that take the unit square to the corners; the last one is 1."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    dx1, dx2, sx = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
    dy1, dy2, sy = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
    whole = dx1 * dy2 - dx2 * dy1
    g = (sx * dy2 - dx2 * sy) / whole
    h = (dx1 * sy - sx * dy1) / whole
    return (x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h, 1.0)


def _inverse(matrix: tuple[float, ...]) -> tuple[float, ...]:
    """The inverse up to a factor, which a projection does not mind."""
    a, b, c, d, e, f, g, h, i = matrix
    return (
        e * i - f * h, c * h - b * i, b * f - c * e,
        f * g - d * i, a * i - c * g, c * d - a * f,
        d * h - e * g, b * g - a * h, a * e - b * d,
    )  # fmt: skip


def _mapped(inverse: tuple[float, ...], point: Point, inside: Point) -> Point:
    """Where a point of the picture lies on the unit square; on the other side of the horizon nothing can be seen."""
    a, b, c, d, e, f, *far = inverse
    (x, y), depth = point, _depth(far, point)
    if depth * _depth(far, inside) <= 0:
        raise ValueError(f"point: found {point}, which lies beyond the plane's horizon, expected one in the plane")
    return (a * x + b * y + c) / depth, (d * x + e * y + f) / depth


def _depth(far: list[float], point: Point) -> float:
    return far[0] * point[0] + far[1] * point[1] + far[2]
