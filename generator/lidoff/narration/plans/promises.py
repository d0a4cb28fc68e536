"""What it promises: name, rating, outputs, sharing, input, price."""

from collections.abc import Iterator

from lidoff.figures.show import shown
from lidoff.narration.line import DETAIL, MAY, MUST, SHOULD, Line, Subject
from lidoff.record.model.label import Offer


def lines(subject: Subject) -> Iterator[Line]:
    """Everything that can be said of the promises."""
    yield from _opening(subject)
    yield from _outputs(subject)
    yield from _sharing(subject)
    yield from _input(subject)
    yield from _price(subject)


def _opening(subject: Subject) -> Iterator[Line]:
    product, voice = subject.entry.record.product, subject.voice
    values = {"name": subject.entry.title, "kind": subject.language.word("product_kind", product.kind)}
    if product.rated_power_w is None:
        yield Line("promises/unrated", MUST, values, view="body")
    elif product.launched is None:
        yield Line("promises/rated", MUST, values | {"power": voice.quantity(product.rated_power_w, "W")}, view="body")
    else:
        more = {"power": voice.quantity(product.rated_power_w, "W"), "year": voice.year(product.launched)}
        yield Line("promises/rated-in-year", MUST, values | more, view="body")


def _outputs(subject: Subject) -> Iterator[Line]:
    record, voice = subject.entry.record, subject.voice
    strongest = [(port, best) for port in record.ports if (best := _strongest(port.label))]
    if not strongest:
        yield Line("promises/no-label", SHOULD, view="label")
        return
    port, best = max(strongest, key=lambda found: found[1].voltage_v * found[1].current_a)
    values = {
        "voltage": voice.quantity(best.voltage_v, "V"),
        "current": voice.quantity(best.current_a, "A"),
        "port": port.id,
        "count": voice.number(len(record.ports)),
    }
    yield Line(f"promises/{'one-port' if len(record.ports) == 1 else 'ports'}", MUST, values, view="label")
    steps = sorted({one.voltage_v for one in port.label if one.kind == "fixed" and one.voltage_v is not None})
    if len(steps) > 2:
        said = subject.language.listed(voice.number(step) for step in steps[:-1])
        yield Line("promises/steps", MAY, {"steps": said, "port": port.id}, view="label")
    for offer in port.label:
        if (
            offer.kind == "pps"
            and offer.voltage_min_v is not None
            and offer.voltage_max_v is not None
            and offer.current_a
        ):
            ends = {"low": voice.number(offer.voltage_min_v), "high": voice.quantity(offer.voltage_max_v, "V")}
            yield Line(
                "promises/adjustable", SHOULD, ends | {"current": voice.quantity(offer.current_a, "A")}, view="label"
            )
            break
    for other, offer in strongest:
        if other is not port:
            values = {"voltage": voice.quantity(offer.voltage_v, "V"), "current": voice.quantity(offer.current_a, "A")}
            yield Line("promises/other-port", MAY, values | {"port": other.id}, view="label")


def _strongest(offers: tuple[Offer, ...]) -> Offer | None:
    fixed = [one for one in offers if one.kind == "fixed" and one.voltage_v is not None and one.current_a is not None]
    return max(fixed, key=lambda one: one.voltage_v * one.current_a, default=None)


def _sharing(subject: Subject) -> Iterator[Line]:
    voice = subject.voice
    rows = [row for row in subject.entry.record.port_sharing or () if row.basis == "label"]
    for place, row in enumerate(rows):
        shares = subject.language.listed(
            subject.language.text("promises/share", port=port, power=voice.quantity(power, "W"))
            for port, power in row.ports.items()
        )
        yield Line(
            "promises/sharing" if place == 0 else "promises/sharing-more",
            SHOULD if place == 0 else DETAIL,
            {"shares": shares},
            view="label",
        )


def _input(subject: Subject) -> Iterator[Line]:
    label, voice, product = subject.entry.record.label, subject.voice, subject.entry.record.product
    stated = label.input if label else None
    if stated and stated.voltage_min_v is not None and stated.voltage_max_v is not None:
        values = {"low": voice.number(stated.voltage_min_v), "high": voice.quantity(stated.voltage_max_v, "V")}
        if stated.current_a is not None:
            yield Line(
                "promises/input-current", MAY, values | {"current": voice.quantity(stated.current_a, "A")}, view="label"
            )
        else:
            yield Line("promises/input", MAY, values, view="label")
    if product.protection_class is not None:
        yield Line(f"promises/class-{product.protection_class}", MAY, view="label")


def _price(subject: Subject) -> Iterator[Line]:
    record, voice = subject.entry.record, subject.voice
    paid = next((sample.price for sample in record.samples if sample.price), None)
    each = subject.entry.figures.present("price_per_watt")
    if paid and each:
        currency = subject.language.texts.get(f"currency/{paid.currency}", paid.currency)
        values = {"amount": voice.number(paid.amount), "currency": currency}
        yield Line("promises/price", MAY, values | {"each": voice.number(float(shown(each[0]).value))}, view="body")
