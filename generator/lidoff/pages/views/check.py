"""Pages on the checks: what each looks for, why, on whose word, and where it speaks now."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.docstrings import formula
from lidoff.pages.table import Cell, Column, Grid, Link
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.wording import counted
from lidoff.rule import Rule

SEVERITIES = {
    "error": "An error: the record can't be published before it is mended.",
    "warning": "A warning: it is shown on the product's page, and the reviewer may explain it there.",
    "note": "A note: worth knowing, nothing to mend.",
}
SCOPES = {
    "file": ("Reading a file", "It looks at one file."),
    "record": ("One record", "It looks at one record."),
    "collection": ("All records together", "It looks at all records together."),
}
MOST_NAMED = 50
_LATEX = re.compile(r"\\[a-zA-Z]|[\^_]\{")


@dataclass(frozen=True, slots=True)
class CheckView:
    """The page of a check; ``formula`` is markup of our own where the rule gives LaTeX, else a sentence."""

    id: str
    title: str
    why: str
    severity: str
    scope: str
    formula: Markup | str
    source: str
    products: tuple[Link, ...]
    others: int
    notices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChecksIndexView:
    """The list of checks by what they look at."""

    sentence: str
    groups: tuple[Grid, ...]


def concerned_by_rule(entries: Iterable[Entry]) -> Mapping[str, Sequence[Entry]]:
    """The entries that each rule now has something to say of, by its id; a rule that is silent is left out."""
    found: dict[str, list[Entry]] = {}
    for entry in entries:
        for rule in dict.fromkeys(finding.rule for finding in entry.findings):
            found.setdefault(rule, []).append(entry)
    return found


def check_view(rule: Rule, concerned: Sequence[Entry], root: str) -> CheckView:
    """The page of a rule, with the products that it now has something to say of."""
    return CheckView(
        id=rule.id,
        title=rule.title,
        why=rule.why,
        severity=SEVERITIES[rule.severity],
        scope=SCOPES[rule.scope][1],
        formula=_formula(rule.formula),
        source=rule.source,
        products=tuple(Link(entry.title, root + addresses.product(entry.slug)) for entry in concerned[:MOST_NAMED]),
        others=max(len(concerned) - MOST_NAMED, 0),
        notices=demo_notices(concerned),
    )


def checks_index_view(rules: Sequence[Rule], root: str) -> ChecksIndexView:
    """All rules, grouped by what they look at."""
    groups = []
    for scope, (title, _) in SCOPES.items():
        rows = tuple(
            (Cell(rule.title, href=root + addresses.check(rule.id)), Cell(rule.id, is_code=True), Cell(rule.severity))
            for rule in rules
            if rule.scope == scope
        )
        if rows:
            groups.append(Grid(title, (Column("What must hold"), Column("Name"), Column("Severity")), rows))
    return ChecksIndexView(f"{counted(len(rules), 'check')}, each with its reason and its source.", tuple(groups))


def _formula(given: str | None) -> Markup | str:
    """LaTeX as MathML, a sentence as it is."""
    if given is None:
        return ""
    return formula(given) if _LATEX.search(given) else given
