"""Answers: a warning that the reviewer explains becomes a note, until the values that it rests on change."""

import difflib
import hashlib
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace

from lidoff.checks.check import Notice
from lidoff.finding import Finding
from lidoff.record.model.product import Answered
from lidoff.rule import Rule

DIGITS = 8

RULE = Rule(
    id="answer-without-warning",
    title="An answer belongs to a warning",
    severity="note",
    scope="record",
    why=(
        "An answer explains a warning. Where no rule of that name warns of that field any more, the record was "
        "mended, the field moved, or the name has a slip in it, and readers would find an explanation of nothing. It "
        "is looked for after all other checks, those of the whole collection included."
    ),
    source="Lidoff's own decision",
)


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
    matching = [answer for answer in answers if answer.rule == finding.rule and answer.field in (None, finding.field)]
    if not matching:
        return finding
    for answer in matching:
        if answer.inputs == finding.inputs or not finding.inputs:
            return replace(finding, severity="note", answer=answer.why)
    lapsed = f'an answer is recorded, but not with inputs "{finding.inputs}": look again, then correct inputs and date'
    return replace(finding, fix=f"{finding.fix}; {lapsed}")


def answers_without_warning(
    findings: Iterable[Finding], answered: Mapping[str, tuple[Answered, ...]], rules: Collection[str]
) -> Iterator[tuple[str, Notice]]:
    """Notices for answers that no warning among the findings asks for, with the path of their record.

    ``findings`` are those before answers are applied; ``rules`` are the ids of all rules, to tell a slip from a warning
    that has gone.
    """
    warned: dict[tuple[str, str], set[str]] = {}
    for finding in findings:
        if finding.severity == "warning":
            warned.setdefault((finding.path, finding.rule), set()).add(finding.field)
    for path, answers in answered.items():
        for place, answer in enumerate(answers):
            fields = warned.get((path, answer.rule), set())
            if not fields or (answer.field is not None and answer.field not in fields):
                yield path, _unneeded(place, answer, sorted(fields), rules)


def _unneeded(place: int, answer: Answered, fields: list[str], rules: Collection[str]) -> Notice:
    key, fix = "rule", "take the answer out"
    found = f"{answer.rule}, which warns of nothing here"
    if fields:
        key, found = "field", f"{answer.field}, of which {answer.rule} does not warn"
        fix = f"write {fields[0]} if that is meant; else take the answer out"
    elif answer.rule not in rules:
        near = difflib.get_close_matches(answer.rule, sorted(rules), n=1)
        found = f"{answer.rule}, which is no rule"
        fix = f"write {near[0]} if that is meant; else take the answer out" if near else fix
    return Notice(f"answered[{place}].{key}", found, "an answer for a warning that is there", fix)
