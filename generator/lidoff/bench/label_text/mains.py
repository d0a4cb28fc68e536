"""What the quantities of an input mean for the record's fields, or why that can't be said."""

from lidoff.bench.label_text.judge import LOWEST_MAINS
from lidoff.bench.label_text.phrases import Output, Single
from lidoff.bench.label_text.quantities import Quantity

_LOWEST, _HIGHEST = 10.0, 480.0
_HIGHEST_CURRENT = 20.0
_FREQUENCIES = (16.0, 440.0)
_BOTH = (50.0, 60.0)


def input_of_output(phrase: Output) -> dict[str, object] | str:
    """The fields of a mains voltage and of the current that stands with it."""
    voltage, current = phrase.voltage, phrase.current
    for quantity in (voltage, current):
        if quantity is not None and quantity.doubt:
            return quantity.doubt
    if voltage.direct:
        return "a direct voltage at the input"
    if voltage.joint == "list":
        return "separate voltages where the record has a range"
    if voltage.low < (_LOWEST if voltage.alternating else LOWEST_MAINS) or voltage.high > _HIGHEST:
        return f"a mains voltage of up to {_HIGHEST:g} V is expected"
    found: dict[str, object] = {"voltage_min_v": voltage.low, "voltage_max_v": voltage.high}
    beside = _current(current) if current is not None else {}
    return beside if isinstance(beside, str) else found | beside


def input_of_single(phrase: Single) -> dict[str, object] | str:
    """The field of a current or of frequencies."""
    quantity = phrase.quantity
    if quantity.doubt:
        return quantity.doubt
    return _current(quantity) if quantity.unit == "a" else _frequencies(quantity)


def _current(quantity: Quantity) -> dict[str, object] | str:
    if quantity.joint:
        return "several input currents where one is expected"
    if not 0 < quantity.high <= _HIGHEST_CURRENT:
        return f"an input current of up to {_HIGHEST_CURRENT:g} A is expected"
    return {"current_a": quantity.high}


def _frequencies(quantity: Quantity) -> dict[str, object] | str:
    """Frequencies; 50-60 Hz are the two, another range is one."""
    if quantity.joint == "range" and quantity.values != _BOTH:
        return "a range of frequencies where the record lists them"
    low, high = _FREQUENCIES
    if quantity.low < low or quantity.high > high or len(set(quantity.values)) < len(quantity.values):
        return f"mains frequencies of {low:g} to {high:g} Hz are expected"
    return {"frequencies_hz": quantity.values}
