"""What labels of mains supplies customarily state, and what of it was not seen on this one."""

import re
from collections.abc import Iterator

from lidoff.checks.captures import listed
from lidoff.checks.check import Notice, RecordCheck, Subject
from lidoff.record.model import Record
from lidoff.record.model.label import Label, LabelInput
from lidoff.rule import Rule

RULE = Rule(
    id="label-items",
    title="A label that was read whole states what labels of mains supplies state",
    severity="note",
    scope="record",
    why=(
        "Whose it is, by name or trade mark, which model it is, what it takes from the mains and what it gives are on "
        "most labels. What was not observed on the sampled unit is worth a second look; whether it has to be there "
        "depends on the market. Judged only at `coverage.label: whole`, and each item only where the record says "
        "enough."
    ),
    source=(
        "IEC 62368-1, annex F.3 (clauses from memory); the class II symbol is IEC 60417-5172, those of alternating "
        "and direct current 5032 and 5031 (from memory)"
    ),
)

NO_INPUT = LabelInput()


def run(subject: Subject) -> Iterator[Notice]:
    """One notice with all items that were not observed."""
    record = subject.record
    if record.label is None or record.coverage is None or record.coverage.label != "whole":
        return
    items = [*_from_marks(record, record.label), *_from_fields(record, record.label)]
    if items:
        yield Notice(
            field="label.marks" if record.label.marks is not None else "label",
            found=f"not observed on the sampled unit: {', '.join(items)}",
            expected="these on most labels of mains supplies",
            fix="look again; if it is not there, leave the record as it is",
            inputs=tuple(items),
        )


def _from_marks(record: Record, label: Label) -> Iterator[str]:
    """Items that marks stand for; without a list of marks nothing is known of them."""
    marks, printed = label.marks, label.printed or ""
    if marks is None:
        return
    has_name = "manufacturer" in marks or label.manufacturer is not None
    if not has_name and _plain(record.product.brand) not in _plain(printed):
        yield "name or trade mark of the manufacturer"
    if record.product.protection_class == "ii" and not {"class-ii", "functional-earth-class-ii"} & set(marks):
        yield "class II symbol"
    if "ac-input" not in marks and not re.search(r"[~∼]|\bV?AC\b", printed, re.IGNORECASE):
        yield "nature of the input voltage (~)"
    if "dc-output" not in marks and not re.search(r"⎓|\bV?DC\b", printed, re.IGNORECASE):
        yield "nature of the output voltage (⎓)"


def _from_fields(record: Record, label: Label) -> Iterator[str]:
    """Items that have fields of their own."""
    given = label.input or NO_INPUT
    if label.model is None and label.printed and _plain(record.product.model) not in _plain(label.printed):
        yield "model"
    if given.voltage_min_v is None and given.voltage_max_v is None:
        yield "input voltage"
    if not given.frequencies_hz:
        yield "mains frequency"
    if given.current_a is None and given.power_w is None:
        yield "input current"
    silent = [port.id for port in record.ports if not port.label]
    if len(silent) == len(record.ports):
        yield "output voltage and current"
    elif silent:
        yield f"outputs of {listed(silent)}"


def _plain(text: str) -> str:
    return re.sub(r"[\W_]+", "", text).casefold()


CHECK = RecordCheck(RULE, run)
