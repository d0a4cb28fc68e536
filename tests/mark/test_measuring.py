"""Lengths between two points, told before anything is saved: what they rest on, and what makes them less sure."""

import re

import pytest

from lidoff.mark.marks import RefusedMarks
from lidoff.mark.measuring import measured
from lidoff.record.model.component import Component
from lidoff.record.model.construction import Board
from lidoff.record.model.picture import Photo
from lidoff.record.sections import Sections

FILE, SIZE = "photos/board-top.jpg", (4000, 3000)
HELD = Sections(
    "x", (Photo(FILE, "photo", "x"),), (Board("main", "main"),), (Component("T1", ("transformer",)),)
)  # fmt: skip
SCALE = {"points": [[0.1, 0.1], [0.6, 0.1]], "length_mm": 50}
# 2000 by 1261.2 pixels: a card seen squarely
CARD = {"corners": [[0.2, 0.3], [0.7, 0.3], [0.7, 0.7204], [0.2, 0.7204]]}


def told(**sent: object) -> tuple[str, str]:
    """The length and all notes on it for points 1000 pixels apart."""
    answer = measured({"file": FILE, "ends": [[0.1, 0.2], [0.35, 0.2]], **sent}, HELD, {FILE: SIZE})
    return answer["text"], " ".join(answer["notes"])


def test_without_a_known_length_there_are_pixels_alone() -> None:
    text, notes = told()
    assert text == "1000 px" and notes.startswith("No length in millimetres: ")


def test_a_known_length_of_fifty_millimetres_on_two_thousand_pixels() -> None:
    text, notes = told(scale=SCALE)
    assert text.startswith("25.00 ± 0.") and text.endswith(" mm")
    assert "does not tell a tilt" in notes and "Both ends count as lying in that plane" in notes


def test_a_card_of_its_standard_width_on_two_thousand_pixels() -> None:
    """ISO/IEC 7810, ID-1: 85.60 mm, half of which are 1000 pixels here."""
    text, notes = told(card=CARD)
    assert text.startswith("42.80 ± 0.") and "does not tell a tilt" not in notes and "disagree" not in notes


def test_a_card_seen_at_a_slant_makes_the_length_less_sure() -> None:
    slant = {"corners": [[0.2, 0.3], [0.7, 0.3], [0.69, 0.71], [0.21, 0.71]]}
    text, notes = told(card=slant)
    assert text.endswith(" mm") and "The card's edges or axes disagree by 4.2 %" in notes


def test_a_height_above_the_plane_is_counted_as_uncertainty_beside_the_distance_of_the_camera() -> None:
    text, notes = told(scale=SCALE, above_mm=-8, camera_mm=400)
    assert re.search(r"-8 mm out of the plane at 400 mm is counted as an uncertainty of 2\.0 ?%", notes)
    assert "Both ends count" not in notes
    assert float(text.split(" ± ")[1].removesuffix(" mm")) > 0.4


@pytest.mark.parametrize(
    "sent",
    [
        {"file": "photos/other.jpg"},
        {"ends": None},
        {"ends": [[0.1, 0.2]]},
        {"ends": [[0.1, 0.2], [0.3, 1.2]]},
        {"scale": {"points": [[0.1, 0.1], [0.6, 0.1]], "length_mm": 0}},
        {"camera_mm": -1},
        {"above_mm": 300},
    ],
    ids=str,
)
def test_what_cannot_be_read_is_refused_with_a_reason(sent: dict) -> None:
    with pytest.raises(RefusedMarks) as refused:
        told(**sent)
    assert refused.value.problems and all("expected" in one for one in refused.value.problems)
