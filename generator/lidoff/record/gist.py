"""The part of a record that is held against other records: little enough to keep thousands at hand.

A check that wants more of every record adds it here.
"""

from dataclasses import dataclass
from functools import cache

import msgspec

from lidoff.record.model.component import Ratings
from lidoff.record.model.construction import Conversion, Core
from lidoff.record.model.label import Label
from lidoff.record.model.product import Answered, Coverage, Product


@dataclass(frozen=True, slots=True)
class PartGist:
    """One component. The schema describes every field."""

    ref: str
    roles: tuple[str, ...]
    technology: str | None = None
    maker: str | None = None
    part_number: str | None = None
    identified_by: str | None = None
    strength: str | None = None
    package: str | None = None
    ratings: Ratings | None = None


@dataclass(frozen=True, slots=True)
class BoardGist:
    """One board. The schema describes every field."""

    role: str | None = None
    silkscreen: str | None = None


@dataclass(frozen=True, slots=True)
class MagneticGist:
    """One magnetic part. The schema describes every field."""

    ref: str
    core: Core | None = None


@dataclass(frozen=True, slots=True)
class PhotoGist:
    """One photo. The schema describes every field."""

    file: str


@dataclass(frozen=True, slots=True)
class WaveformGist:
    """One waveform. The schema describes every field."""

    photo: str | None = None


@dataclass(frozen=True, slots=True)
class MeasuredGist:
    """The measurements that name a picture. The schema describes every field."""

    waveforms: tuple[WaveformGist, ...] = ()


@dataclass(frozen=True, slots=True)
class RecordGist:
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
    return _decoder().decode(data)


@cache
def _decoder() -> msgspec.msgpack.Decoder:
    return msgspec.msgpack.Decoder(RecordGist)
