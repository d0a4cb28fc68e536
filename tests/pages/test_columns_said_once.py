"""Tables of fields: which columns are drawn, and what is said once below them."""

from lidoff.pages.table import Cell, Field, grid_of

FIELDS = (
    Field("Load", lambda row: row[0]),
    Field("Measured at", lambda row: row[1]),
    Field("Trace", lambda row: row[2], is_file=True),
)


def test_a_column_that_always_says_the_same_becomes_a_line_below() -> None:
    grid = grid_of(
        "c", [("10 %", "the board", ""), ("50 %", "the board", ""), ("100 %", "the board", "")], FIELDS, ("n",)
    )
    assert [column.label for column in grid.columns] == ["Load"]
    assert grid.rows == (("10 %",), ("50 %",), ("100 %",))
    assert grid.notes == ("Alike in every row. Measured at: the board.", "n")


def test_in_two_rows_or_where_one_differs_it_stays() -> None:
    two = grid_of("c", [("10 %", "the board", ""), ("50 %", "the board", "")], FIELDS)
    other = grid_of("c", [("10 %", "the board", ""), ("50 %", "the board", ""), ("100 %", "the plug", "")], FIELDS)
    for grid in (two, other):
        assert [column.label for column in grid.columns] == ["Load", "Measured at"] and grid.notes == ()


def test_the_heading_of_rows_and_files_stay_columns() -> None:
    grid = grid_of("c", [("10 %", "", "a.png")] * 3, FIELDS)
    assert grid.rows == (("10 %", Cell("a.png", "a.png")),) * 3


def test_nothing_to_say_is_no_table() -> None:
    assert grid_of("c", [], FIELDS) is None
    assert grid_of("c", [("", "", "")], FIELDS) is None
