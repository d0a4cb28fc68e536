"""What the product promises: its label, its outputs by port, what was paid for it."""

from collections.abc import Iterable
from dataclasses import dataclass

from lidoff.pages.numbers import SPACE, money, number, quantity, span
from lidoff.pages.table import Column, Fact, Field, Grid, grid_of
from lidoff.pages.views.advertised import offer_text, port_name
from lidoff.pages.vocabulary import definition, label
from lidoff.pages.wording import listed
from lidoff.record.model.label import Label, LabelInput, Port, Sharing
from lidoff.record.model.product import Sample
from lidoff.record.model.record import Record

NOT_SHARED = "Sharing of power between ports was looked for; there is none."


@dataclass(frozen=True, slots=True)
class PromiseView:
    """The promises, as printed and as read."""

    printed: str
    place: str
    facts: tuple[Fact, ...]
    outputs: Grid | None
    sharing: Grid | None
    certificates: Grid | None
    sentences: tuple[str, ...]

    @property
    def is_empty(self) -> bool:
        """Whether the record holds no promise at all."""
        return not (self.printed or self.facts or self.outputs or self.sharing or self.certificates)


def promise_view(record: Record) -> PromiseView:
    """All that is printed on the product, and what was paid."""
    printed = record.label or Label()
    shared = [row for row in record.port_sharing or () if row.basis == "label"]
    return PromiseView(
        printed=printed.printed or "",
        place=label("label_place", printed.place) if printed.place else "",
        facts=tuple(_facts(record, printed)),
        outputs=_outputs(record.ports),
        sharing=sharing_table(shared, "Shared between ports, as printed"),
        certificates=grid_of("Certificate and licence numbers, as printed", printed.certificates, _CERTIFICATE),
        sentences=(NOT_SHARED,) if record.port_sharing == () else (),
    )


_CERTIFICATE = (
    Field("Number", lambda one: one.number),
    Field("Beside", lambda one: one.scheme or ""),
)


def _facts(record: Record, printed: Label) -> Iterable[Fact]:
    product = record.product
    if product.rated_power_w is not None:
        yield Fact("Rated power", quantity(product.rated_power_w, "W"))
    if printed.total_power_w is not None and printed.total_power_w != product.rated_power_w:
        yield Fact("Total printed", quantity(printed.total_power_w, "W"))
    if printed.input is not None:
        yield Fact("Input", input_text(printed.input))
    if product.plug is not None:
        mechanism = definition("plug_mechanism", product.plug.mechanism) if product.plug.mechanism else ""
        yield Fact("Plug", label("plug_system", product.plug.system), mechanism)
    if product.protection_class is not None:
        yield Fact("Protection", definition("protection_class", product.protection_class))
    if product.supplied_cable is not None:
        yield Fact("Cable in the box", _cable(record))
    if printed.marks is not None:
        yield Fact("Marks seen", listed(label("mark", word) for word in printed.marks) if printed.marks else "none")
    for term, value in (("Model", printed.model), ("Maker", printed.manufacturer), ("Origin", printed.origin)):
        if value:
            yield Fact(f"{term} printed", value)
    prices = [price for sample in record.samples if (price := price_text(sample))]
    if prices:
        yield Fact("Paid", listed(dict.fromkeys(prices)))


def input_text(given: LabelInput) -> str:
    """The input as printed, in one line."""
    pieces = []
    if given.voltage_min_v is not None and given.voltage_max_v is not None:
        pieces.append(span(given.voltage_min_v, given.voltage_max_v, "V"))
    elif given.voltage_max_v is not None:
        pieces.append(quantity(given.voltage_max_v, "V"))
    if given.frequencies_hz:
        pieces.append(f"{listed(number(one) for one in given.frequencies_hz)}\u00a0Hz")
    if given.current_a is not None:
        pieces.append(quantity(given.current_a, "A"))
    if given.power_w is not None:
        pieces.append(quantity(given.power_w, "W"))
    return ", ".join(pieces)


def _cable(record: Record) -> str:
    cable = record.product.supplied_cable
    pieces = []
    if cable.length_m is not None:
        pieces.append(quantity(cable.length_m, "m"))
    if cable.current_a is not None:
        pieces.append(f"marked for {quantity(cable.current_a, 'A')}")
    if cable.emarked is not None:
        pieces.append("electronically marked" if cable.emarked else "without electronic marking")
    return ", ".join(pieces) or "yes"


def price_text(sample: Sample) -> str:
    """What was paid for a unit, and when; empty where it is not recorded."""
    if sample.price is None:
        return ""
    when = f" in {sample.bought}" if sample.bought else ""
    return f"{money(sample.price.amount)}{SPACE}{sample.price.currency}{when}"


def _outputs(ports: Iterable[Port]) -> Grid | None:
    rows = tuple((port_name(port), ", ".join(map(offer_text, port.label)) or "not recorded") for port in ports)
    return Grid("Outputs on the label", (Column("Port"), Column("Promised")), rows) if rows else None


def sharing_table(rows: Iterable[Sharing], caption: str) -> Grid | None:
    """How power is shared: one row for each combination of ports in use."""
    kept = list(rows)
    names = list(dict.fromkeys(port for row in kept for port in row.ports))
    ports = [Field(name, _power_at(name), is_number=True) for name in names]
    combination = Field("In use", lambda row: listed(row.ports))
    basis = Field("Known", lambda row: label("sharing_basis", row.basis) if row.basis != "label" else "")
    return grid_of(caption, kept, (combination, *ports, basis, Field("Remark", lambda row: row.note or "")))


def _power_at(name: str):
    def text(row: Sharing) -> str:
        return quantity(row.ports[name], "W") if name in row.ports else "\u2013"

    return text
