"""Lengths from photographs, held against a pinhole camera of the test's own and a general solution of the projection by SciPy and NumPy."""

from math import cos, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import least_squares

from lidoff.engineering.card_plane import (
    CARD_LENGTH,
    CARD_WIDTH,
    card_length,
    card_length_uncertainty,
    card_tilt,
)
from lidoff.engineering.photo_scale import (
    height_error,
    metres_per_pixel,
    pixel_distance,
    scaled_length,
    scaled_length_uncertainty,
)

# ISO/IEC 7810, format ID-1: 85.60 mm by 53.98 mm
CARD = np.array([(0, 0), (0.08560, 0), (0.08560, 0.05398), (0, 0.05398)])
SQUARE = tuple(map(tuple, CARD * 10_000 + 200.0))


def photographed(
    plane_points: np.ndarray, tilt: float = 0.0, turn: float = 0.0, height: float = 0.0, away: float = 0.4
) -> list:
    """Pixels of points of a plane as a pinhole camera sees them whose axis meets the plane at the card's centre.

    The plane is tilted about the card's long axis and turned about the camera's axis [degrees]; 8000 px focal length.
    """
    points = np.column_stack([plane_points - CARD.mean(axis=0), np.full(len(plane_points), height)])
    a, b = radians(tilt), radians(turn)
    about_x = np.array([[1, 0, 0], [0, cos(a), -sin(a)], [0, sin(a), cos(a)]])
    about_z = np.array([[cos(b), -sin(b), 0], [sin(b), cos(b), 0], [0, 0, 1]])
    seen = points @ (about_z @ about_x).T
    return [tuple(one) for one in 8000 * seen[:, :2] / (away - seen[:, 2:3]) + 2500]


def homography(corners: list) -> np.ndarray:
    """The projection from the picture to the card by the direct linear transformation: the null vector of eight equations."""
    rows = []
    for (x, y), (u, v) in zip(corners, CARD, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y, -u], [0, 0, 0, x, y, 1, -v * x, -v * y, -v]]
    return np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)


def by_homography(corners: list, first: tuple, second: tuple) -> float:
    ends = [homography(corners) @ np.array([*point, 1]) for point in (first, second)]
    return float(np.linalg.norm(ends[0][:2] / ends[0][2] - ends[1][:2] / ends[1][2]))


@given(
    tilt=st.floats(-35, 35), turn=st.floats(0, 360), start=st.tuples(st.floats(-0.08, 0.16), st.floats(-0.08, 0.13)),
    way=st.floats(0, 6.28), length=st.floats(0.01, 0.09),
)  # fmt: skip
def test_a_length_in_the_plane_is_found_whatever_the_tilt(
    tilt: float, turn: float, start: tuple, way: float, length: float
) -> None:
    ends = np.array([start, (start[0] + length * cos(way), start[1] + length * sin(way))])
    corners, (first, second) = photographed(CARD, tilt, turn), photographed(ends, tilt, turn)
    assert card_length(tuple(corners), first, second) == pytest.approx(length, rel=1e-7)
    assert card_length(tuple(corners), first, second) == pytest.approx(by_homography(corners, first, second), rel=1e-6)


def test_the_projection_is_that_of_a_general_solver() -> None:
    corners = photographed(CARD, tilt=20, turn=35)

    def off(eight: np.ndarray) -> np.ndarray:
        matrix = np.append(eight, 1).reshape(3, 3)
        seen = (matrix @ np.column_stack([CARD, np.ones(4)]).T).T
        return (seen[:, :2] / seen[:, 2:] - corners).ravel()

    solved = least_squares(off, [8000, 0, 2500, 0, 8000, 2500, 0, 0], x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    inverse = np.linalg.inv(np.append(solved.x, 1).reshape(3, 3))
    picture = [(1800.0, 2100.0), (3300.0, 2950.0)]
    on_card = [(inverse @ np.array([*point, 1])) for point in picture]
    expected = np.linalg.norm(on_card[0][:2] / on_card[0][2] - on_card[1][:2] / on_card[1][2])
    assert card_length(tuple(corners), *picture) == pytest.approx(expected, rel=1e-6)


def test_without_tilt_the_card_gives_the_plain_scale() -> None:
    ends = ((300.0, 300.0), (720.0, 510.0))
    scale = metres_per_pixel(CARD_LENGTH, 856)
    assert card_length(SQUARE, *ends) == pytest.approx(scaled_length(pixel_distance(*ends), scale), rel=1e-9)
    assert card_tilt(SQUARE).largest < 1e-9


@pytest.mark.parametrize(("tilt", "is_clear"), [(0, False), (2, False), (10, True), (-10, True), (25, True)])
def test_tilt_shows_in_the_corners(tilt: float, is_clear: bool) -> None:
    # tilted about the long axis: one long edge comes nearer, and the short edges are foreshortened by cos(tilt)
    seen = card_tilt(tuple(photographed(CARD, tilt)))
    near = 0.4 - 0.02699 * sin(radians(abs(tilt)))
    far = 0.4 + 0.02699 * sin(radians(abs(tilt)))
    assert seen.long_sides == pytest.approx(far / near - 1, rel=1e-9, abs=1e-12)
    assert seen.short_sides == pytest.approx(0, abs=1e-9)
    assert seen.axes == pytest.approx(1 / cos(radians(tilt)) - 1, abs=0.01)
    assert (seen.largest > 0.01) == is_clear


@pytest.mark.parametrize("height", [0.010, 0.0016, -0.004])
@pytest.mark.parametrize("away", [0.3, 1.0])
def test_something_above_the_plane_looks_longer_by_its_share_of_the_distance(height: float, away: float) -> None:
    ends = np.array([(0.01, 0.02), (0.06, 0.02)])
    corners = tuple(photographed(CARD, away=away))
    read = card_length(corners, *photographed(ends, height=height, away=away))
    assert (read - 0.05) / read == pytest.approx(height_error(height, away), rel=1e-6)


def test_uncertainty_of_a_scaled_length_by_monte_carlo() -> None:
    # each coordinate anywhere within a pixel to either side, as the formula takes it
    known, ends = np.array([(100, 100), (1100, 100)]), np.array([(200, 500), (1000, 1100)])
    noise = np.random.default_rng(7).uniform(-1, 1, (200_000, 4, 2))
    moved = np.concatenate([known, ends]) + noise
    lengths = 0.05 * np.hypot(*(moved[:, 3] - moved[:, 2]).T) / np.hypot(*(moved[:, 1] - moved[:, 0]).T)
    assert scaled_length_uncertainty(1000, 0.05, 1000) == pytest.approx(lengths.std(), rel=0.01)


def test_uncertainty_in_the_plane_of_a_card_by_monte_carlo() -> None:
    corners, ends = photographed(CARD, 12, 20), photographed(np.array([(0.01, 0.07), (0.07, 0.09)]), 12, 20)
    random = np.random.default_rng(11)
    lengths = []
    for _ in range(3000):
        moved = np.array([*corners, *ends]) + random.uniform(-1, 1, (6, 2))
        size = (CARD_LENGTH + random.uniform(-0.000125, 0.000125), CARD_WIDTH + random.uniform(-0.000055, 0.000055))
        lengths.append(card_length(tuple(map(tuple, moved[:4])), tuple(moved[4]), tuple(moved[5]), *size))
    assert card_length_uncertainty(tuple(corners), *ends) == pytest.approx(np.std(lengths), rel=0.06)


def test_a_share_that_comes_from_the_known_length_alone() -> None:
    assert scaled_length_uncertainty(500, 0.1, 1000, u_known_length=0.001, placing=0) == pytest.approx(0.0005)


@pytest.mark.parametrize(
    "corners",
    [
        ((0, 0), (100, 60), (100, 0), (0, 60)),  # crossed
        ((0, 0), (100, 0), (20, 10), (0, 60)),  # one corner turned in
        ((0, 0), (50, 0), (100, 0), (0, 60)),  # three in a row
        ((5, 5), (5, 5), (5, 5), (5, 5)),
    ],
)
def test_corners_that_are_no_card_are_refused(corners: tuple) -> None:
    for function in (card_tilt, lambda four: card_length(four, (0, 0), (1, 1))):
        with pytest.raises(ValueError, match="convex"):
            function(corners)


def test_corners_may_go_round_either_way() -> None:
    ends = ((300.0, 300.0), (720.0, 510.0))
    other_way = (SQUARE[1], SQUARE[0], SQUARE[3], SQUARE[2])
    assert card_length(other_way, *ends) == pytest.approx(card_length(SQUARE, *ends))


def test_a_point_beyond_the_horizon_is_refused() -> None:
    corners = ((100.0, 100.0), (200.0, 100.0), (240.0, 200.0), (60.0, 200.0))
    with pytest.raises(ValueError, match="horizon"):
        card_length(corners, (150.0, 150.0), (150.0, -400.0))


def test_arguments_that_no_picture_can_have() -> None:
    with pytest.raises(ValueError, match="known_pixels: found 0"):
        metres_per_pixel(0.05, 0)
    with pytest.raises(ValueError, match="height: found 0.3"):
        height_error(0.3, 0.3)
    with pytest.raises(ValueError, match="finite number of pixels"):
        pixel_distance((0, 0), (float("nan"), 0))
