"""A name that refers to something in the record must exist there."""

import difflib
from collections.abc import Iterator, Mapping

from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.checks.walk import names_in, texts_in
from lidoff.record.model import Record
from lidoff.rule import Rule

RULE = Rule(
    id="unknown-reference",
    title="A port, part, board, sample or instrument that is named must be in the record",
    severity="error",
    scope="record",
    why=(
        "Rows of measurements, evidence and pictures point at ports, parts, boards, samples and instruments by their "
        "short names. A name that stands nowhere else is a slip of the pen, and the page would point at nothing."
    ),
    source="Lidoff's own decision",
)

KEYS = {
    "port": "ports",
    "beside": "ports",
    "victim": "ports",
    "ports": "ports",
    "board": "boards",
    "sample": "samples",
    "instrument": "instruments",
    "input_instrument": "instruments",
    "output_instrument": "instruments",
    "ref": "components",
    "refs": "components",
}
_NAMING = frozenset(KEYS)
MOST_LISTED = 12


def run(subject: Subject) -> Iterator[Notice]:
    """Notices for every name that refers to nothing."""
    known = known_names(subject.record)
    used = texts_in(subject.record, _NAMING)
    if any(not names <= known[KEYS[key]] for key, names in used.items()):
        yield from _unknown(subject.record, known)
    for position, event in enumerate(subject.record.measured.events if subject.record.measured else ()):
        port = event.action.split()[-1]
        if port not in known["ports"]:
            yield _notice(f"measured.events[{position}].action", port, "ports", known["ports"])


def _unknown(record: Record, known: Mapping[str, frozenset[str]]) -> Iterator[Notice]:
    for field, key, name in names_in(record, _NAMING):
        place = KEYS[key]
        if field.startswith("components[") and key == "ref":
            continue
        if name not in known[place]:
            yield _notice(field, name, place, known[place])


def known_names(record: Record) -> dict[str, frozenset[str]]:
    """The names that a record defines, by the list that defines them."""
    return {
        "ports": frozenset(port.id for port in record.ports),
        "boards": frozenset(board.id for board in record.boards),
        "samples": frozenset(sample.id for sample in record.samples),
        "instruments": frozenset(instrument.id for instrument in record.instruments),
        "components": frozenset(component.ref for component in record.components),
    }


def _notice(field: str, name: str, place: str, known: frozenset[str]) -> Notice:
    near = difflib.get_close_matches(name, sorted(known), n=1)
    more = f" and {len(known) - MOST_LISTED} more" if len(known) > MOST_LISTED else ""
    listed = ", ".join(sorted(known)[:MOST_LISTED]) + more
    return Notice(
        field=field,
        found=name,
        expected=f"a name from {place}: {listed}" if known else f"a name from {place}, which lists none",
        fix=f"write {near[0]}" if near else f"add {name} to {place}, or correct the name",
    )


CHECK = RecordCheck(RULE, run)
