"""Findings are data: what is wrong or odd, where, and how to mend it. Printing them is done elsewhere."""

from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A place in a file: line and column count from 1, the column in code points."""

    path: str
    line: int
    column: int
    field: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding of a rule at one place.

    ``inputs`` is a digest of the values it rests on; ``answer`` is the reviewer's explanation, when the record gives one.
    """

    rule: str
    severity: Severity
    path: str
    line: int
    column: int
    field: str
    found: str
    expected: str
    fix: str
    source: str = ""
    related: tuple[Place, ...] = ()
    inputs: str = ""
    answer: str | None = None

    @property
    def order(self) -> tuple[object, ...]:
        """Sorting key: by place, then by rule; what is left decides nothing but that the order is always the same."""
        place, words = (self.path, self.line, self.column, self.rule, self.field), (self.found, self.expected, self.fix)
        return (*place, *words, self.related)


def in_order(findings: "list[Finding] | tuple[Finding, ...]") -> tuple[Finding, ...]:
    """The findings sorted by place, each once."""
    return tuple(sorted(dict.fromkeys(findings), key=lambda finding: finding.order))


def has_error(findings: "list[Finding] | tuple[Finding, ...]") -> bool:
    """Whether anything in the findings stops a build."""
    return any(finding.severity == "error" for finding in findings)
