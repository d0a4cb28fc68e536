"""Label and ports: what is promised and advertised. The schema describes every field."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LabelInput:
    """What the label says of the input."""

    voltage_min_v: float | None = None
    voltage_max_v: float | None = None
    frequencies_hz: tuple[float, ...] = ()
    current_a: float | None = None
    power_w: float | None = None


@dataclass(frozen=True, slots=True)
class Certificate:
    """A certificate, licence or file number as printed."""

    number: str
    scheme: str | None = None


@dataclass(frozen=True, slots=True)
class Label:
    """What is printed on the product. Nothing here is measured."""

    printed: str | None = None
    place: str | None = None
    input: LabelInput | None = None
    total_power_w: float | None = None
    marks: tuple[str, ...] | None = None
    model: str | None = None
    manufacturer: str | None = None
    origin: str | None = None
    certificates: tuple[Certificate, ...] = ()


@dataclass(frozen=True, slots=True)
class Offer:
    """One output that the label promises."""

    kind: str
    voltage_v: float | None = None
    voltage_min_v: float | None = None
    voltage_max_v: float | None = None
    current_a: float | None = None
    power_w: float | None = None
    protocol: str | None = None


@dataclass(frozen=True, slots=True)
class Capture:
    """Source capabilities as captured from the port in one state."""

    message: str
    words: tuple[str, ...]
    alone: bool | None = None
    beside: tuple[str, ...] = ()
    cable: str | None = None
    bytes: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Port:
    """One output port."""

    id: str
    connector: str
    printed_name: str | None = None
    label: tuple[Offer, ...] = ()
    advertised: tuple[Capture, ...] | None = None
    protocols: tuple[str, ...] | None = None
    other_protocols: tuple[str, ...] = ()
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Sharing:
    """How power is shared when several ports are in use."""

    ports: Mapping[str, float]
    basis: str
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None
