"""The file of one product: its record as it was written, and its figures with their reasons."""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace

import msgspec
import pytest

from lidoff.bench.logs import LogResult
from lidoff.bench.swept_point import SweptPoint
from lidoff.entry import Entry
from lidoff.figures.figure import Figure, Figures
from lidoff.record.model import Record
from lidoff.settings import DEFAULT_TIERS_W
from lidoff.trends.exports import product_json
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
    make_entry: Callable[..., Entry],
) -> None:
    entry = make_entry(changes={"ports": [{"id": "C1", "connector": "usb-c", "protocols": []}], "port_sharing": []})
    content = json.loads(product_json(entry))["record"]
    assert content["ports"] == [{"id": "C1", "connector": "usb-c", "protocols": []}]
    assert content["port_sharing"] == []
    assert "components" not in content
    assert "label" not in content


def test_every_field_is_written_by_a_plain_walk_too(entries: tuple[Entry, ...]) -> None:
    for entry in entries:
        assert json.loads(product_json(entry))["record"] == _walked(entry.record), entry.slug


def test_the_points_of_a_sweep_are_written_with_their_place(make_entry: Callable[..., Entry]) -> None:
    point = SweptPoint("C1", 230.0, 50.0, 20.0, 3.25, 71.5, at="measured.efficiency_sweeps[0].log[3]", line=3)
    entry = replace(make_entry(), logs={"measured.efficiency_sweeps[0]": LogResult("a.csv", points=(point,))})
    assert json.loads(product_json(entry))["swept_points"] == [_walked(point)]


def _walked(value: object) -> object:
    """A piece of a record without the fields that are at their default, found by looking at each."""
    if is_dataclass(value):
        given = ((one.name, getattr(value, one.name), one.default) for one in fields(value))
        return {name: _walked(held) for name, held, default in given if held != default}
    if isinstance(value, Mapping):
        return {name: _walked(held) for name, held in value.items()}
    return [_walked(one) for one in value] if isinstance(value, tuple) else value


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


def test_a_frame_has_the_same_types_with_and_without_rows(frames: Frames) -> None:
    empty = make_frames((), DEFAULT_TIERS_W)
    for name in FRAMES:
        assert dict(getattr(empty, name).dtypes) == dict(getattr(frames, name).dtypes), name
