"""The part of a record that is held against other records: little enough to keep thousands at hand.

A check that wants more of every record adds it here. Thousands of records have a hundred thousand parts, so these are
structs, and the ratings of a part stay in bytes until they are asked for.
"""

import msgspec

from lidoff.record.model.component import Ratings
from lidoff.record.model.construction import Conversion, Core
from lidoff.record.model.label import Label
from lidoff.record.model.product import Answered, Coverage, Product
from lidoff.record.packed_fields import decoder, made_of, packed
from lidoff.record.spots import ALL, Wanted

NAMED: Wanted = {
    "status": ALL, "demo": ALL, "product": ALL, "label": ALL, "answered": ALL, "photos": {"file": ALL},
    "measured": {"body_mm": {"size": ALL}, "waveforms": {"photo": ALL}},
    "components": {
        "roles": {}, "technology": {}, "maker": {}, "part_number": {}, "package": {}, "ratings": ALL,
    },
}  # fmt: skip
"""What checks of the collection speak of: the places of these fields are kept. Of others, the file is read again."""


class PartGist(msgspec.Struct, frozen=True, gc=False):
    """One component. The schema describes every field."""

    ref: str
    roles: tuple[str, ...]
    technology: str | None = None
    maker: str | None = None
    part_number: str | None = None
    identified_by: str | None = None
    strength: str | None = None
    package: str | None = None
    packed_ratings: msgspec.Raw = packed("ratings")

    ratings = made_of("packed_ratings", Ratings | None)


class BoardGist(msgspec.Struct, frozen=True, gc=False):
    """One board. The schema describes every field."""

    role: str | None = None
    silkscreen: str | None = None


class MagneticGist(msgspec.Struct, frozen=True, gc=False):
    """One magnetic part. The schema describes every field."""

    ref: str
    core: Core | None = None


class PhotoGist(msgspec.Struct, frozen=True, gc=False):
    """One photo. The schema describes every field."""

    file: str


class WaveformGist(msgspec.Struct, frozen=True, gc=False):
    """One waveform. The schema describes every field."""

    photo: str | None = None


class MeasuredGist(msgspec.Struct, frozen=True, gc=False):
    """The measurements that name a picture. The schema describes every field."""

    waveforms: tuple[WaveformGist, ...] = ()


class RecordGist(msgspec.Struct, frozen=True, gc=False):
    """One record. The schema describes every field."""

    status: str
    product: Product
    demo: bool | None = None
    coverage: Coverage | None = None
    label: Label | None = None
    measured: MeasuredGist | None = None
    conversion: Conversion | None = None
    boards: tuple[BoardGist, ...] = ()
    magnetics: tuple[MagneticGist, ...] = ()
    components: tuple[PartGist, ...] = ()
    photos: tuple[PhotoGist, ...] = ()
    answered: tuple[Answered, ...] = ()


def record_gist(data: bytes) -> RecordGist:
    """The gist of a record's data."""
    return decoder(RecordGist).decode(data)
