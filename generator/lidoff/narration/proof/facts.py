"""Every quantity that a record and its figures hold, with the place and what it belongs to."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from lidoff.engineering.usb_pd_objects import decode_source_object
from lidoff.engineering.usb_pd_supplies import FixedSupply, ProgrammableSupply
from lidoff.entry import Entry
from lidoff.figures.part_roles import part_roles
from lidoff.figures.rows import measured
from lidoff.narration.proof.quantities import quantities
from lidoff.narration.proof.units import UNITS, Unit, unit_of_field
from lidoff.record.model.fields import defaults_of
from lidoff.record.model.record import Record

NAMED_BY = ("ref", "port", "victim", "id")
# figures that belong to the parts with these roles
FIGURE_ROLES = {
    **dict.fromkeys(
        (
            "bulk_capacitance_uf",
            "bulk_uf_per_w",
            "bulk_peak_v",
            "bulk_voltage_margin_pct",
            "bulk_valley_v",
            "stored_energy_j",
        ),
        ("bulk-capacitor", "low-line-bulk-capacitor"),
    ),
    "switch_stress_v": ("primary-switch",),
    "sync_rectifier_stress_v": ("sync-rectifier", "rectifier-diode"),
    "y_touch_current_ua": ("y-capacitor",),
    "peak_flux_mt": ("transformer",),
    "inrush_peak_a": ("inrush-thermistor",),
}
PORT = "@"  # before the name of a port, since a part may have the same


@dataclass(frozen=True, slots=True)
class Fact:
    """One quantity: its field, its held value, its unit, and the ports, parts and samples that it belongs to."""

    field: str
    value: float
    unit: Unit
    names: frozenset[str] = frozenset()

    @property
    def text(self) -> str:
        """The value and where the record says it."""
        return f"{self.unit.shown(self.value):.4g} {self.unit.name} ({self.field})"


@dataclass(frozen=True, slots=True)
class Pair:
    """A voltage with its current, as a port offers it or as it was loaded."""

    voltage: float
    current: float
    field: str
    names: frozenset[str]


@dataclass(frozen=True, slots=True)
class Size:
    """The edges of one thing, in mm."""

    edges: tuple[float, ...]
    field: str

    @property
    def text(self) -> str:
        """The edges and where the record has them."""
        return f"{' × '.join(f'{edge:g}' for edge in self.edges)} mm ({self.field})"


def sizes_of(record: Record) -> tuple[Size, ...]:
    """The sizes of the body, of the bare assembly and of the boards."""
    taken = measured(record)
    bodies = [("measured.body_mm", taken.body_mm)]
    bodies += [(f"measured.other_samples[{place}]", one.body_mm) for place, one in enumerate(taken.other_samples)]
    found = [Size(body.size, field) for field, body in bodies if body]
    found += [Size(body.with_prongs, field) for field, body in bodies if body and body.with_prongs]
    if taken.assembly_mm:
        found.append(Size(taken.assembly_mm, "measured.assembly_mm"))
    found += [Size(board.size_mm, f"boards.{board.id}") for board in record.boards if board.size_mm]
    spaced = [
        Size((row.clearance_mm, row.creepage_mm), "measured.spacing")
        for row in taken.spacing
        if row.clearance_mm and row.creepage_mm
    ]
    return (*found, *spaced)


def facts_of(entry: Entry, tiers_w: Sequence[float] = ()) -> tuple[Fact, ...]:
    """All quantities that a text may rightly state."""
    found = [*_walk(entry.record, "", frozenset()), *_figures(entry), *_derived(entry)]
    for limit in tiers_w:
        found += [Fact("tier", limit, UNITS["W"]), Fact("tier", limit + 1, UNITS["W"])]
    for pair in pairs_of(entry):
        for value, unit in ((pair.voltage, "V"), (pair.current, "A"), (pair.voltage * pair.current, "W")):
            found.append(Fact(pair.field, value, UNITS[unit], pair.names))
    return tuple(found)


def pairs_of(entry: Entry) -> tuple[Pair, ...]:
    """All voltages with their currents."""
    return tuple(_pairs(entry))


def _walk(thing: object, field: str, names: frozenset[str]) -> Iterator[Fact]:
    inner = defaults_of(type(thing))
    if inner is not None:
        names = names | _names(thing)
        for name in inner:
            yield from _walk(getattr(thing, name), f"{field}.{name}".lstrip("."), names)
    elif isinstance(thing, Mapping):
        if field.endswith("columns"):
            return
        for name, value in thing.items():
            if isinstance(value, (int, float)):
                yield Fact(f"{field}.{name}", float(value), UNITS["W"], names | {PORT + name})
    elif isinstance(thing, tuple):
        for place, one in enumerate(thing):
            yield from _walk(
                one, field if field.endswith("_mm") or field.endswith("size") else f"{field}[{place}]", names
            )
    elif isinstance(thing, str):
        for one in quantities(thing):
            yield Fact(field, one.held, one.unit, names)
    elif isinstance(thing, (int, float)) and not isinstance(thing, bool):
        name = field.replace(".size", "").split("[")[0] if field.endswith(".size") else field
        unit = "USD" if field.endswith("amount") else unit_of_field(name)
        if unit and not field.endswith("amount"):
            yield Fact(field, UNITS[unit].held(float(thing)), UNITS[unit], names)


def _names(thing: object) -> frozenset[str]:
    """The parts and ports that a piece of the record is about."""
    is_port = hasattr(thing, "connector")
    found = set(getattr(thing, "refs", None) or ())
    for key in NAMED_BY:
        name = getattr(thing, key, None)
        if isinstance(name, str):
            found.add(PORT + name if key in ("port", "victim") or is_port else name)
    return frozenset(found)


def _port(name: str) -> frozenset[str]:
    return frozenset({PORT + name})


def _figures(entry: Entry) -> Iterator[Fact]:
    spelled = {"currency/W": "", "1": "", "mW/cm²": "", "Wh": "Wh"}
    roles = part_roles(entry.record)
    for figure in entry.figures:
        unit = UNITS.get(spelled.get(figure.unit, figure.unit))
        if figure.value is not None and unit is not None:
            names = frozenset({PORT + figure.of.port} if figure.of.port else ())
            names |= frozenset(roles.refs(*FIGURE_ROLES.get(figure.id, ())))
            yield Fact(f"figure {figure.id}", unit.held(figure.value), unit, names)
            if figure.id == "bulk_uf_per_w":
                yield Fact("figure bulk_uf_per_w, for each watt", figure.value * 1e-6, UNITS["µF"])
            for value, name in ((figure.of.mains_v, "mains_v"), (figure.of.output_v, "output_v")):
                if value is not None:
                    yield Fact(f"figure {figure.id}, {name}", value, UNITS["V"], names)


def _derived(entry: Entry) -> Iterator[Fact]:
    """What people work out in their heads: efficiency of a point, sums of shares, differences between samples."""
    record, taken = entry.record, measured(entry.record)
    for row in taken.efficiency:
        if row.input_w > 0:
            share = 100 * row.output_v * row.output_a / row.input_w
            yield Fact("measured.efficiency, output over input", share, UNITS["%"], _port(row.port))
        yield Fact("measured.efficiency, output", row.output_v * row.output_a, UNITS["W"], _port(row.port))
        yield Fact(
            "measured.efficiency, lost as heat", row.input_w - row.output_v * row.output_a, UNITS["W"], _port(row.port)
        )
    for row in record.port_sharing or ():
        yield Fact(
            "port_sharing, sum", sum(row.ports.values()), UNITS["W"], frozenset(PORT + name for name in row.ports)
        )
    masses = [taken.mass_g, *(one.mass_g for one in taken.other_samples)]
    for first, second in combinations([one for one in masses if one is not None], 2):
        yield Fact("difference of masses", abs(first - second), UNITS["g"])
    for sample in record.samples:
        if sample.price and f"{sample.price.currency}" in UNITS:
            yield Fact("samples.price", sample.price.amount, UNITS[sample.price.currency])
    each = entry.figures.present("price_per_watt")
    paid = next((one.price for one in record.samples if one.price), None)
    if each and paid and paid.currency in UNITS:
        yield Fact("figure price_per_watt", each[0].value, UNITS[paid.currency])
    for row in taken.load_step:
        if row.undershoot_mv is not None:
            yield Fact("measured.load_step, undershoot over setting", row.undershoot_mv / row.set_v / 10, UNITS["%"])


def _pairs(entry: Entry) -> Iterator[Pair]:
    for port in entry.record.ports:
        names = _port(port.id)
        for offer in port.label:
            for voltage in (offer.voltage_v, offer.voltage_min_v, offer.voltage_max_v):
                if voltage is not None and offer.current_a is not None:
                    yield Pair(voltage, offer.current_a, f"ports.{port.id}.label", names)
        for capture in port.advertised or ():
            for word in capture.words:
                yield from _offered(int(word, 16), f"ports.{port.id}.advertised", names)
    taken = measured(entry.record)
    for row in taken.regulation:
        for voltage in (row.set_v, row.measured_v):
            yield Pair(voltage, row.load_a, "measured.regulation", _port(row.port))
    for row in taken.ripple:
        yield Pair(row.output_v, row.load_a, "measured.ripple", _port(row.port))
    for row in taken.efficiency:
        yield Pair(row.output_v, row.output_a, "measured.efficiency", _port(row.port))
    for row in taken.load_step:
        for current in (row.start_a, row.end_a):
            yield Pair(row.set_v, current, "measured.load_step", _port(row.port))
    for row in taken.waveforms:
        if row.output_v is not None and row.output_a is not None:
            yield Pair(row.output_v, row.output_a, "measured.waveforms", _port(row.port or ""))
    label = entry.record.label.input if entry.record.label else None
    for voltage in (label.voltage_min_v, label.voltage_max_v) if label else ():
        if voltage is not None and label.current_a is not None:
            yield Pair(voltage, label.current_a, "label.input", frozenset())


def _offered(word: int, field: str, names: frozenset[str]) -> Iterator[Pair]:
    if not word:
        return
    supply = decode_source_object(word).supply
    if isinstance(supply, FixedSupply):
        yield Pair(supply.voltage, supply.current, field, names)
    elif isinstance(supply, ProgrammableSupply):
        yield Pair(supply.voltage_max, supply.current, field, names)
        yield Pair(supply.voltage_min, supply.current, field, names)
