"""How sure a power and an efficiency are, by the stated accuracy of their instruments.

Two readings of one instrument share part of their error. How much of it is an assumption; where none is given, the more
cautious value holds: voltage and current of one meter go together, output and input do not.
"""

from typing import NamedTuple

from lidoff.engineering.combined_uncertainty import difference_uncertainty, product_uncertainty, ratio_uncertainty
from lidoff.engineering.uncertainty import standard_uncertainty
from lidoff.figures.rows import accuracy_of, reading_uncertainty
from lidoff.record.model import Record
from lidoff.record.model.electrical import EfficiencyPoint

SHARED_ERROR = "same_meter_correlation"
ALTOGETHER, NOT_AT_ALL = 1.0, 0.0


class PowerSpread(NamedTuple):
    """Standard uncertainties of output and input power of one point [W], and whether one meter gave both."""

    output_w: float
    input_w: float
    is_one_meter: bool

    def of_efficiency(self, row: EfficiencyPoint, shared: float | None = None) -> float:
        """Standard uncertainty of the efficiency; ``shared`` is the correlation of two readings of one meter."""
        given = row.output_v * row.output_a
        return ratio_uncertainty(given, self.output_w, row.input_w, self.input_w, self._correlation(shared))

    def of_loss(self, shared: float | None = None) -> float:
        """Standard uncertainty of the loss [W]."""
        return difference_uncertainty(self.input_w, self.output_w, self._correlation(shared))

    def _correlation(self, shared: float | None) -> float:
        return shared if shared is not None and self.is_one_meter else NOT_AT_ALL


def power_spread(record: Record, row: EfficiencyPoint, shared: float | None = None) -> PowerSpread | None:
    """How sure the two powers of a point are; None where the accuracy of either instrument is not recorded."""
    at_output, at_input = row.output_instrument or row.instrument, row.input_instrument or row.instrument
    output = power_uncertainty(record, at_output, row.output_v, row.output_a, shared)
    taken = reading_uncertainty(record, at_input, "power", row.input_w)
    return None if output is None or taken is None else PowerSpread(output, taken, at_output == at_input)


def power_uncertainty(
    record: Record, instrument: str | None, voltage: float, current: float, shared: float | None = None
) -> float | None:
    """Standard uncertainty of voltage times current [W]: by the accuracy for power, else by those of the two."""
    direct = reading_uncertainty(record, instrument, "power", voltage * current)
    if direct is not None:
        return direct
    u_voltage = reading_uncertainty(record, instrument, "voltage", voltage)
    u_current = reading_uncertainty(record, instrument, "current", current)
    if u_voltage is None or u_current is None:
        return None
    return product_uncertainty(voltage, u_voltage, current, u_current, ALTOGETHER if shared is None else shared)


def energy_uncertainty(
    record: Record, instrument: str | None, energy: float, covered_s: float,
    charge: float | None = None, volt_seconds: float | None = None, shared: float | None = None,
) -> float | None:  # fmt: skip
    """Standard uncertainty of an energy [J]: an instrument errs in the same sense from the first reading to the last.

    A meter of power errs by a share of the energy and by a fixed power all the time; with separate accuracies a fixed
    voltage error counts with the charge, a fixed current error with the integral of the voltage.
    """
    power = accuracy_of(record, instrument, "power")
    if power is not None:
        return standard_uncertainty(power.share * abs(energy) + power.fixed * covered_s)
    voltage, current = accuracy_of(record, instrument, "voltage"), accuracy_of(record, instrument, "current")
    if voltage is None or current is None or charge is None or volt_seconds is None:
        return None
    by_voltage = standard_uncertainty(voltage.share * abs(energy) + voltage.fixed * abs(charge))
    by_current = standard_uncertainty(current.share * abs(energy) + current.fixed * abs(volt_seconds))
    return product_uncertainty(1.0, by_voltage, 1.0, by_current, ALTOGETHER if shared is None else shared)
