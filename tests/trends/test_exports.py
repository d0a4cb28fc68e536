"""Exported files: the record as it was written, frames as CSV and JSON, the same bytes for the same input."""

import csv
import io
import json
from collections.abc import Callable, Sequence

import msgspec
import pytest

from lidoff.entry import Entry
from lidoff.figures.figure import Figure, Figures
from lidoff.record.model import Record
from lidoff.settings import DEFAULT_TIERS_W
from lidoff.trends.exports import INDEX_COLUMNS, frame_csv, frame_json, index_csv, index_json, plain, product_json
from lidoff.trends.frames import Frames, make_frames

CollectionOf = Callable[[int, int], tuple[Entry, ...]]
FRAMES = ("products", "components", "ports", "figures")


@pytest.fixture(scope="module")
def entries(make_collection: CollectionOf) -> tuple[Entry, ...]:
    return make_collection(40, 11)


@pytest.fixture(scope="module")
def frames(entries: tuple[Entry, ...], frames_of: Callable[[Sequence[Entry]], Frames]) -> Frames:
    return frames_of(entries)


def test_a_record_comes_back_from_its_json(entries: tuple[Entry, ...]) -> None:
    for entry in entries:
        content = json.loads(product_json(entry))
        assert msgspec.convert(content["record"], Record) == entry.record
        assert content["slug"] == entry.slug


def test_what_a_record_leaves_out_is_left_out_and_an_empty_list_that_means_none_stays(
    make_entry: Callable[..., Entry]
) -> None:
    entry = make_entry(changes={"ports": [{"id": "C1", "connector": "usb-c", "protocols": []}], "port_sharing": []})
    content = plain(entry.record)
    assert content["ports"] == [{"id": "C1", "connector": "usb-c", "protocols": []}]
    assert content["port_sharing"] == []
    assert "components" not in content
    assert "label" not in content


def test_a_figure_keeps_its_reason(make_entry: Callable[..., Entry]) -> None:
    entry = make_entry()
    with_figure = Entry(
        entry.path, entry.slug, entry.record, Figures((Figure("loss_w", "W", absent="nothing was measured"),))
    )
    assert json.loads(product_json(with_figure))["figures"] == [{
        "id": "loss_w", "of": {}, "value": None, "unit": "W", "expanded_uncertainty": None, "inputs": [], "assumed": [],
        "method": "",
        "source": "", "absent": "nothing was measured",
    }]  # fmt: skip


@pytest.mark.parametrize("name", FRAMES)
def test_csv_and_json_of_a_frame_hold_the_same(frames: Frames, name: str) -> None:
    frame = getattr(frames, name)
    lines = list(csv.DictReader(io.StringIO(frame_csv(frame))))
    rows = json.loads(frame_json(frame))
    assert len(lines) == len(rows) == len(frame) > 0
    for line, row in zip(lines, rows, strict=True):
        assert list(line) == list(row) == list(frame.columns)
        for column, value in row.items():
            text = "; ".join(value) if isinstance(value, list) else "" if value is None else str(value)
            assert line[column] in (text, text.lower(), f"'{text}"), column


def test_the_index_has_a_row_a_product_and_few_columns(frames: Frames) -> None:
    rows = json.loads(index_json(frames))
    assert [row["slug"] for row in rows] == sorted(row["slug"] for row in rows)
    assert len(rows) == len(frames.products)
    assert all(tuple(row) == INDEX_COLUMNS for row in rows)
    assert index_csv(frames).count("\n") == len(rows) + 1


def test_the_order_of_the_entries_does_not_matter(entries: tuple[Entry, ...], frames: Frames) -> None:
    other = make_frames(tuple(reversed(entries)), DEFAULT_TIERS_W)
    for name in FRAMES:
        assert frame_csv(getattr(other, name)) == frame_csv(getattr(frames, name)), name


def test_a_frame_has_the_same_types_with_and_without_rows(frames: Frames) -> None:
    empty = make_frames((), DEFAULT_TIERS_W)
    for name in FRAMES:
        assert dict(getattr(empty, name).dtypes) == dict(getattr(frames, name).dtypes), name
