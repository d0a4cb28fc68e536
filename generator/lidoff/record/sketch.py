"""A record of which most stays packed until it is asked for: thousands are held where few are ever read as a whole.

What every list asks of every product lies open, all else is made anew at each call.
"""

from typing import Any

import msgspec

from lidoff.record.gist import WaveformGist
from lidoff.record.model.component import Candidate, Elsewhere, Marking, Ratings
from lidoff.record.model.construction import Board, Construction, Conversion, Magnetic
from lidoff.record.model.electrical import EfficiencyPoint
from lidoff.record.model.label import Label, Port
from lidoff.record.model.measured import Body
from lidoff.record.model.picture import Photo
from lidoff.record.model.product import Correction, Coverage, Product, Sample, Teardown
from lidoff.record.model.record import Record
from lidoff.record.packed_fields import NONE_OF_THEM, decoder, made_of, packed


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
    packed_marking: msgspec.Raw = packed("marking")
    packed_ratings: msgspec.Raw = packed("ratings")
    packed_candidates: msgspec.Raw = packed("candidates", NONE_OF_THEM)
    packed_other_samples: msgspec.Raw = packed("other_samples", NONE_OF_THEM)

    marking = made_of("packed_marking", Marking | None)
    ratings = made_of("packed_ratings", Ratings | None)
    candidates = made_of("packed_candidates", tuple[Candidate, ...])
    other_samples = made_of("packed_other_samples", tuple[Elsewhere, ...])


class MeasuredSketch(msgspec.Struct, frozen=True, gc=False):
    """The measurements that lists and files beside pages ask for. The schema describes every field."""

    body_mm: Body | None = None
    waveforms: tuple[WaveformGist, ...] = ()
    packed_efficiency: msgspec.Raw = packed("efficiency", NONE_OF_THEM)

    efficiency = made_of("packed_efficiency", tuple[EfficiencyPoint, ...])


class Sketch(msgspec.Struct, frozen=True, gc=False):
    """One record. The schema describes every field."""

    status: str
    product: Product
    demo: bool | None = None
    teardown: Teardown | None = None
    conversion: Conversion | None = None
    packed_summary: msgspec.Raw = packed("summary")
    packed_samples: msgspec.Raw = packed("samples", NONE_OF_THEM)
    packed_coverage: msgspec.Raw = packed("coverage")
    packed_label: msgspec.Raw = packed("label")
    packed_ports: msgspec.Raw = packed("ports", NONE_OF_THEM)
    packed_measured: msgspec.Raw = packed("measured")
    packed_construction: msgspec.Raw = packed("construction")
    packed_boards: msgspec.Raw = packed("boards", NONE_OF_THEM)
    packed_magnetics: msgspec.Raw = packed("magnetics", NONE_OF_THEM)
    packed_components: msgspec.Raw = packed("components", NONE_OF_THEM)
    packed_photos: msgspec.Raw = packed("photos", NONE_OF_THEM)
    packed_corrections: msgspec.Raw = packed("corrections", NONE_OF_THEM)

    summary = made_of("packed_summary", str | None)
    samples = made_of("packed_samples", tuple[Sample, ...])
    coverage = made_of("packed_coverage", Coverage | None)
    label = made_of("packed_label", Label | None)
    ports = made_of("packed_ports", tuple[Port, ...])
    measured = made_of("packed_measured", MeasuredSketch | None)
    construction = made_of("packed_construction", Construction | None)
    boards = made_of("packed_boards", tuple[Board, ...])
    magnetics = made_of("packed_magnetics", tuple[Magnetic, ...])
    components = made_of("packed_components", tuple[PartSketch, ...])
    photos = made_of("packed_photos", tuple[Photo, ...])
    corrections = made_of("packed_corrections", tuple[Correction, ...])


class Opened:
    """A record or sketch of which each field that is asked for is made once."""

    def __init__(self, sketch: object) -> None:
        self._sketch = sketch

    def __getattr__(self, name: str) -> Any:
        value = vars(self)[name] = getattr(self._sketch, name)
        return value


def sketch_of(data: bytes) -> Sketch:
    """The sketch of a record's data."""
    return decoder(Sketch).decode(data)


Readable = Record | Sketch | Opened
"""What has the fields of a record, made at once or when they are asked for."""
