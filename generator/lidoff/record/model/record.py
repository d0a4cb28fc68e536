"""The whole record. The schema describes every field."""

from dataclasses import dataclass

from lidoff.record.model.component import Component
from lidoff.record.model.construction import Board, Construction, Conversion, Magnetic
from lidoff.record.model.label import Label, Port, Sharing
from lidoff.record.model.measured import Instrument, Measured
from lidoff.record.model.picture import Photo
from lidoff.record.model.product import Answered, Correction, Coverage, Product, Sample, Teardown


@dataclass(frozen=True, slots=True)
class Record:
    """One opened charger, as its record states it."""

    schema: int
    status: str
    product: Product
    ports: tuple[Port, ...]
    demo: bool | None = None
    source: str | None = None
    summary: str | None = None
    samples: tuple[Sample, ...] = ()
    teardown: Teardown | None = None
    coverage: Coverage | None = None
    label: Label | None = None
    port_sharing: tuple[Sharing, ...] | None = None
    measured: Measured | None = None
    instruments: tuple[Instrument, ...] = ()
    construction: Construction | None = None
    boards: tuple[Board, ...] = ()
    magnetics: tuple[Magnetic, ...] = ()
    conversion: Conversion | None = None
    components: tuple[Component, ...] = ()
    photos: tuple[Photo, ...] = ()
    answered: tuple[Answered, ...] = ()
    corrections: tuple[Correction, ...] = ()
