"""A rule is data: what it looks for, why, and on whose word."""

from dataclasses import dataclass
from typing import Literal

from lidoff.finding import Severity

Scope = Literal["file", "record", "collection"]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule, as its page and ``lidoff rule`` show it.

    ``id`` never changes meaning. ``scope`` says what the rule must see: one file, one record or all of them. ``formula`` is
    LaTeX or a plain sentence; ``source`` names edition and clause, or says "from memory" or "common practice, no source".
    """

    id: str
    title: str
    severity: Severity
    scope: Scope
    why: str
    source: str
    formula: str | None = None
