"""Things of known size stand on a sheet: in true proportion, apart from each other, within its width."""

import json
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.entry import Entry
from lidoff.pages.drawings.life_size import SHEET_MM, Board, Standing, card, cell, stacked, standing, things_of
from lidoff.pages.views.life_size import drawing_of, note_of

EDGE = st.floats(min_value=3, max_value=150).map(lambda value: round(value, 1))
SIZE = st.tuples(EDGE, EDGE, EDGE)
BOARDS = st.lists(st.builds(Board, st.text("abc", min_size=1, max_size=8), st.tuples(EDGE, EDGE)), max_size=4)


def apart(drawn: Standing) -> bool:
    """Whether no two outlines share any area; the pole of a cell stands on the cell."""
    return all(
        max(b.x - a.x - a.width, a.x - b.x - b.width, b.y - a.y - a.height, a.y - b.y - b.height) >= -0.02
        for a, b in combinations(drawn.outlines, 2)
    )


@given(SIZE, BOARDS)
def test_outlines_keep_their_size_and_stand_apart(size: tuple[float, float, float], boards: list[Board]) -> None:
    things = (*things_of(size, "box", boards), cell(), card())
    for drawn in (standing(things), stacked(things)):
        assert apart(drawn)
        assert all(one.x >= 0 and one.y >= 0 for one in drawn.outlines)
        assert all(one.x + one.width <= drawn.width and one.y + one.height <= drawn.height for one in drawn.outlines)
        depth, width, length = sorted(size)
        faces = {one.sort: (one.width, one.height) for one in drawn.outlines}
        assert faces["face"] == (length, width) and faces["side"] == (depth, width)
        drawn_boards = [(one.width, one.height) for one in drawn.outlines if one.sort == "board"]
        assert drawn_boards == [(max(board.size), min(board.size)) for board in boards]
        assert faces["card"] == (85.6, 53.98)  # ISO/IEC 7810, ID-1
    assert standing(things).width <= SHEET_MM + 0.01


def test_a_cell_is_as_high_as_the_standard_allows() -> None:
    """IEC 60086-2, R6: at most 14.5 mm across and 50.5 mm high with its pole."""
    pole, can = standing((cell(),)).outlines
    assert (can.width, round(can.y + can.height - pole.y, 2)) == (14.5, 50.5)
    assert pole.y + pole.height == pytest.approx(can.y)


def test_a_cylinder_has_a_round_side() -> None:
    side = things_of((30.0, 30.0, 60.0), "cylinder", ())[1]
    assert side.corner == side.width / 2 == 15


def test_a_body_wider_than_paper_is_said_to_be_cut(full_entry: Entry) -> None:
    assert note_of(standing(things_of((290.0, 62.0, 42.0), "box", ()))).startswith("Longer than an A4 sheet")
    drawing = drawing_of(full_entry)
    assert drawing is not None and note_of(drawing) == ""


def test_the_data_file_holds_the_drawing_that_the_page_shows(site: Any, full_entry: Entry) -> None:
    data = json.loads(site.files["data/products/fernhollow/fh-65.json"].content)["life_size"]
    drawing = drawing_of(full_entry)
    assert drawing is not None and (data["width"], data["height"]) == (drawing.width, drawing.height)
    shown = [[one.x, one.y, one.width, one.height, one.corner, one.text, one.sort] for one in drawing.outlines]
    assert data["outlines"] == shown != []


def test_a_product_without_sizes_has_no_drawing_and_is_named(site: Any, bare_entry: Entry) -> None:
    assert drawing_of(bare_entry) is None
    name = f"data/products/{bare_entry.slug}.json"
    assert json.loads(site.files[name].content)["life_size"] is None


def test_sets_of_tiers_and_brands_are_plain_pages(site: Any) -> None:
    body = site.pages["/scale/tier/46-67-w/"].body
    assert 'class="lf-face"' in body and "<script" not in body
    assert "../../../scale/?p=fernhollow/fh-65" in body
    assert '<a href="tier/46-67-w/">46' in site.pages["/scale/"].body
    assert "scale/?p=fernhollow/fh-65" in site.pages["/products/fernhollow/fh-65/"].body
