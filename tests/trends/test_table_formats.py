"""Tables as JSON and CSV, and CSV that no spreadsheet runs."""

import csv
import io
import json
from collections.abc import Callable, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.entry import Entry
from lidoff.trends.formats import as_csv, as_json, csv_text, lines_with_totals, shown
from lidoff.trends.frames import Frames
from lidoff.trends.tables import TABLES, build_table

CollectionOf = Callable[[int, int], tuple[Entry, ...]]
FramesOf = Callable[[Sequence[Entry]], Frames]


@pytest.fixture(scope="module")
def frames(make_collection: CollectionOf, frames_of: FramesOf) -> Frames:
    return frames_of(make_collection(120, 7))


@pytest.mark.parametrize("name", TABLES)
def test_json_has_as_many_columns_as_each_row_has_values(frames: Frames, name: str) -> None:
    table = build_table(frames, name)
    content = json.loads(as_json(table))
    assert content["name"] == name
    assert all(len(row) == len(content["columns"]) for row in content["rows"])
    assert [row[0] for row in content["rows"]] == [row.label for row in table.rows]
    assert (content["n"], content["brands"], content["platforms"]) == (table.n, table.brands, table.platforms)
    if table.kind == "counts":
        assert len(content["row_totals"]) == len(content["rows"])
        assert len(content["column_totals"]) == len(content["columns"]) - 1


def test_json_gives_shares_as_fractions_of_platforms(frames: Frames) -> None:
    table = build_table(frames, "topology-by-tier")
    shares = json.loads(as_json(table))["shares"]
    assert shares
    for share in shares:
        assert share["share"] == pytest.approx(share["platforms"] / share["of_platforms"])
        assert 0 <= share["low"] <= share["share"] <= share["high"] <= 1
        assert table.cell(share["row"], share["column"]).value >= share["platforms"]


@pytest.mark.parametrize("name", TABLES)
def test_csv_reads_back_with_its_totals(frames: Frames, name: str) -> None:
    table = build_table(frames, name)
    lines = list(csv.reader(io.StringIO(as_csv(table))))
    assert lines == [["" if value is None else str(value) for value in line] for line in lines_with_totals(table)]
    assert len({len(line) for line in lines}) == 1
    if table.kind == "counts":
        assert lines[-1][-1] == str(table.n)


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+cmd", "-cmd", "@sum(a)", "\tx", "\rx", "=", "- 1", "+1 W", "-1e", "\t5", "-inf", "+nan", "-1_000", "-٣"],
)
def test_text_that_a_spreadsheet_would_run_gets_an_apostrophe(text: str) -> None:
    assert next(csv.reader(io.StringIO(csv_text([[text]]), newline=""))) == [f"'{text}"]


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("a;=1+1", "a;'=1+1"), ("a; =1+1; +b", "a;' =1+1;' +b"), (" =1+1", "' =1+1"), ("＝1+1", "'＝1+1"),
        ("a\t@b", "a\t'@b"), ("a\n-b", "a\n'-b"), ("x; -1.5; +3", "x; -1.5; +3"), ("x;-1.5;+3", "x;-1.5;+3"),
    ],
)  # fmt: skip
def test_so_does_what_begins_a_cell_where_cells_are_parted_otherwise(text: str, written: str) -> None:
    assert next(csv.reader(io.StringIO(csv_text([[text, "x"]]), newline=""))) == [written, "x"]


@pytest.mark.parametrize("value", ["-1.5", "+3", "-2e-3", -1.5, "a=b", "6-9 W", "", "'=x"])
def test_numbers_and_harmless_text_stay_as_they_are(value: object) -> None:
    assert next(csv.reader(io.StringIO(csv_text([["x", value]]), newline=""))) == ["x", str(value)]


@given(
    rows=st.lists(
        st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\0")), min_size=2, max_size=2), min_size=1
    )
)
def test_every_text_reads_back_and_none_begins_as_a_formula(rows: list[list[str]]) -> None:
    read = list(csv.reader(io.StringIO(csv_text(rows), newline="")))
    assert [[cell.replace("'", "") for cell in line] for line in read] == [
        [cell.replace("'", "") for cell in line] for line in rows
    ]
    risky = [cell for line in read for cell in line if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]
    assert all(set(cell) <= set("+-.0123456789eE") for cell in risky)


@pytest.mark.parametrize(
    ("value", "text"),
    [(None, "–"), (0, "0"), (1234, "1234"), (0.8585164, "0.859"), (65.0, "65.0"), (1234.5, "1230"), ("GaN", "GaN")],
)
def test_values_are_shown_with_three_digits(value: object, text: str) -> None:
    assert shown(value) == text
