"""What an output on a label is, and what a power beside it is of; where there are two answers, why."""

from dataclasses import dataclass, replace
from typing import Literal

from lidoff.bench.label_text.phrases import Output, Power
from lidoff.bench.label_text.quantities import Quantity
from lidoff.engineering.usb_pd_pps import nominal_pps_voltage, pps_ranges
from lidoff.record.model.label import Offer

VOLTAGE_LIMITS = (3.0, 50.0)
HIGHEST_CURRENT = 20.0
HIGHEST_POWER = 500.0
LOWEST_MAINS = 80.0
"""A voltage from here on is the mains', one below is an output's, where the label has no word for it."""
_LOWEST_BARE_RANGE = 5.0


@dataclass(frozen=True, slots=True)
class Heading:
    """The protocols that stand over outputs. ``used`` once one came below, ``spent`` where it held for that alone."""

    kinds: frozenset[str]
    name: str = ""
    colon: bool = False
    used: bool = False
    spent: bool = False

    def joined(self, other: "Heading") -> "Heading":
        """Two headings beside each other."""
        return Heading(self.kinds | other.kinds, self.name or other.name, self.colon or other.colon)


def spent(heading: Heading | None) -> Heading | None:
    """The heading after an output below it: a name without a colon may have meant that output alone."""
    return heading and replace(heading, used=True, spent=heading.name != "" and not heading.colon)


def offers_of(output: Output, heading: Heading | None) -> tuple[Offer, ...] | str:
    """The offers that an output stands for, or why that can't be said."""
    voltage, current = output.voltage, output.current
    for quantity in (voltage, current):
        if quantity is not None and quantity.doubt:
            return quantity.doubt
    kind = _kind(voltage, heading)
    if kind not in ("fixed", "pps", "avs", "proprietary"):
        return kind
    if current is None and kind in ("fixed", "pps"):
        return "a voltage without a current"
    if current is not None and current.joint:
        return "several currents where one is expected"
    fault = _out_of_limits(voltage, current)
    if fault:
        return fault
    beside = {
        "current_a": current.high if current else None,
        "protocol": heading.name if kind == "proprietary" else None,
    }
    if voltage.joint == "range":
        return (Offer(kind, voltage_min_v=voltage.low, voltage_max_v=voltage.high, **beside),)
    return tuple(Offer(kind, voltage_v=value, **beside) for value in voltage.values)


def _kind(voltage: Quantity, heading: Heading | None) -> str:
    """The kind of offer, or why it can't be told."""
    kinds = heading.kinds if heading else frozenset()
    if heading and heading.name:
        if heading.spent:
            return f"may belong to {heading.name} before it or not"
        return "proprietary" if kinds == {"proprietary"} else "may be of one protocol or another"
    if "ufcs" in kinds:
        return "an output of UFCS, for which the label has no kind"
    if voltage.joint != "range":
        only_range = kinds and kinds <= {"pps", "avs"} and not heading.used
        return "one voltage where PPS and AVS have a range" if only_range else "fixed"
    if {"pps", "avs"} <= kinds:
        return "may be PPS or AVS"
    named = kinds & {"pps", "avs"}
    if named:
        return next(iter(named))
    is_pps = any(voltage.low in one.minima and voltage.high == one.maximum for one in pps_ranges())
    if is_pps and voltage.low < _LOWEST_BARE_RANGE:
        return "pps"
    return "a range of voltages without its protocol, such as PPS or AVS"


def _out_of_limits(voltage: Quantity, current: Quantity | None) -> str:
    low, high = VOLTAGE_LIMITS
    if voltage.low < low or voltage.high > high:
        return f"an output voltage of {low:g} to {high:g} V is expected"
    if current is not None and not 0 < current.high <= HIGHEST_CURRENT:
        return f"an output current of up to {HIGHEST_CURRENT:g} A is expected"
    return ""


def power_fault(power: Quantity, highest: float = HIGHEST_POWER) -> str:
    """Why a power can't be taken; empty where it can."""
    if power.doubt or power.joint:
        return power.doubt or "several powers where one is expected"
    return "" if 0 < power.high <= highest else f"a power of up to {highest:g} W is expected"


def full_power(offer: Offer) -> float:
    """Voltage times current, of a range the one it is named after or its highest; 0 where the label leaves one out."""
    voltage = offer.voltage_v if offer.voltage_v is not None else offer.voltage_max_v or 0.0
    if offer.kind == "pps":
        voltage = nominal_pps_voltage(voltage) or voltage
    return voltage * (offer.current_a or 0.0)


def rounding_w(output: Output, power: Quantity) -> float:
    """By how much a power may miss voltage times current, as current and power were rounded for print."""
    step = output.current.step if output.current else 0.0
    return output.voltage.high * step / 2 + (power.step or 1.0) / 2 + 1e-9


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands around a power that follows an output: the port's other offers, and whether more of them come."""

    own: Output
    own_offers: tuple[Offer, ...]
    others: tuple[Offer, ...]
    is_last: bool
    is_only_port: bool


def power_of(power: Power, around: Beside) -> tuple[Literal["offer", "port"], ...] | str:
    """What a power behind an output limits, or why that can't be told.

    It may be meant for that output, for the port or for all ports. Only what holds under every reading is taken: that
    the output has no more than it; that the port has no more, where no other output exceeds it and one reaches it.
    """
    watts, slack = power.quantity.high, rounding_w(around.own, power.quantity)
    own = max(full_power(offer) for offer in around.own_offers)
    reached = any(abs(full_power(offer) - watts) <= slack for offer in (*around.own_offers, *around.others))
    exceeded = any(full_power(offer) > watts + slack for offer in around.others)
    limits_port = around.is_last and not exceeded and (power.bracketed or around.is_only_port or reached)
    limits_output = abs(own - watts) <= slack or (power.bracketed and own > watts)
    if not power.quantity.maximum and not power.bracketed and own > watts + slack:
        return "a power that is less than voltage times current"
    if limits_port and power.quantity.maximum and not power.bracketed:
        return ("port",)
    if limits_output:
        return ("offer", "port") if limits_port else ("offer",)
    return ("port",) if limits_port else "a power that may be of this output, of the port or of all ports"
