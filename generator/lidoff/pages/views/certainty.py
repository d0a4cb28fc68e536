"""How sure all of this is: what was looked at, on which units, what is in doubt, what was answered or corrected."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.finding import Finding
from lidoff.pages import addresses
from lidoff.pages.numbers import edges, optional, quantity
from lidoff.pages.table import Column, Field, Grid, Link, grid_of
from lidoff.pages.views.parts_list import Doubt, doubts, marking_text
from lidoff.pages.views.promise import price_text
from lidoff.pages.views.rows import plain, word
from lidoff.pages.vocabulary import definition, label
from lidoff.pages.wording import capital, counted, listed, sentence
from lidoff.record.model.component import Component, Elsewhere
from lidoff.record.model.measured import Body, Instrument, Measured
from lidoff.record.model.product import Answered, Correction, Coverage, Teardown
from lidoff.record.model.record import Record

UNITS = {
    "power": "W", "voltage": "V", "current": "A", "energy": "Wh", "mass": "g", "length": "mm", "temperature": "°C",
    "time": "s", "resistance": "Ω", "inductance": "µH", "capacitance": "µF",
}  # fmt: skip
SEVERITY_WORDS = {"error": "Error", "warning": "Does not fit together", "note": "Worth knowing"}


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding: how grave, what was found, what was expected, which check says so, and what the reviewer answers."""

    severity: str
    found: str
    expected: str
    rule: Link
    field: str
    answer: str


@dataclass(frozen=True, slots=True)
class CertaintyView:
    """All that bears on how far the page can be trusted."""

    sentences: tuple[str, ...]
    signs: tuple[str, ...]
    samples: Grid | None
    disagreement: Grid | None
    other_parts: Grid | None
    identification: str
    doubts: tuple[Doubt, ...]
    findings: tuple[FindingView, ...]
    answered: tuple[Answered, ...]
    corrections: tuple[Correction, ...]
    instruments: Grid | None
    licence: str


def certainty_view(entry: Entry, root: str) -> CertaintyView:
    """How sure the page of an entry is."""
    record = entry.record
    answers = {finding.answer for finding in entry.findings if finding.answer}
    return CertaintyView(
        sentences=tuple(_sentences(record)),
        signs=tuple(_signs(record)),
        samples=_samples(record),
        disagreement=_disagreement(record),
        other_parts=_other_parts(record.components),
        identification=identification(record.components),
        doubts=doubts(record.components),
        findings=tuple(_finding(finding, root) for finding in entry.findings),
        answered=tuple(one for one in record.answered if one.why not in answers),
        corrections=record.corrections,
        instruments=grid_of("Instruments", record.instruments, _INSTRUMENT),
        licence=(record.teardown and record.teardown.text_license) or "",
    )


def _sentences(record: Record) -> Iterable[str]:
    if record.source is not None:
        yield f"No unit was opened for this page. It says what a public document states: {sentence(record.source)}"
    yield from _examined(record.teardown)
    yield from coverage_sentences(record.coverage)


def _examined(teardown: Teardown | None) -> Iterable[str]:
    if teardown is None:
        return
    people = f" by {listed(teardown.by)}" if teardown.by else ""
    yield f"Opened and examined on {teardown.date}{people}."
    if teardown.authenticity is not None:
        what = definition("authenticity", teardown.authenticity) or teardown.authenticity
        yield f"Is it what it says it is? {sentence(what)}"


def coverage_sentences(coverage: Coverage | None) -> Iterable[str]:
    """How much was looked at."""
    if coverage is None:
        yield "The record does not say how much was looked at, so nothing that is missing here can be taken as absent."
        return
    if coverage.boards:
        yield f"Boards examined: {sentence(definition('coverage_boards', coverage.boards) or coverage.boards)}"
    if coverage.parts:
        yield f"Parts listed: {sentence(definition('coverage_parts', coverage.parts) or coverage.parts)}"
    if coverage.label:
        yield f"Label read: {sentence(definition('coverage_label', coverage.label) or coverage.label)}"
    if coverage.hidden_by:
        yield f"Some parts were hidden by {listed(label('hidden_by', word) for word in coverage.hidden_by)}."


def identification(components: Sequence[Component]) -> str:
    """How many parts were identified and how surely, in one sentence; empty without parts."""
    if not components:
        return ""
    named = [one for one in components if one.part_number and one.identified_by != "unidentified"]
    said = f"{counted(len(components), 'line')} in the parts list, {len(named)} with a part number"
    certain, likely, guessed = (sum(one.strength == word for one in named) for word in ("certain", "likely", "guess"))
    shares = [f"{number} {word}" for number, word in ((certain, "certain"), (likely, "likely")) if number]
    shares += [counted(guessed, "guess", "guesses")] if guessed else []
    claims = sum(one.identified_by == "brand-claim" for one in components)
    rest = capital(counted(claims, "statement rests", "statements rest"))
    tail = f" {rest} on a claim of the brand alone." if claims else ""
    return f"{capital(said)}{f' ({listed(shares)})' if shares else ''}.{tail}"


def _samples(record: Record) -> Grid | None:
    return grid_of("Units that were opened or measured", record.samples, _SAMPLE)


def _disagreement(record: Record) -> Grid | None:
    """Size and mass of every sample side by side, where more than one was measured."""
    measured = record.measured
    if measured is None or not measured.other_samples:
        return None
    first = record.samples[0].id if record.samples else "first"
    bodies = [(first, measured.body_mm, measured.mass_g)]
    bodies += [(one.sample, one.body_mm, one.mass_g) for one in measured.other_samples]
    samples = (Column(f"Sample {name}", is_number=True) for name, _, _ in bodies)
    columns = (Column("Quantity"), *samples, Column("Difference"))
    sizes = [_size(body) for _, body, _ in bodies]
    masses = [optional(mass, "g") for _, _, mass in bodies]
    rows = []
    if any(sizes):
        rows.append(("Size", *(text or "not measured" for text in sizes), _agreement(sizes)))
    if any(masses):
        rows.append(("Mass", *(text or "not measured" for text in masses), _spread(measured)))
    return Grid("The samples side by side", columns, tuple(rows))


def _other_parts(components: Sequence[Component]) -> Grid | None:
    """Where another sample has another part, print or date code, beside what the first one has."""
    pairs = [(component, other) for component in components for other in component.other_samples]
    return grid_of("Where the samples have different parts", pairs, _OTHER_PART)


def _what(part: Component | Elsewhere) -> str:
    """Name, print and date code of a part, as far as they are recorded."""
    name = " ".join(piece for piece in (part.maker, part.part_number) if piece)
    printed = f"print {marking_text(part.marking)}" if marking_text(part.marking) else ""
    dated = f"date code {part.date_code}" if part.date_code else ""
    return ", ".join(piece for piece in (name, printed, dated) if piece) or "not recorded"


def _signs(record: Record) -> Iterable[str]:
    """What speaks for or against what the units say of themselves."""
    yield from record.teardown.authenticity_signs if record.teardown else ()
    for sample in record.samples:
        yield from (f"Sample {sample.id}: {sign}" for sign in sample.authenticity_signs)


def _size(body: Body | None) -> str:
    return edges(body.size) if body else ""


def _agreement(texts: Sequence[str]) -> str:
    given = {text for text in texts if text}
    if len([text for text in texts if text]) < 2:
        return "only one measured"
    return "they agree" if len(given) == 1 else "they differ"


def _spread(measured: Measured) -> str:
    masses = [one for one in (measured.mass_g, *(other.mass_g for other in measured.other_samples)) if one is not None]
    if len(masses) < 2:
        return "only one measured"
    gap = round(max(masses) - min(masses), 6)
    return f"{quantity(gap, 'g')} apart" if gap else "they agree"


def _finding(finding: Finding, root: str) -> FindingView:
    return FindingView(
        severity=SEVERITY_WORDS[finding.severity],
        found=finding.found,
        expected=finding.expected,
        rule=Link(finding.rule, root + addresses.check(finding.rule)),
        field=finding.field,
        answer=finding.answer or "",
    )


def accuracy(instrument: Instrument) -> str:
    """The stated accuracy in one line."""
    unit = UNITS.get(instrument.quantity, "")
    pieces = []
    if instrument.pct_reading is not None:
        pieces.append(f"{quantity(instrument.pct_reading, '%')} of reading")
    if instrument.pct_range is not None:
        of = f" of {quantity(instrument.range, unit)}" if instrument.range is not None else ""
        pieces.append(f"{quantity(instrument.pct_range, '%')} of range{of}")
    if instrument.digits is not None:
        size = f" of {quantity(instrument.digit_size, unit)}" if instrument.digit_size is not None else ""
        pieces.append(f"{counted(instrument.digits, 'digit')}{size}")
    return " + ".join(pieces)


_INSTRUMENT = (
    plain("Instrument", "id"),
    word("Measures", "quantity", "quantity"),
    plain("What it is", "name"),
    Field("Stated accuracy", accuracy),
    plain("Calibrated", "calibrated"),
    plain("Remark", "note"),
)
_SAMPLE = (
    plain("Sample", "id"),
    word("Where from", "source", "sample_source"),
    plain("Bought", "bought"),
    Field("Paid", lambda one: price_text(one).partition(" in ")[0]),
    plain("Hardware revision", "hardware_revision"),
    plain("Date code", "date_code"),
    Field("State on arrival", lambda one: definition("sample_condition", one.condition) if one.condition else ""),
    word("Is it what it says it is?", "authenticity", "authenticity"),
    plain("Remark", "note"),
)
_OTHER_PART = (
    Field("Part", lambda pair: pair[0].ref),
    Field("The first sample has", lambda pair: _what(pair[0])),
    Field("Sample", lambda pair: pair[1].sample),
    Field("It has", lambda pair: _what(pair[1])),
    Field("Remark", lambda pair: pair[1].note or ""),
)
