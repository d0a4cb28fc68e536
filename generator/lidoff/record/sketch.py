"""A record of which most stays packed until it is asked for: thousands are held where few are ever read as a whole.

What every list asks of every product lies open, all else is made anew at each call.
"""

from functools import cache
from typing import Any

import msgspec

from lidoff.record.model.component import Candidate, Elsewhere, Marking, Ratings
from lidoff.record.model.construction import Board, Construction, Conversion, Magnetic
from lidoff.record.model.electrical import EfficiencyPoint
from lidoff.record.model.label import Label, Port
from lidoff.record.model.measured import Body
from lidoff.record.model.picture import Photo
from lidoff.record.model.product import Correction, Coverage, Product, Sample, Teardown
from lidoff.record.model.record import Record

NOTHING = msgspec.Raw(msgspec.msgpack.encode(None))
NONE_OF_THEM = msgspec.Raw(msgspec.msgpack.encode(()))


def _packed(name: str, default: msgspec.Raw = NOTHING) -> Any:
    """The field of that name as it stands in the data."""
    return msgspec.field(name=name, default=default)


def _made_of(field: str, kind: Any) -> property:
    """A property that is made of a packed field."""
    return property(lambda item: _decoder(kind).decode(getattr(item, field)))


@cache
def _decoder(kind: Any) -> msgspec.msgpack.Decoder:
    return msgspec.msgpack.Decoder(kind)


class PartSketch(msgspec.Struct, frozen=True, gc=False):
    """One component. The schema describes every field."""

    ref: str
    roles: tuple[str, ...]
    quantity: int | None = None
    board: str | None = None
    side: str | None = None
    port: str | None = None
    technology: str | None = None
    control: tuple[str, ...] = ()
    maker: str | None = None
    part_number: str | None = None
    identified_by: str | None = None
    strength: str | None = None
    package: str | None = None
    packed_marking: msgspec.Raw = _packed("marking")
    packed_ratings: msgspec.Raw = _packed("ratings")
    packed_candidates: msgspec.Raw = _packed("candidates", NONE_OF_THEM)
    packed_other_samples: msgspec.Raw = _packed("other_samples", NONE_OF_THEM)

    marking = _made_of("packed_marking", Marking | None)
    ratings = _made_of("packed_ratings", Ratings | None)
    candidates = _made_of("packed_candidates", tuple[Candidate, ...])
    other_samples = _made_of("packed_other_samples", tuple[Elsewhere, ...])


class WaveformSketch(msgspec.Struct, frozen=True, gc=False):
    """One waveform. The schema describes every field."""

    photo: str | None = None


class MeasuredSketch(msgspec.Struct, frozen=True, gc=False):
    """The measurements that lists and files beside pages ask for. The schema describes every field."""

    body_mm: Body | None = None
    waveforms: tuple[WaveformSketch, ...] = ()
    packed_efficiency: msgspec.Raw = _packed("efficiency", NONE_OF_THEM)

    efficiency = _made_of("packed_efficiency", tuple[EfficiencyPoint, ...])


class Sketch(msgspec.Struct, frozen=True, gc=False):
    """One record. The schema describes every field."""

    status: str
    product: Product
    demo: bool | None = None
    teardown: Teardown | None = None
    conversion: Conversion | None = None
    packed_summary: msgspec.Raw = _packed("summary")
    packed_samples: msgspec.Raw = _packed("samples", NONE_OF_THEM)
    packed_coverage: msgspec.Raw = _packed("coverage")
    packed_label: msgspec.Raw = _packed("label")
    packed_ports: msgspec.Raw = _packed("ports", NONE_OF_THEM)
    packed_measured: msgspec.Raw = _packed("measured")
    packed_construction: msgspec.Raw = _packed("construction")
    packed_boards: msgspec.Raw = _packed("boards", NONE_OF_THEM)
    packed_magnetics: msgspec.Raw = _packed("magnetics", NONE_OF_THEM)
    packed_components: msgspec.Raw = _packed("components", NONE_OF_THEM)
    packed_photos: msgspec.Raw = _packed("photos", NONE_OF_THEM)
    packed_corrections: msgspec.Raw = _packed("corrections", NONE_OF_THEM)

    summary = _made_of("packed_summary", str | None)
    samples = _made_of("packed_samples", tuple[Sample, ...])
    coverage = _made_of("packed_coverage", Coverage | None)
    label = _made_of("packed_label", Label | None)
    ports = _made_of("packed_ports", tuple[Port, ...])
    measured = _made_of("packed_measured", MeasuredSketch | None)
    construction = _made_of("packed_construction", Construction | None)
    boards = _made_of("packed_boards", tuple[Board, ...])
    magnetics = _made_of("packed_magnetics", tuple[Magnetic, ...])
    components = _made_of("packed_components", tuple[PartSketch, ...])
    photos = _made_of("packed_photos", tuple[Photo, ...])
    corrections = _made_of("packed_corrections", tuple[Correction, ...])


class Opened:
    """A record or sketch of which each field that is asked for is made once."""

    def __init__(self, sketch: object) -> None:
        self._sketch = sketch

    def __getattr__(self, name: str) -> Any:
        value = vars(self)[name] = getattr(self._sketch, name)
        return value


def sketch_of(data: bytes) -> Sketch:
    """The sketch of a record's data."""
    return _decoder(Sketch).decode(data)


Readable = Record | Sketch | Opened
"""What has the fields of a record, made at once or when they are asked for."""
