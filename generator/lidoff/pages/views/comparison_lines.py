"""What a comparison says of one product: the same lines in the same order for every product, or the word for the gap."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import msgspec

from lidoff.entry import Entry
from lidoff.figures.catalogue import KINDS, QUESTIONS, FigureKind, Question
from lidoff.figures.figure import Figure
from lidoff.figures.show import corner_order, corner_text, shown
from lidoff.pages.absences import NOT_MEASURED, NOT_STATED, absence_of
from lidoff.pages.numbers import SPACE, edges, edges_in_inches, ounces, quantity
from lidoff.pages.views.construction import core_text
from lidoff.pages.views.head import ports_text
from lidoff.pages.views.parts_list import part_name
from lidoff.pages.views.promise import price_text
from lidoff.pages.vocabulary import definition, label
from lidoff.pages.wording import capital
from lidoff.record.model.component import Component
from lidoff.record.model.record import Record
from lidoff.rows.positions import NONE, NOT_RECORDED, absence, parts_in

SEVERAL_PARTS = 3


class Line(msgspec.Struct, frozen=True):
    """One line: section and label, the text, the same in other units, and the number with its unit if there is one.

    Where there is no text, ``missing`` is the word for the gap. A struct, since it is written to the data file of its
    product as it is.
    """

    section: str
    label: str
    text: str
    also: str = ""
    value: float | None = None
    unit: str = ""
    missing: str = ""


@dataclass(frozen=True, slots=True)
class Spec:
    """A line that is read from the record: how to say it, in other units, and as a number.

    ``missing`` is the word for a record that does not have it.
    """

    section: Question
    label: str
    text: Callable[[Record], str]
    missing: str | Callable[[Record], str]
    also: Callable[[Record], str] = lambda record: ""
    value: Callable[[Record], float | None] = lambda record: None


_LINES_OF_ONE = msgspec.msgpack.Decoder(tuple[Line, ...])


def comparison_lines(entry: Entry) -> tuple[Line, ...]:
    """All lines of one product, in the order of the reader's questions."""
    record, figures = entry.record, dict[str, list[Figure]]()
    for figure in entry.figures:
        figures.setdefault(figure.id, []).append(figure)
    return tuple([
        _recorded(record, one) if isinstance(one, Spec) else _figure(figures.get(one.id, ()), one)
        for one in _LINES
    ])  # fmt: skip


def packed_lines(entry: Entry) -> bytes:
    """The same in a tenth of the memory."""
    return msgspec.msgpack.encode(comparison_lines(entry))


def unpacked_lines(content: bytes) -> tuple[Line, ...]:
    """The lines again."""
    return _LINES_OF_ONE.decode(content)


def _recorded(record: Record, spec: Spec) -> Line:
    section, text = QUESTIONS[spec.section], spec.text(record)
    if text:
        return Line(section, spec.label, text, spec.also(record), spec.value(record))
    missing = spec.missing if isinstance(spec.missing, str) else spec.missing(record)
    return Line(section, spec.label, "", missing=missing)


def _figure(figures: Sequence[Figure], kind: FigureKind) -> Line:
    """A figure: one value, or each of its corners with what it is of on a line of its own."""
    present = [figure for figure in figures if figure.value is not None]
    if not present:
        return Line(QUESTIONS[kind.question], kind.title, "", missing=absence_of(figures))
    if len(present) == 1 and not corner_text(present[0].of):
        texts = shown(present[0], SPACE)
        return Line(QUESTIONS[kind.question], kind.title, texts.text, texts.imperial, present[0].value, present[0].unit)
    in_order = sorted(present, key=lambda one: corner_order(one.of))
    said = [": ".join(filter(None, (corner_text(one.of, SPACE), shown(one, SPACE).text))) for one in in_order]
    return Line(QUESTIONS[kind.question], kind.title, "\n".join(said))


def _power(record: Record) -> str:
    power = record.product.rated_power_w
    return quantity(power, "W") if power is not None else ""


def _size(record: Record, text: Callable[[Sequence[float]], str]) -> str:
    body = record.measured.body_mm if record.measured else None
    return text(body.size) if body else ""


def _mass(record: Record, text: Callable[[float], str]) -> str:
    mass = _mass_g(record)
    return text(mass) if mass is not None else ""


def _mass_g(record: Record) -> float | None:
    return record.measured.mass_g if record.measured else None


def _plug(record: Record) -> str:
    plug = record.product.plug
    return ", ".join(filter(None, (label("plug_system", plug.system), plug.mechanism))) if plug else ""


def _protection(record: Record) -> str:
    return label("protection_class", record.product.protection_class) if record.product.protection_class else ""


def _protocols(record: Record) -> str:
    seen = dict.fromkeys(label("protocol", word) for port in record.ports for word in port.protocols or ())
    others = dict.fromkeys(name for port in record.ports for name in port.other_protocols)
    looked_for = any(port.protocols is not None for port in record.ports)
    return ", ".join((*seen, *others)) or (NONE if looked_for else "")


def _concluded(name: str) -> Callable[[Record], str]:
    def text(record: Record) -> str:
        word = getattr(record.conversion, name) if record.conversion else None
        return capital(label(name, word)) if word else ""

    return text


def _built(name: str, vocabulary: str) -> Callable[[Record], str]:
    def text(record: Record) -> str:
        word = getattr(record.construction, name) if record.construction else None
        return capital(label(vocabulary, word)) if word else ""

    return text


def _potting(record: Record) -> str:
    potting = record.construction.potting if record.construction else None
    return definition("potting_extent", potting.extent) if potting else ""


def _core(record: Record) -> str:
    transformers = {part.ref for part in record.components if "transformer" in part.roles}
    return "\n".join(core_text(one.core) for one in record.magnetics if one.core and one.ref in transformers)


def _parts(title: str, *roles: str) -> Spec:
    """A line for the parts that fill one of the roles, with their doubt."""

    def text(record: Record) -> str:
        found = parts_in(record, roles)
        said = list(dict.fromkeys(_part(part) for part in found))
        if not said and _no_part(record, roles) == NONE:
            return NONE
        more = f"\n{len(said) - SEVERAL_PARTS} more" if len(said) > SEVERAL_PARTS else ""
        return "\n".join(said[:SEVERAL_PARTS]) + more

    return Spec("made", title, text, lambda record: _no_part(record, roles))


def _no_part(record: Record, roles: Sequence[str]) -> str:
    """What it means that no part fills one of the roles; an output that feeds its port directly needs no converter."""
    is_direct = record.conversion is not None and record.conversion.per_port == "none"
    return NONE if is_direct and roles[0].startswith("dc-dc-") else absence(record, roles)


def _part(part: Component) -> str:
    notes = [label("technology", part.technology)] if part.technology else []
    if part.strength in ("likely", "guess"):
        notes.append(part.strength)
    if part.identified_by == "brand-claim":
        notes.append("by the brand's claim")
    doubt = "; ".join(notes)
    return f"{part_name(part)} ({doubt})" if doubt else part_name(part)


def _listed_parts(record: Record) -> str:
    return definition("coverage_parts", (record.coverage and record.coverage.parts) or "")


def _samples(record: Record) -> str:
    return ", ".join(dict.fromkeys(label("sample_source", sample.source) for sample in record.samples))


SPECS = (
    Spec("promises", "Rated power", _power, NOT_STATED, value=lambda record: record.product.rated_power_w),
    Spec("promises", "Ports", lambda record: ports_text(record.ports), NOT_RECORDED),
    Spec("promises", "Plug", _plug, NOT_STATED),
    Spec("promises", "Protection class", _protection, NOT_STATED),
    Spec("promises", "Paid", lambda record: "\n".join(dict.fromkeys(filter(None, map(price_text, record.samples)))),
         NOT_STATED),
    Spec("delivers", "Body", lambda record: _size(record, edges), NOT_MEASURED,
         lambda record: _size(record, edges_in_inches)),
    Spec("delivers", "Mass", lambda record: _mass(record, lambda mass: quantity(mass, "g")), NOT_MEASURED,
         lambda record: _mass(record, ounces), _mass_g),
    Spec("delivers", "Protocols seen", _protocols, NOT_RECORDED),
    Spec("made", "Power factor correction", _concluded("pfc"), NOT_RECORDED),
    Spec("made", "Isolated converter", _concluded("primary"), NOT_RECORDED),
    Spec("made", "Secondary rectification", _concluded("secondary"), NOT_RECORDED),
    Spec("made", "Conversion for each port", _concluded("per_port"), NOT_RECORDED),
    _parts("PFC controller", "pfc-controller"),
    _parts("PFC switch", "pfc-switch"),
    _parts("Primary controller", "primary-controller"),
    _parts("Primary switch", "primary-switch"),
    _parts("Synchronous rectifier", "sync-rectifier"),
    _parts("Synchronous rectifier controller", "sync-rectifier-controller"),
    _parts("Per-port converter", "dc-dc-controller", "dc-dc-converter"),
    _parts("Protocol controller", "protocol-controller"),
    _parts("Bulk capacitors", "bulk-capacitor", "low-line-bulk-capacitor"),
    Spec("made", "Core of the transformer", _core, NOT_RECORDED),
    Spec("made", "Case", _built("enclosure_joint", "enclosure_joint"), NOT_RECORDED),
    Spec("made", "Potting", _potting, NOT_RECORDED),
    Spec("sure", "Parts listed", _listed_parts, NOT_RECORDED),
    Spec("sure", "Units", _samples, NOT_RECORDED),
    Spec("sure", "Opened", lambda record: record.teardown.date if record.teardown else "", NOT_RECORDED),
)  # fmt: skip

# the same in cubic inches stands beside the metric density; a window is no single number
SAID_ELSEWHERE = frozenset({"power_density_w_per_in3", "turns_ratio_window"})
_COMPARED = tuple(kind for kind in KINDS.values() if kind.id not in SAID_ELSEWHERE)
_LINES = tuple(
    one
    for question in QUESTIONS
    for one in (
        *(spec for spec in SPECS if spec.section == question),
        *(kind for kind in _COMPARED if kind.question == question),
    )
)
