"""Electrical measurements, a class a kind of row. The schema describes every field."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class EfficiencyPoint:
    """One point of efficiency."""

    mains_v: float
    mains_hz: float
    port: str
    output_v: float
    output_a: float
    input_w: float
    set_v: float | None = None
    load_pct: float | None = None
    load_base_a: float | None = None
    power_factor: float | None = None
    measured_at: str | None = None
    cable_mohm: float | None = None
    warm_up_min: float | None = None
    input_instrument: str | None = None
    output_instrument: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class EfficiencySweep:
    """An efficiency sweep kept in a file."""

    port: str
    log: str
    columns: Mapping[str, str]
    mains_v: float | None = None
    mains_hz: float | None = None
    set_v: float | None = None
    load_base_a: float | None = None
    measured_at: str | None = None
    warm_up_min: float | None = None
    input_instrument: str | None = None
    output_instrument: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class NoLoad:
    """Power taken with nothing drawn from the ports."""

    mains_v: float
    power_w: float
    mains_hz: float | None = None
    averaged_s: float | None = None
    state: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Charging:
    """A real charge, from a log."""

    log: str
    columns: Mapping[str, str]
    device: str | None = None
    port: str | None = None
    mains_v: float | None = None
    mains_hz: float | None = None
    start_pct: float | None = None
    end_pct: float | None = None
    ambient_c: float | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Soak:
    """A long run at a steady load."""

    ports: Mapping[str, float]
    mains_v: float | None = None
    mains_hz: float | None = None
    log: str | None = None
    columns: Mapping[str, str] | None = None
    ambient_c: float | None = None
    mounting: str | None = None
    surface_c: float | None = None
    hottest_spot: str | None = None
    after_min: float | None = None
    sustained_w: float | None = None
    foldback_after_min: float | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Ripple:
    """Ripple and noise at an output."""

    port: str
    output_v: float
    load_a: float
    mains_v: float | None = None
    mains_hz: float | None = None
    pk_pk_mv: float | None = None
    rms_mv: float | None = None
    bandwidth_mhz: float | None = None
    ceramic_nf: float | None = None
    electrolytic_uf: float | None = None
    measured_at: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Regulation:
    """Output voltage under load."""

    port: str
    set_v: float
    measured_v: float
    load_a: float
    mains_v: float | None = None
    mains_hz: float | None = None
    measured_at: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class LoadStep:
    """Answer to a sudden change of load."""

    port: str
    set_v: float
    start_a: float
    end_a: float
    mains_v: float | None = None
    mains_hz: float | None = None
    slew_a_per_us: float | None = None
    undershoot_mv: float | None = None
    overshoot_mv: float | None = None
    recovery_ms: float | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class PowerFactor:
    """Power factor and distortion at one load."""

    mains_v: float
    output_w: float
    mains_hz: float | None = None
    power_factor: float | None = None
    current_thd_pct: float | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Inrush:
    """Inrush current, measured by trained people."""

    mains_v: float
    peak_a: float
    mains_hz: float | None = None
    start: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Protection:
    """What a protection did."""

    function: str
    port: str | None = None
    set_v: float | None = None
    trip_a: float | None = None
    recovers: str | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class CableDrop:
    """Voltage lost in a cable."""

    current_a: float
    drop_mv: float
    cable: str | None = None
    length_m: float | None = None
    sample: str | None = None
    instrument: str | None = None
    note: str | None = None
