"""What is kept of a log: plain data, without the libraries that make it."""

from array import array
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of a series without a gap: times [s] and values, in the order of time."""

    times: array
    values: array


@dataclass(frozen=True, slots=True)
class Curve:
    """A series to be drawn: what it is, its unit, its stretches."""

    name: str
    unit: str
    stretches: tuple[Stretch, ...]

    @property
    def low(self) -> float:
        """The lowest value."""
        return min(min(stretch.values) for stretch in self.stretches)

    @property
    def high(self) -> float:
        """The highest value."""
        return max(max(stretch.values) for stretch in self.stretches)


@dataclass(frozen=True, slots=True)
class Stay:
    """All the time near one fixed voltage [s], and the mean of the voltage there [V]."""

    nominal_v: float
    time_s: float
    mean_v: float


@dataclass(frozen=True, slots=True)
class Adjusted:
    """All the time at voltages that a device adjusted [s]: their range, the number of steady levels, their steps [V]."""

    time_s: float
    low_v: float
    high_v: float
    levels: int
    step_v: float | None


@dataclass(frozen=True, slots=True)
class Voltages:
    """Where the time of a log went, by voltage. ``other_s`` is on the way between them or without voltage."""

    stays: tuple[Stay, ...]
    adjusted: Adjusted | None
    other_s: float


@dataclass(frozen=True, slots=True)
class Peak:
    """The largest running median of the power [W] over ``window`` readings; the nearest reading and its time [s]."""

    power: float
    window: int
    at_s: float
    voltage: float | None
    current: float | None


@dataclass(frozen=True, slots=True)
class ChargeLog:
    """What a log of a charge says, in SI units. Nothing is counted for the time in gaps.

    ``volt_seconds`` is the integral of the voltage, which the uncertainty of an energy needs. ``taper_s`` runs from the
    last time that the power was near its peak to the end of the charge. ``shares`` are parts of the energy with the
    time each took. ``counter`` is the energy by the instrument's own counter.
    """

    kind: str
    samples: int
    length_s: float
    covered_s: float
    gap_s: float
    energy: float
    charge: float | None
    volt_seconds: float | None
    peak: Peak | None
    voltages: Voltages | None
    taper_s: float | None
    shares: tuple[tuple[float, float], ...]
    counter: float | None
    curves: tuple[Curve, ...]


@dataclass(frozen=True, slots=True)
class SoakLog:
    """What a log of a long run says, in SI units and °C.

    ``sustained`` is the mean power of the last five minutes, or of the last tenth of a shorter run. ``reduced_after_s``
    is when the power fell for good below 95 % of what it was at first; None where it did not.
    """

    samples: int
    length_s: float
    gap_s: float
    sustained: float | None
    reduced_after_s: float | None
    surface_c: float | None
    ambient_c: float | None
    curves: tuple[Curve, ...]
