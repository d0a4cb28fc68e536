"""What the label and the ports promise: rated power, mains range, output voltages."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from lidoff.engineering.mains_voltage import highest_mains_voltage
from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.figures.assumptions import Assumptions
from lidoff.figures.known import Absent, Known, computed, read, resting_on
from lidoff.figures.rows import of_first_sample
from lidoff.record.model import Record
from lidoff.record.model.label import LabelInput, Port

NO_INPUT = LabelInput()


@dataclass(frozen=True, slots=True)
class FixedOffer:
    """A fixed output that the label promises at a port."""

    voltage: Known
    current: Known


def rated_power(record: Record) -> Known:
    """Rated output power of the whole unit."""
    if record.product.rated_power_w is not None:
        return read("product.rated_power_w", record.product.rated_power_w, "W")
    if record.label is not None and record.label.total_power_w is not None:
        return read("label.total_power_w", record.label.total_power_w, "W")
    raise Absent("no rated power is recorded")


def label_input(record: Record) -> LabelInput:
    """The input as labelled, empty where it is not recorded."""
    return (record.label and record.label.input) or NO_INPUT


def rated_power_w(record: Record) -> float | None:
    """Rated output power in watts, None where none is recorded."""
    if record.product.rated_power_w is not None:
        return record.product.rated_power_w
    return record.label.total_power_w if record.label is not None else None


def high_line(record: Record, assumptions: Assumptions) -> Known:
    """Highest mains voltage: the highest labelled one with its tolerance."""
    labelled = label_input(record).voltage_max_v
    if labelled is None:
        return assumptions.known("high_line_v")
    voltage, tolerance = read("label.input.voltage_max_v", labelled, "V"), assumptions.known("mains_tolerance_pct")
    return resting_on(computed(highest_mains_voltage, voltage.value, tolerance.value), (voltage, tolerance))


def lowest_labelled(record: Record, assumptions: Assumptions) -> Known:
    """Lowest labelled mains voltage."""
    labelled = label_input(record).voltage_min_v
    return assumptions.known("low_line_v") if labelled is None else read("label.input.voltage_min_v", labelled, "V")


def highest_frequency(record: Record, assumptions: Assumptions) -> Known:
    """Highest labelled mains frequency."""
    labelled = label_input(record).frequencies_hz
    if not labelled:
        return assumptions.known("high_mains_hz")
    place = max(range(len(labelled)), key=labelled.__getitem__)
    return read(f"label.input.frequencies_hz[{place}]", labelled[place], "Hz")


def fixed_offers(record: Record, port: str) -> list[FixedOffer]:
    """Fixed outputs that the label promises at a port, lowest voltage first."""
    found = [
        FixedOffer(
            read(f"ports[{p}].label[{o}].voltage_v", offer.voltage_v, "V"),
            read(f"ports[{p}].label[{o}].current_a", offer.current_a, "A"),
        )
        for p, one in enumerate(record.ports)
        if one.id == port
        for o, offer in enumerate(one.label)
        if offer.kind == "fixed" and offer.voltage_v is not None and offer.current_a is not None
    ]
    return sorted(found, key=lambda offer: offer.voltage.value)


def highest_output(record: Record, ports: Iterable[str] | None = None, fixed_only: bool = False) -> Known:
    """Highest voltage that the ports promise or advertise, adjustable ranges included unless ``fixed_only``."""
    wanted = None if ports is None else set(ports)
    voltages = [
        found
        for place, port in enumerate(record.ports)
        if wanted is None or port.id in wanted
        for found in (*_labelled(port, place, fixed_only), *_advertised(record, port, place, fixed_only))
    ]
    voltage, field = max(voltages, key=lambda found: found[0], default=(0.0, ""))
    if voltage <= 0:
        raise Absent("no output voltage is recorded")
    return read(field, voltage, "V")


def _labelled(port: Port, place: int, fixed_only: bool) -> Iterator[tuple[float, str]]:
    for number, offer in enumerate(port.label):
        if fixed_only and offer.kind != "fixed":
            continue
        key = "voltage_v" if offer.voltage_max_v is None else "voltage_max_v"
        voltage = getattr(offer, key)
        if voltage is not None:
            yield voltage, f"ports[{place}].label[{number}].{key}"


def _advertised(record: Record, port: Port, place: int, fixed_only: bool) -> Iterator[tuple[float, str]]:
    for number, capture in of_first_sample(record, enumerate(port.advertised or ())):
        for position, word in enumerate(capture.words):
            kind, voltage = _highest_voltage(word)
            if voltage is not None and (kind == "fixed" or not fixed_only):
                yield voltage, f"ports[{place}].advertised[{number}].words[{position}]"


@lru_cache(maxsize=4096)
def _highest_voltage(word: str) -> tuple[str, float | None]:
    """Kind and highest voltage of an object; chargers share most of their objects, hence the cache."""
    advertised = decode_source_object(int(word, 16))
    # the adjustable object of the standard range has no voltage of its own: it ends at that of a fixed one
    return advertised.kind, getattr(advertised.supply, "voltage_max", getattr(advertised.supply, "voltage", None))
