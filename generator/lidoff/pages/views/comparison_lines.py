"""What a comparison says of one product: the same lines in the same order for every product, empty where unknown."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lidoff.entry import Entry
from lidoff.figures.catalogue import KINDS, QUESTIONS, FigureKind, Question
from lidoff.figures.figure import Figure
from lidoff.figures.show import corner_order, corner_text, shown
from lidoff.pages.numbers import SPACE, edges, edges_in_inches, ounces, quantity
from lidoff.pages.views.construction import core_text
from lidoff.pages.views.head import ports_text
from lidoff.pages.views.parts_list import part_name
from lidoff.pages.views.promise import price_text
from lidoff.pages.vocabulary import definition, label
from lidoff.pages.wording import capital
from lidoff.record.model.component import Component
from lidoff.record.model.record import Record
from lidoff.trends.positions import NONE, absence, parts_in

SEVERAL_PARTS = 3


class Line(NamedTuple):
    """One line: section and label, the text, the same in other units, and the number with its unit if there is one."""

    section: str
    label: str
    text: str
    also: str = ""
    value: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Spec:
    """A line that is read from the record: how to say it, in other units, and as a number."""

    section: Question
    label: str
    text: Callable[[Record], str]
    also: Callable[[Record], str] = lambda record: ""
    value: Callable[[Record], float | None] = lambda record: None


def comparison_lines(entry: Entry) -> tuple[Line, ...]:
    """All lines of one product, in the order of the reader's questions."""
    figures: dict[str, list[Figure]] = {}
    for figure in entry.figures:
        if figure.value is not None:
            figures.setdefault(figure.id, []).append(figure)
    return tuple(
        line for question in QUESTIONS for line in (*_recorded(entry.record, question), *_figures(figures, question))
    )


def _recorded(record: Record, question: Question) -> Iterable[Line]:
    for spec in SPECS:
        if spec.section == question:
            text = spec.text(record)
            yield Line(QUESTIONS[question], spec.label, text, spec.also(record) if text else "", spec.value(record))


def _figures(figures: Mapping[str, Sequence[Figure]], question: Question) -> Iterable[Line]:
    for kind in KINDS.values():
        if kind.question == question and kind.id not in SAID_ELSEWHERE:
            yield _figure(sorted(figures.get(kind.id, ()), key=lambda one: corner_order(one.of)), kind)


def _figure(present: Sequence[Figure], kind: FigureKind) -> Line:
    """A figure: one value, or each of its corners with what it is of on a line of its own."""
    if len(present) == 1 and not corner_text(present[0].of):
        texts = shown(present[0], SPACE)
        return Line(QUESTIONS[kind.question], kind.title, texts.text, texts.imperial, present[0].value, present[0].unit)
    said = [": ".join(filter(None, (corner_text(one.of, SPACE), shown(one, SPACE).text))) for one in present]
    return Line(QUESTIONS[kind.question], kind.title, "\n".join(said))


# the same in cubic inches stands beside the metric density; a window is no single number
SAID_ELSEWHERE = frozenset({"power_density_w_per_in3", "turns_ratio_window"})


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
    return ", ".join((*seen, *others))


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


def _parts(*roles: str) -> Callable[[Record], str]:
    """The parts that fill one of the roles, with their doubt."""

    def text(record: Record) -> str:
        found = parts_in(record, roles)
        said = list(dict.fromkeys(_part(part) for part in found))
        if not said and absence(record, roles) == NONE:
            return "none"
        more = f"\n{len(said) - SEVERAL_PARTS} more" if len(said) > SEVERAL_PARTS else ""
        return "\n".join(said[:SEVERAL_PARTS]) + more

    return text


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
    Spec("promises", "Rated power", _power, value=lambda record: record.product.rated_power_w),
    Spec("promises", "Ports", lambda record: ports_text(record.ports)),
    Spec("promises", "Plug", _plug),
    Spec("promises", "Protection class", _protection),
    Spec("promises", "Paid", lambda record: ", ".join(dict.fromkeys(filter(None, map(price_text, record.samples))))),
    Spec("delivers", "Body", lambda record: _size(record, edges), lambda record: _size(record, edges_in_inches)),
    Spec("delivers", "Mass", lambda record: _mass(record, lambda mass: quantity(mass, "g")),
         lambda record: _mass(record, ounces), _mass_g),
    Spec("delivers", "Protocols seen", _protocols),
    Spec("made", "Power factor correction", _concluded("pfc")),
    Spec("made", "Isolated converter", _concluded("primary")),
    Spec("made", "Secondary rectification", _concluded("secondary")),
    Spec("made", "Conversion for each port", _concluded("per_port")),
    Spec("made", "PFC controller", _parts("pfc-controller")),
    Spec("made", "PFC switch", _parts("pfc-switch")),
    Spec("made", "Primary controller", _parts("primary-controller")),
    Spec("made", "Primary switch", _parts("primary-switch")),
    Spec("made", "Synchronous rectifier", _parts("sync-rectifier")),
    Spec("made", "Synchronous rectifier controller", _parts("sync-rectifier-controller")),
    Spec("made", "Per-port converter", _parts("dc-dc-controller", "dc-dc-converter")),
    Spec("made", "Protocol controller", _parts("protocol-controller")),
    Spec("made", "Bulk capacitors", _parts("bulk-capacitor", "low-line-bulk-capacitor")),
    Spec("made", "Core of the transformer", _core),
    Spec("made", "Case", _built("enclosure_joint", "enclosure_joint")),
    Spec("made", "Potting", _potting),
    Spec("sure", "Parts listed", _listed_parts),
    Spec("sure", "Units", _samples),
    Spec("sure", "Opened", lambda record: record.teardown.date if record.teardown else ""),
)  # fmt: skip
