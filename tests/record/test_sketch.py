"""A sketch says of every field that it has what the whole record says, and a part's sketch what the whole part says."""

from pathlib import Path

import msgspec
import pytest

from lidoff.record.load import built, load_file
from lidoff.record.model.component import Component
from lidoff.record.model.fields import defaults_of
from lidoff.record.model.record import Record
from lidoff.record.sketch import Opened, PartSketch, Sketch, sketch_of

ENTRIES = Path(__file__).parents[2] / "entries"
IN_PART = {"components", "measured"}


def fields(kind: type[msgspec.Struct]) -> set[str]:
    """Names of its fields, without what stands before packed ones."""
    return {name.removeprefix("packed_") for name in kind.__struct_fields__}


def test_every_field_is_one_of_the_record() -> None:
    assert fields(Sketch) <= set(defaults_of(Record)) and fields(PartSketch) <= set(defaults_of(Component))
    assert IN_PART < fields(Sketch)


@pytest.mark.parametrize("file", sorted(ENTRIES.glob("*/*/record.yaml")), ids=lambda file: "/".join(file.parts[-3:-1]))
def test_a_sketch_says_what_the_record_says(file: Path) -> None:
    data = load_file(file, ENTRIES.parent).data
    sketch, record = sketch_of(data), built(data)
    for name in fields(Sketch) - IN_PART:
        assert getattr(sketch, name) == getattr(record, name), name
    assert len(sketch.components) == len(record.components) > 0
    for part, whole in zip(sketch.components, record.components, strict=True):
        for name in fields(PartSketch):
            assert getattr(part, name) == getattr(whole, name), (whole.ref, name)
    if record.measured is None:
        assert sketch.measured is None
    else:
        measured, whole = sketch.measured, record.measured
        assert (measured.body_mm, measured.efficiency) == (whole.body_mm, whole.efficiency)
        assert [one.photo for one in measured.waveforms] == [one.photo for one in whole.waveforms]


def test_what_a_record_leaves_out_is_left_out() -> None:
    data = msgspec.msgpack.encode(
        {"schema": 1, "status": "draft", "product": {"brand": "A", "model": "B", "kind": "plug-in"}, "ports": []}
    )
    sketch, record = sketch_of(data), built(data)
    for name in fields(Sketch):
        assert getattr(sketch, name) == getattr(record, name), name


def test_an_opened_sketch_makes_each_field_once() -> None:
    file = next(ENTRIES.glob("*/*/record.yaml"))
    opened = Opened(sketch_of(load_file(file, ENTRIES.parent).data))
    assert opened.components is opened.components and opened.ports is opened.ports
    with pytest.raises(AttributeError):
        opened.colour  # noqa: B018
