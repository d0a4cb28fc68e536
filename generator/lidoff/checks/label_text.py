"""The printed text of the label, read again, against the fields that were filled in from it."""

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import replace

from lidoff.bench.label_text import Combination, PortReading
from lidoff.checks.captures import amount, listed
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.label_offers import on_label
from lidoff.checks.printed_label import Printed, printed_label, same_name
from lidoff.record.model.label import Label, LabelInput, Offer, Sharing
from lidoff.rule import Rule

RULE = Rule(
    id="label-text",
    title="The label's fields say what its printed text says",
    severity="warning",
    scope="record",
    why=(
        "Input, outputs, shares and total are typed from the label, and so is its text: where the two differ, one of "
        "them is a slip. The text is read as lidoff label reads it. Only what was understood as a whole is compared, "
        "and only with fields that are filled in; names and aliases of one proprietary protocol count as the same, and "
        "an output under a protocol that the text does not name counts as the voltage and current that it prints."
    ),
    formula="numbers must be equal as printed; shares may exceed a power printed for ports together by 0.5 W a port",
    source="Lidoff's own decision",
)

FIX = "look at the label, then correct the field or label.printed"
ROUNDING = 0.5
_MOST = 4
_INPUT_FIELDS = (
    (("voltage_min_v", "voltage_max_v"), "V"),
    (("frequencies_hz",), "Hz"),
    (("current_a",), "A"),
    (("power_w",), "W"),
)


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for the input, then the total, then port by port, then the shares."""
    printed = printed_label(subject)
    if printed is None:
        return
    label = subject.record.label
    if printed.reading.input is not None and printed.reading.input_complete and label.input is not None:
        yield from _input(label.input, printed.reading.input)
    yield from _total(label, printed)
    for found in printed.reading.ports:
        yield from _port(found, printed.places[found.id], subject)
    if subject.record.port_sharing is not None:
        yield from _sharing(subject, printed)


def _input(recorded: LabelInput, printed: LabelInput) -> Iterator[Notice]:
    for keys, unit in _INPUT_FIELDS:
        values = [_values(source, keys) for source in (recorded, printed)]
        if all(values) and sorted(values[0]) != sorted(values[1]):
            field = "label.input" if len(keys) > 1 else f"label.input.{keys[0]}"
            shown = [_amounts(some, unit, " to " if len(keys) > 1 else " and ") for some in values]
            yield _notice(field, shown[0], shown[1], (*values[0], *values[1]))


def _values(source: LabelInput, keys: Sequence[str]) -> tuple[float, ...]:
    """The values under the keys; none where one of them is left out."""
    found = [getattr(source, key) for key in keys]
    if None in found:
        return ()
    return tuple(value for one in found for value in (one if isinstance(one, tuple) else (one,)))


def _amounts(values: Sequence[float], unit: str, between: str) -> str:
    return f"{between.join(f'{value:g}' for value in values)} {unit}"


def _total(label: Label, printed: Printed) -> Iterator[Notice]:
    total = printed.reading.total_power_w
    if total is not None and label.total_power_w is not None and total != label.total_power_w:
        shown = amount(label.total_power_w, "W"), amount(total, "W")
        yield _notice("label.total_power_w", *shown, (label.total_power_w, total))


def _port(found: PortReading, place: int, subject: Subject) -> Iterator[Notice]:
    """What the label prints for a port against what the record has for it, both ways."""
    if not found.complete or not found.offers:
        return
    if place < 0:
        if found.id:
            others = listed([port.id for port in subject.record.ports])
            yield _notice("ports", others, f"a port {found.printed_name} too", (found.id, others))
        return
    port = subject.record.ports[place]
    if not port.label:
        return
    field = f"ports[{place}].label"
    wanted = [same_name(offer, subject) for offer in found.offers]
    named = {offer.protocol for offer in wanted}
    recorded = [_as_printed(same_name(offer, subject), named) for offer in port.label]
    extra = [number for number, offer in enumerate(recorded) if not any(_differing(offer, one) == 0 for one in wanted)]
    missing = [offer for offer in wanted if not any(_differing(one, offer) == 0 for one in recorded)]
    for number in list(extra):
        slip = next((offer for offer in missing if _differing(recorded[number], offer) == 1), None)
        if slip is not None:
            missing.remove(slip)
            extra.remove(number)
            yield _notice(f"{field}[{number}]", on_label(port.label[number]), on_label(slip), (recorded[number], slip))
    if missing:
        shown = _offers(missing)
        yield _notice(field, f"no {shown} at {port.id}", shown, tuple(missing))
    if extra:
        first, shown = extra[0], _offers([port.label[number] for number in extra])
        inputs = tuple(recorded[number] for number in extra)
        yield _beyond(f"{field}[{first}]", shown, f"only outputs that label.printed has for {port.id}", inputs)
    yield from _powers(field, port.label, found.offers, subject)


def _as_printed(offer: Offer, named: Set[str | None]) -> Offer:
    """Most labels print an output under a proprietary protocol as one voltage, and the protocol's name nowhere."""
    if offer.kind == "proprietary" and offer.voltage_v is not None and offer.protocol not in named:
        return replace(offer, kind="fixed", protocol=None)
    return offer


def _powers(field: str, recorded: Sequence[Offer], printed: Sequence[Offer], subject: Subject) -> Iterator[Notice]:
    """Powers beside outputs, where both have one."""
    powers = {same_name(offer, subject): offer.power_w for offer in printed if offer.power_w is not None}
    for number, offer in enumerate(recorded):
        power = powers.get(same_name(offer, subject))
        if power is not None and offer.power_w is not None and power != offer.power_w:
            shown = amount(offer.power_w, "W"), amount(power, "W")
            yield _notice(f"{field}[{number}].power_w", *shown, (offer.power_w, power))


def _differing(recorded: Offer, printed: Offer) -> int:
    """How many of protocol, voltages and current differ; a current that one of them leaves out does not."""
    is_other_protocol = recorded.kind != printed.kind or recorded.protocol != printed.protocol
    is_other_voltage = (
        recorded.voltage_v != printed.voltage_v
        or recorded.voltage_min_v != printed.voltage_min_v
        or recorded.voltage_max_v != printed.voltage_max_v
    )
    is_other_current = None not in (recorded.current_a, printed.current_a) and recorded.current_a != printed.current_a
    return is_other_protocol + is_other_voltage + is_other_current


def _offers(offers: Sequence[Offer]) -> str:
    """Offers as one list, a long one cut."""
    shown = [on_label(offer) for offer in offers]
    return listed(shown if len(shown) <= _MOST else [*shown[: _MOST - 1], f"{len(shown) - _MOST + 1} more"])


def _sharing(subject: Subject, printed: Printed) -> Iterator[Notice]:
    """Each printed combination against the rows of its ports, then the rows that the text does not have."""
    record = subject.record
    rows = {number: row for number, row in enumerate(record.port_sharing) if row.basis == "label"}
    printed_sets = set()
    for one in printed.reading.combinations:
        places = [printed.places[port] for port in one.ports]
        if min(places) < 0:
            return
        names = [record.ports[place].id for place in places]
        printed_sets.add(frozenset(names))
        same = {number: row for number, row in rows.items() if set(row.ports) == set(names)}
        if same or rows or not record.port_sharing:  # rows of another basis alone say nothing of the label
            yield from _combination(one, names, same, is_begun=bool(rows))
    if printed.reading.combinations and printed.reading.combinations_complete:
        for number, row in rows.items():
            if len(row.ports) > 1 and frozenset(row.ports) not in printed_sets:
                shown, expected = _shares(row.ports.items()), "only ports together that label.printed names"
                yield _beyond(f"port_sharing[{number}].ports", shown, expected, tuple(row.ports.items()))


def _combination(
    one: Combination, names: Sequence[str], rows: Mapping[int, Sharing], is_begun: bool
) -> Iterator[Notice]:
    """A printed combination. A list that was begun may go on; one that is empty says that there is nothing."""
    if one.powers_w:
        wanted = dict(zip(names, one.powers_w, strict=True))
        differing = [number for number, row in rows.items() if dict(row.ports) != wanted]
        if rows and len(differing) == len(rows):
            recorded = rows[differing[0]].ports.items()
            inputs = (*recorded, *wanted.items())
            yield _notice(f"port_sharing[{differing[0]}].ports", _shares(recorded), _shares(wanted.items()), inputs)
        elif not rows:
            shown = _shares(wanted.items())
            notice = _notice("port_sharing", f"no row for {listed(names)}", shown, tuple(wanted.items()))
            yield replace(notice, severity="note" if is_begun else None)
    elif one.together_w is not None:
        for number, row in rows.items():
            total = sum(row.ports.values())
            if total > one.together_w + ROUNDING * len(names):
                found = f"{_shares(row.ports.items())}, together {amount(total, 'W')}"
                expected, inputs = f"{amount(one.together_w, 'W')} at most", (one.together_w, *row.ports.items())
                yield _notice(f"port_sharing[{number}].ports", found, expected, inputs)


def _shares(shares: object) -> str:
    return listed([f"{port} {amount(power, 'W')}" for port, power in shares])


def _notice(field: str, found: str, expected: str, inputs: tuple[object, ...]) -> Notice:
    return _beyond(field, found, f"{expected}, as label.printed says", inputs)


def _beyond(field: str, found: str, expected: str, inputs: tuple[object, ...]) -> Notice:
    return Notice(field, found, expected, FIX, related=(("", "label.printed"),), inputs=inputs)


CHECK = RecordCheck(RULE, run)
