"""A label's reading as the fields of a record: plain data, and remarks on what no field can hold."""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, fields

from lidoff.bench.label_text.reading import Combination, LabelReading, PortReading
from lidoff.record.model.label import LabelInput, Offer
from lidoff.record.text import refused_sign

NAMELESS = "P1"
"""Stands for the one port of a label that names none."""


@dataclass(frozen=True, slots=True)
class RecordForm:
    """What goes below ``label``, ``ports`` and ``port_sharing``; ``remarks`` are sentences without a full stop."""

    label: dict[str, object]
    ports: list[dict[str, object]]
    port_sharing: list[dict[str, object]]
    remarks: tuple[str, ...]


def record_form(reading: LabelReading, printed: str) -> RecordForm:
    """The fields that a reading fills."""
    label: dict[str, object] = {"printed": _as_field(printed)}
    if reading.input is not None:
        label["input"] = _filled(reading.input)
    if reading.power_w is not None:
        label["total_power_w"] = _number(reading.power_w)
    if reading.efficiency_level is not None:
        label["marks"] = [f"efficiency-level-{reading.efficiency_level}"]
    ports = [_port(port) for port in reading.ports if port.id or port.offers or port.power_w]
    sharing = [_sharing(one) for one in reading.combinations if one.powers_w]
    return RecordForm(label, ports, sharing, tuple(_remarks(reading)))


def _as_field(printed: str) -> str:
    """The printed text as its field may hold it: one line, without signs that can't be seen, letters composed."""
    composed = unicodedata.normalize("NFC", " ".join(printed.split()))
    return "".join(sign for sign in composed if refused_sign(sign) is None)


def _port(port: PortReading) -> dict[str, object]:
    found: dict[str, object] = {"id": port.id or NAMELESS}
    if port.connector is not None:
        found["connector"] = port.connector
    if port.printed_name is not None:
        found["printed_name"] = port.printed_name
    if port.offers:
        found["label"] = [_filled(offer) for offer in port.offers]
    return found


def _sharing(one: Combination) -> dict[str, object]:
    powers = {port: _number(watts) for port, watts in zip(one.ports, one.powers_w, strict=True)}
    return {"ports": powers, "basis": "label"}


def _filled(source: LabelInput | Offer) -> dict[str, object]:
    """The fields that hold something."""
    found = {field.name: getattr(source, field.name) for field in fields(source)}
    return {name: _plain(value) for name, value in found.items() if value not in (None, ())}


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [_number(one) for one in value]
    return _number(value) if isinstance(value, float) else value


def _number(value: float) -> float | int:
    return int(value) if value == int(value) else value


def _remarks(reading: LabelReading) -> Iterator[str]:
    for port in reading.ports:
        if not port.id and (port.offers or port.power_w):
            yield f"the label names no port: write its id, such as C1 or A1, for {NAMELESS}, and its connector"
        elif port.id and port.connector is None:
            yield f"the label does not say the connector of {port.id}: add it"
        if port.power_w is not None and port.power_w != reading.power_w:
            yield f"{port.id} is limited to {port.power_w:g} W, for which a port has no field"
    for one in reading.combinations:
        names = f"{', '.join(one.ports[:-1])} and {one.ports[-1]}"
        for offer in one.offers:
            yield f"{names} share {_few_words(offer)}: port_sharing takes one power a port"
        if one.together_w is not None and not one.powers_w:
            yield f"{names} have {one.together_w:g} W together: port_sharing takes one power a port"


def _few_words(offer: Offer) -> str:
    is_one = offer.voltage_v is not None
    volts = f"{offer.voltage_v:g}" if is_one else f"{offer.voltage_min_v:g} to {offer.voltage_max_v:g}"
    return f"{volts} V {offer.current_a:g} A" if offer.current_a is not None else f"{volts} V"
