"""What each port promises on the label and advertises on the wire, state by state."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lidoff.pages.drawings.offer_chart import OfferChart, offer_chart
from lidoff.pages.numbers import number, quantity, span
from lidoff.pages.table import Cell, Column, Grid
from lidoff.pages.views.offers import Offered, fixed_voltages, flags, message, summary
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, listed
from lidoff.record.model.label import Capture, Offer, Port
from lidoff.record.model.product import Sample

# the cable in the words of a state, short enough for a key
CABLES = {
    "direct": "no cable",
    "unmarked-3a": "3 A cable without marker",
    "emarked-3a": "cable marked for 3 A",
    "emarked-5a": "cable marked for 5 A",
    "emarked-epr": "cable marked for 5 A and 50 V",
    "captive": "its own cable",
}
MESSAGES = {"spr": "standard range", "epr": "extended range"}
COLUMNS = (
    Column("Position"), Column("Word"), Column("Kind"), Column("Voltage", is_number=True),
    Column("Current", is_number=True), Column("Power", is_number=True),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class State:
    """One message and the states in which it came: what was offered, the objects one by one, remarks."""

    title: str
    summary: str
    flags: str
    objects: Grid
    notes: tuple[str, ...]
    wires: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PortAnswer:
    """What one port advertised in every state that was tried."""

    title: str
    key: str
    states: tuple[State, ...]
    chart: OfferChart | None
    sentences: tuple[str, ...]


def port_name(port: Port) -> str:
    """A port with its connector and what is printed beside it."""
    printed = f", printed “{port.printed_name}”" if port.printed_name and port.printed_name != port.id else ""
    return f"{port.id} ({label('connector', port.connector)}{printed})"


def port_answers(ports: Sequence[Port], samples: Sequence[Sample]) -> tuple[PortAnswer, ...]:
    """The answers of those ports of which anything was seen."""
    return tuple(_answer(port, samples) for port in ports if _was_asked(port))


def _was_asked(port: Port) -> bool:
    return port.advertised is not None or port.protocols is not None or bool(port.other_protocols)


def _answer(port: Port, samples: Sequence[Sample]) -> PortAnswer:
    captures = port.advertised or ()
    told_apart = _told_apart(captures, samples)
    alike: dict[tuple[str, ...], list[Capture]] = {}
    for capture in captures:
        alike.setdefault(capture.words, []).append(capture)
    messages = [message(words) for words in alike]
    titles = [states_name(group, told_apart) for group in alike.values()]
    by_flags = list(map(flags, messages))
    # what all states say alike is said once, of the port
    of_port = by_flags[0] if len(set(by_flags)) == 1 else ""
    told = zip(titles, messages, alike.values(), by_flags, strict=True)
    return PortAnswer(
        title=f"Port {port_name(port)}",
        key=port.id.lower(),
        states=tuple(_state(port, *one[:3], "" if of_port else one[3]) for one in told),
        chart=offer_chart(port.id, titles, messages),
        sentences=(*_sentences(port, messages), *filter(None, (of_port,))),
    )


def _state(port: Port, title: str, objects: Sequence[Offered], group: Sequence[Capture], flags: str) -> State:
    return State(
        title=capital(title),
        summary=summary(objects),
        flags=flags,
        objects=_grid(f"{port.id}, {title}", objects),
        notes=tuple(capture.note for capture in group if capture.note),
        wires=tuple(dict.fromkeys(capture.bytes for capture in group if capture.bytes)),
    )


@dataclass(frozen=True, slots=True)
class ToldApart:
    """What has to be said to tell the captures of one port apart."""

    by_message: bool
    by_sample: bool
    first_sample: str


def _told_apart(captures: Sequence[Capture], samples: Sequence[Sample]) -> ToldApart:
    first = samples[0].id if samples else ""
    return ToldApart(
        by_message=len({capture.message for capture in captures}) > 1,
        by_sample=len({capture.sample or first for capture in captures}) > 1,
        first_sample=first,
    )


def states_name(captures: Sequence[Capture], told_apart: ToldApart) -> str:
    """The states in which one message came; where only one circumstance differs between them, that one is listed."""
    states = list(dict.fromkeys(_circumstances(capture, told_apart) for capture in captures))
    columns = [list(dict.fromkeys(column)) for column in zip(*states, strict=True)]
    if sum(len(column) > 1 for column in columns) > 1:
        return "; ".join(_joined(state) for state in states)
    return _joined(listed(filter(None, column), "or") for column in columns)


def _circumstances(capture: Capture, told_apart: ToldApart) -> tuple[str, str, str, str]:
    """Other ports, cable, message, sample: each in words, empty where it is not recorded or tells nothing apart."""
    if capture.beside:
        others = f"beside {listed(capture.beside)}"
    else:
        others = {True: "alone", False: "with other ports in use", None: ""}[capture.alone]
    return (
        others,
        CABLES.get(capture.cable, capture.cable) if capture.cable else "",
        MESSAGES.get(capture.message, capture.message) if told_apart.by_message else "",
        f"sample {capture.sample or told_apart.first_sample}" if told_apart.by_sample else "",
    )


def _joined(pieces: Iterable[str]) -> str:
    return ", ".join(piece for piece in pieces if piece) or "state not recorded"


def _grid(caption: str, objects: Sequence[Offered]) -> Grid:
    rows = tuple(
        (
            str(one.position), Cell(one.word, is_code=True), one.kind, one.voltage, one.current, one.power,
        )
        for one in objects
    )  # fmt: skip
    return Grid(caption, COLUMNS, rows)


def _sentences(port: Port, messages: Sequence[Sequence[Offered]]) -> list[str]:
    """What can be said of the port as a whole."""
    said = []
    if port.advertised == ():
        said.append("It was asked for its capabilities and gave none.")
    if port.protocols:
        said.append(f"It was seen to speak {listed(label('protocol', word) for word in port.protocols)}.")
    if port.protocols == ():
        said.append("No open charging standard was seen on it.")
    if port.other_protocols:
        said.append(f"Proprietary protocols seen: {listed(port.other_protocols)}.")
    if messages and port.label:
        said.extend(label_differences(port.label, messages))
    if port.note:
        said.append(port.note)
    return said


def label_differences(offers: Sequence[Offer], messages: Sequence[Sequence[Offered]]) -> list[str]:
    """Fixed voltages that only the label or only the captures have, in words."""
    printed = {offer.voltage_v for offer in offers if offer.kind == "fixed" and offer.voltage_v is not None}
    seen = frozenset().union(*(fixed_voltages(objects) for objects in messages))
    said = []
    if printed - seen:
        said.append(f"On the label but in no capture: {_volts(printed - seen)}.")
    if seen - printed:
        said.append(f"Advertised but not on the label: {_volts(seen - printed)}.")
    if printed and printed == seen:
        said.append("The fixed voltages on the label are those that it advertises.")
    return said


def _volts(voltages: frozenset[float] | set[float]) -> str:
    return f"{listed(number(voltage) for voltage in sorted(voltages))}\u00a0V"


def offer_text(offer: Offer) -> str:
    """An output of the label in a few words."""
    pieces = [offer.protocol or ""] if offer.kind == "proprietary" else []
    pieces += [label("offer_kind", offer.kind)] if offer.kind in ("pps", "avs") else []
    if offer.voltage_v is not None:
        pieces.append(quantity(offer.voltage_v, "V"))
    elif offer.voltage_min_v is not None and offer.voltage_max_v is not None:
        pieces.append(span(offer.voltage_min_v, offer.voltage_max_v, "V"))
    if offer.current_a is not None:
        pieces.append(quantity(offer.current_a, "A"))
    if offer.power_w is not None:
        pieces.append(f"({quantity(offer.power_w, 'W')})")
    return " ".join(piece for piece in pieces if piece)
