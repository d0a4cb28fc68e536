"""The printed text of a record's label, read again, with the record's own ports and names in place of the label's."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from lidoff.bench.label_text import LabelReading, PortReading, read_label
from lidoff.checks.check import Subject
from lidoff.record.model import Record
from lidoff.record.model.label import Offer, Port

_FAMILIES = {"captive-usb-c": "usb-c"}


@dataclass(frozen=True, slots=True)
class Printed:
    """A label as read, and the place in ``ports`` of each port that it names; -1 where the record has no such port."""

    reading: LabelReading
    places: Mapping[str, int]


def printed_label(subject: Subject) -> Printed | None:
    """The printed text as read; None where the record has none."""
    record = subject.record
    if record.label is None or record.label.printed is None:
        return None
    reading = read_label(record.label.printed, _protocols(subject), _names(record))
    return Printed(reading, {port.id: _place(port, reading, record) for port in reading.ports})


def same_name(offer: Offer, subject: Subject) -> Offer:
    """An offer without its power, and with the listed name of its protocol: names and aliases are one."""
    name = offer.protocol and subject.other_protocols.name_of.get(offer.protocol, offer.protocol)
    if name == offer.protocol and offer.power_w is None:
        return offer
    return replace(offer, protocol=name, power_w=None)


def _protocols(subject: Subject) -> Iterator[str]:
    """Every name of a proprietary protocol that may stand on the label: listed ones and those of the record."""
    yield from subject.other_protocols.name_of
    for port in subject.record.ports:
        yield from port.other_protocols
        yield from (offer.protocol for offer in port.label if offer.protocol is not None)


def _names(record: Record) -> Iterator[str]:
    """Words of the label that the record knows to be about something else."""
    product, label = record.product, record.label
    for name in (product.brand, product.model, product.name, label.model, label.manufacturer, label.origin):
        if name is not None:
            yield name


def _place(found: PortReading, reading: LabelReading, record: Record) -> int:
    """Which port of the record is meant: by id, by what is printed beside it, or as the only one of its connector."""
    if found.id == "":
        return 0 if len(record.ports) == 1 else -1
    ids = {port.id: place for place, port in enumerate(record.ports)}
    if found.id in ids:
        return ids[found.id]
    printed = {port.printed_name: place for place, port in enumerate(record.ports)}
    if found.printed_name in printed:
        return printed[found.printed_name]
    if any(sign.isdigit() for sign in found.printed_name):
        return -1
    alike = [place for place, port in enumerate(record.ports) if _connector(port) == found.connector]
    is_only = sum(1 for port in reading.ports if port.connector == found.connector) == 1
    return alike[0] if len(alike) == 1 and is_only else -1


def _connector(port: Port) -> str:
    return _FAMILIES.get(port.connector, port.connector)
