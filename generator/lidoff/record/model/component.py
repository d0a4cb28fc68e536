"""Components with their evidence. The schema describes every field."""

from dataclasses import dataclass

import msgspec


class Ratings(msgspec.Struct, frozen=True, gc=False):
    """Ratings, from the print or from the data sheet of the identified part.

    A struct, as it has the most fields and stands in most parts: it is made of data in a tenth of the time.
    """

    voltage_v: float | None = None
    voltage_transient_v: float | None = None
    voltage_ac_v: float | None = None
    clamping_v: float | None = None
    isolation_v: float | None = None
    gate_v: float | None = None
    current_a: float | None = None
    ripple_current_a: float | None = None
    surge_current_a: float | None = None
    melting_a2s: float | None = None
    surge_energy_j: float | None = None
    resistance_ohm: float | None = None
    cold_resistance_ohm: float | None = None
    rds_on_mohm: float | None = None
    gate_charge_nc: float | None = None
    output_charge_nc: float | None = None
    capacitance_uf: float | None = None
    capacitance_nf: float | None = None
    capacitance_pf: float | None = None
    tolerance_pct: float | None = None
    esr_mohm: float | None = None
    inductance_uh: float | None = None
    power_w: float | None = None
    temperature_c: float | None = None
    life_h: float | None = None
    forward_v: float | None = None
    transfer_ratio_pct: float | None = None
    frequency_mhz: float | None = None
    safety_class: str | None = None
    fuse_speed: str | None = None
    breaking_capacity: str | None = None
    dielectric: str | None = None
    chemistry: str | None = None
    series: str | None = None


@dataclass(frozen=True, slots=True)
class Marking:
    """The print on the part."""

    state: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Candidate:
    """A part that it could be."""

    part_number: str
    maker: str | None = None
    points_for: tuple[str, ...] = ()
    points_against: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What another sample has in this place."""

    sample: str
    maker: str | None = None
    part_number: str | None = None
    marking: Marking | None = None
    date_code: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class Component:
    """One part, or several equal ones."""

    ref: str
    roles: tuple[str, ...]
    quantity: int | None = None
    board: str | None = None
    side: str | None = None
    port: str | None = None
    across: str | None = None
    technology: str | None = None
    control: tuple[str, ...] = ()
    maker: str | None = None
    part_number: str | None = None
    marking: Marking | None = None
    identified_by: str | None = None
    strength: str | None = None
    candidates: tuple[Candidate, ...] = ()
    package: str | None = None
    date_code: str | None = None
    series_string: str | None = None
    other_samples: tuple[Elsewhere, ...] = ()
    ratings: Ratings | None = None
    note: str | None = None
