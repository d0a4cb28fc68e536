"""What was measured beside the electrical rows, and the instruments. The schema describes every field."""

from collections.abc import Mapping
from dataclasses import dataclass

from lidoff.record.model.electrical import (
    CableDrop,
    Charging,
    EfficiencyPoint,
    EfficiencySweep,
    Inrush,
    LoadStep,
    NoLoad,
    PowerFactor,
    Protection,
    Regulation,
    Ripple,
    Soak,
)


@dataclass(frozen=True, slots=True)
class Body:
    """The body's outside."""

    size: tuple[float, float, float]
    shape: str | None = None
    prongs: str | None = None
    with_prongs: tuple[float, float, float] | None = None
    volume_cm3: float | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class OtherSample:
    """Size and mass of a further sample."""

    sample: str
    mass_g: float | None = None
    body_mm: Body | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Temperature:
    """Temperature of one spot."""

    temperature_c: float
    spot: str | None = None
    ref: str | None = None
    mains_v: float | None = None
    mains_hz: float | None = None
    ambient_c: float | None = None
    after_min: float | None = None
    ports: Mapping[str, float] | None = None
    method: str | None = None
    emissivity: float | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Event:
    """What happens to one port when something is done at another."""

    action: str
    victim: str
    interrupted_ms: float | None = None
    power_after_w: float | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Spacing:
    """Distances across an insulation."""

    across: str
    clearance_mm: float | None = None
    creepage_mm: float | None = None
    place: str | None = None
    working_v: float | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class DielectricTest:
    """A voltage test done by trained people. Never asked for."""

    across: str
    voltage_v: float
    waveform: str | None = None
    duration_s: float | None = None
    leakage_ma: float | None = None
    broke_down: bool | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class TouchCurrent:
    """Touch current measured by trained people. Never asked for."""

    mains_v: float
    current_ua: float
    mains_hz: float | None = None
    network: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Waveform:
    """Peak voltage on a node, measured by trained people. Never asked for."""

    ref: str
    peak_v: float
    node: str | None = None
    mains_v: float | None = None
    mains_hz: float | None = None
    port: str | None = None
    output_v: float | None = None
    output_a: float | None = None
    photo: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument and its stated accuracy."""

    id: str
    quantity: str
    name: str | None = None
    pct_reading: float | None = None
    pct_range: float | None = None
    range: float | None = None
    digits: int | None = None
    digit_size: float | None = None
    calibrated: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured. Nothing here is copied from a label or an advertisement."""

    body_mm: Body | None = None
    assembly_mm: tuple[float, float, float] | None = None
    mass_g: float | None = None
    other_samples: tuple[OtherSample, ...] = ()
    efficiency: tuple[EfficiencyPoint, ...] = ()
    efficiency_sweeps: tuple[EfficiencySweep, ...] = ()
    no_load: tuple[NoLoad, ...] = ()
    charging: tuple[Charging, ...] = ()
    soak: tuple[Soak, ...] = ()
    ripple: tuple[Ripple, ...] = ()
    regulation: tuple[Regulation, ...] = ()
    load_step: tuple[LoadStep, ...] = ()
    temperature: tuple[Temperature, ...] = ()
    events: tuple[Event, ...] = ()
    spacing: tuple[Spacing, ...] = ()
    dielectric_test: tuple[DielectricTest, ...] = ()
    touch_current: tuple[TouchCurrent, ...] = ()
    waveforms: tuple[Waveform, ...] = ()
    power_factor: tuple[PowerFactor, ...] = ()
    inrush: tuple[Inrush, ...] = ()
    protection: tuple[Protection, ...] = ()
    cable_drop: tuple[CableDrop, ...] = ()
