"""Lengths and board sizes that a record's pictures give, with their uncertainty, or the reason why they give none."""

from dataclasses import replace
from math import hypot, sqrt

import pytest

from lidoff.bench.photo_lengths import NoLength, seen_length
from lidoff.figures.photo_sizes import photo_sizes
from lidoff.pages.views.construction import boards_table
from lidoff.record.load import load_text
from lidoff.record.model import Record
from lidoff.record.model.construction import BoardInPhoto
from lidoff.record.model.measured import Instrument
from lidoff.record.model.picture import Card, Photo, Scale

# 4000 by 3000 pixels, 40 to the millimetre: 50 mm are half of the width; the card has 3424 by 2159.2 pixels
SIZE = (4000, 3000)
SCALE = Scale(((0.1, 0.1), (0.6, 0.1)), 50.0, SIZE)
CARD = Card(((0.1, 0.1), (0.956, 0.1), (0.956, 0.1 + 2159.2 / 3000), (0.1, 0.1 + 2159.2 / 3000)), SIZE)
PHOTO = Photo("photos/board-top.jpg", "photo", "A board")
ENDS = ((0.2, 0.5), (0.72, 0.5))


def test_a_known_length_by_hand() -> None:
    seen = seen_length(replace(PHOTO, scale=SCALE), ENDS)
    # u(d) = sqrt(2)/sqrt(3) px for each of the two lengths, k = 2
    share = sqrt(2 / 3) * hypot(1 / 2080, 1 / 2000)
    assert seen.length_mm == pytest.approx(52) and seen.expanded_mm == pytest.approx(2 * 52 * share)
    assert seen.basis == "a known length" and seen.tilt is None


def test_a_card_counts_before_a_known_length() -> None:
    seen = seen_length(replace(PHOTO, scale=replace(SCALE, length_mm=5.0), card=CARD), ENDS)
    assert seen.length_mm == pytest.approx(52, abs=0.001) and seen.basis == "a card"
    assert seen.tilt.largest < 1e-4 and 0.05 < seen.expanded_mm < 0.2


def test_height_widens_the_uncertainty_where_the_distance_is_known() -> None:
    flat = seen_length(replace(PHOTO, card=CARD, camera_mm=300.0), ENDS, 0.0)
    high = seen_length(replace(PHOTO, card=CARD, camera_mm=300.0), ENDS, -3.0)
    unknown = seen_length(replace(PHOTO, card=CARD), ENDS, 3.0)
    assert flat.is_height_known and high.is_height_known and not unknown.is_height_known
    assert high.expanded_mm == pytest.approx(hypot(flat.expanded_mm, 2 * 0.01 * 52 / sqrt(3)), rel=1e-3)
    assert unknown.expanded_mm == pytest.approx(flat.expanded_mm)


@pytest.mark.parametrize(
    ("photo", "ends", "above", "reason"),
    [
        (PHOTO, ENDS, None, "neither a known length nor a card"),
        (replace(PHOTO, scale=replace(SCALE, picture_px=None)), ENDS, None, "scale.picture_px"),
        (replace(PHOTO, scale=SCALE), (ENDS[0], ENDS[0]), None, "can't be used"),
        (replace(PHOTO, scale=replace(SCALE, points=(ENDS[0], ENDS[0]))), ENDS, None, "can't be used"),
        (replace(PHOTO, card=replace(CARD, corners=(CARD.corners[0],) * 4)), ENDS, None, "convex"),
        (replace(PHOTO, card=CARD, camera_mm=5.0), ENDS, 5.0, "below the camera's distance"),
    ],
)
def test_no_length_has_its_reason(photo: Photo, ends: tuple, above: float | None, reason: str) -> None:
    with pytest.raises(NoLength, match=reason):
        seen_length(photo, ends, above)


@pytest.fixture(scope="module")
def record(sample_text: str) -> Record:
    loaded = load_text(sample_text, "record.yaml")
    caliper = Instrument("cal1", "length", pct_reading=0.5)
    board = replace(loaded.record.boards[0], in_photo=BoardInPhoto(PHOTO.file, ENDS, ((0.2, 0.5), (0.2, 0.98))))
    photo = replace(PHOTO, scale=replace(SCALE, instrument="cal1"))
    return replace(loaded.record, boards=(board,), photos=(photo,), instruments=(caliper,))


def test_the_instrument_of_the_known_length_counts(record: Record) -> None:
    length, width = photo_sizes(record)
    placing = 52 * sqrt(2 / 3) * hypot(1 / 2080, 1 / 2000)
    assert length.seen.expanded_mm == pytest.approx(2 * hypot(placing, 52 * 0.005 / sqrt(3)))
    assert length.field == "boards[0].in_photo.length" and width.seen.length_mm == pytest.approx(36)


def test_the_page_shows_the_size_with_its_ground(record: Record) -> None:
    grid = boards_table(record)
    at = [column.label for column in grid.columns].index("Size from a photograph")
    assert grid.rows[0][at].replace("\u00a0", " ") == "52.0 ± 0.3 × 36.0 ± 0.2 mm"
    (note,) = grid.notes
    assert note.startswith("From a photograph, photos/board-top.jpg, by a known length in it, taken as seen squarely")
    assert "Lidoff's own assumption" in note and "h over the camera's distance" in note


def test_a_board_without_a_photograph_has_no_such_column(sample_text: str) -> None:
    grid = boards_table(load_text(sample_text, "record.yaml").record)
    assert "Size from a photograph" not in [column.label for column in grid.columns] and grid.notes == ()
