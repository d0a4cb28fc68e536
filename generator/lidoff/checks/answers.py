"""Answers: a warning that the reviewer explains becomes a note, until the values that it rests on change."""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import replace

from lidoff.finding import Finding
from lidoff.record.model.product import Answered

DIGITS = 8


def digest(inputs: Iterable[object]) -> str:
    """Short digest of the values that a notice rests on; empty where it names none.

    Examples
    --------
    >>> digest(())
    ''
    >>> digest((3.25, "C1")) == digest((3.25, "C1")) != digest((3.0, "C1"))
    True
    """
    values = tuple(inputs)
    return hashlib.sha256(repr(values).encode()).hexdigest()[:DIGITS] if values else ""


def apply_answers(findings: Iterable[Finding], answered: Mapping[str, tuple[Answered, ...]]) -> list[Finding]:
    """The findings, with each answered warning turned into a note that carries the answer.

    ``answered`` gives the answers of each record by its path. An answer holds for the rule and, where it names one, the
    field; it lapses when its ``inputs`` are not those of the warning, and the warning then says so.
    """
    return [_answered(finding, answered.get(finding.path, ())) for finding in findings]


def _answered(finding: Finding, answers: tuple[Answered, ...]) -> Finding:
    if finding.severity != "warning":
        return finding
    matching = [
        answer for answer in answers if answer.rule == finding.rule and answer.field in (None, finding.field)
    ]
    if not matching:
        return finding
    for answer in matching:
        if answer.inputs == finding.inputs or not finding.inputs:
            return replace(finding, severity="note", answer=answer.why)
    lapsed = f'an answer is recorded, but its inputs are not "{finding.inputs}": look again, then correct inputs and date'
    return replace(finding, fix=f"{finding.fix}; {lapsed}")
