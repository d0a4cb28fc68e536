"""Data -> whether the schema holds, and what is wrong where it does not.

The fast validator says yes or no; only for a no the slower one names each fault, which ``messages`` puts into words.
"""

from collections.abc import Sequence, Set
from functools import cache

import jsonschema_rs

from lidoff.finding import Finding
from lidoff.record.marks import Marks
from lidoff.record.paths import Trail
from lidoff.record.schema import bundled, version
from lidoff.record.values import Values

_ABOUT_KEYS = ("record-missing-key", "record-unknown-key")
_FIRST_TO_SAY = ("record-conflict", "record-kind", "record-empty", "record-form")


@cache
def fast_validator() -> jsonschema_rs.Draft202012Validator:
    """The validator for the common case."""
    return jsonschema_rs.Draft202012Validator(bundled())


def holds(data: object) -> bool:
    """Whether the schema holds for data."""
    return fast_validator().is_valid(data)


def validated(values: Values, unread: frozenset[str], marks: Marks) -> tuple[bool, list[Finding]]:
    """Whether the schema holds, and a finding for each fault that no earlier finding has caused."""
    if holds(values.data):
        return True, []
    return False, _complaints(values, unread, marks)


def _complaints(values: Values, unread: frozenset[str], marks: Marks) -> list[Finding]:
    """The findings on what the schema does not allow, without those that only repeat an earlier one."""
    import jsonschema

    from lidoff.record.messages import Scene, findings_on

    scene = Scene(values.data, marks, unread, frozenset(values.holes))
    errors = jsonschema.Draft202012Validator(bundled()).iter_errors(values.data)
    fresh = [error for error in errors if not _is_echo(tuple(error.absolute_path), values.faulty)]
    findings = [finding for error in fresh for finding in findings_on(error, scene)]
    if is_other_format(values.data):
        return [finding for finding in findings if finding.rule == "record-version"]
    return _one_each(findings)


def is_other_format(data: object) -> bool:
    """Whether a record says that it is of an earlier or later format, so that nothing else in it can be judged."""
    stated = data.get("schema") if isinstance(data, dict) else None
    return type(stated) is int and stated >= 0 and stated != version()


def _is_echo(trail: Trail, faulty: Set[Trail]) -> bool:
    return any(trail[:length] in faulty for length in range(len(trail) + 1))


def _one_each(findings: Sequence[Finding]) -> list[Finding]:
    """One finding for each value: a word that is too long and of the wrong form is one mistake."""
    kept: dict[tuple, Finding] = {}
    first = {rule: number for number, rule in enumerate(_FIRST_TO_SAY)}
    for finding in sorted(findings, key=lambda one: first.get(one.rule, len(first))):
        kind = finding.rule if finding.rule in _ABOUT_KEYS else "value"
        kept.setdefault((finding.field, kind), finding)
    return list(kept.values())
