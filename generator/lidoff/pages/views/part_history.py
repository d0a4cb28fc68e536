"""What records say of a part against one another, and what a maker's parts did year by year."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from lidoff.entry import Entry
from lidoff.finding import Finding
from lidoff.pages import addresses
from lidoff.pages.context import Use
from lidoff.pages.table import Cell, Column, Grid
from lidoff.pages.views.partners import FUNCTIONS, functions_of
from lidoff.pages.wording import capital

CONTRADICTION = "rating-contradiction"
OTHER = "other work"


def conflicts(uses: Sequence[Use], root: str) -> Grid | None:
    """Where the records of this part contradict one another: what one says, what the others say, the reviewer's answer."""
    rows = tuple(
        (
            Cell(use.entry.title, href=root + addresses.product(use.entry.slug)),
            Cell(capital(finding.found)),
            Cell(finding.expected),
            Cell(finding.answer or ""),
        )
        for use in uses
        for finding in _contradictions(use)
    )
    columns = (Column("By the record of"), Column("It says"), Column("Others say"), Column("The reviewer's answer"))
    return Grid("Where the records contradict one another", columns, rows) if rows else None


def contradictions_by_slug(entries: Iterable[Entry]) -> Mapping[str, Sequence[Finding]]:
    """What contradicts other records in each product, by its slug; other products may change it."""
    found = {entry.slug: [one for one in entry.findings if one.rule == CONTRADICTION] for entry in entries}
    return {slug: findings for slug, findings in found.items() if findings}


def _contradictions(use: Use) -> Iterator[Finding]:
    start = f"components[{use.place}]."
    for finding in use.entry.findings:
        if finding.rule == CONTRADICTION and finding.field.startswith(start):
            yield finding


def functions_by_year(uses: Sequence[Use]) -> Grid | None:
    """Numbers of products by what the parts do and by year."""
    years = sorted({use.entry.year for use in uses if use.entry.year is not None})
    found: dict[str, dict[int | None, set[str]]] = {}
    for use in uses:
        for function in functions_of(use.component) or (OTHER,):
            found.setdefault(function, {}).setdefault(use.entry.year, set()).add(use.entry.slug)
    if not years:
        return None
    rows = []
    for function in (*FUNCTIONS, OTHER):
        if function in found:
            counts = [len(found[function].get(year, ())) for year in years]
            total = len(set().union(*found[function].values()))
            numbers = (Cell(str(count), order=count) for count in (*counts, total))
            rows.append((Cell(capital(function)), *numbers))
    columns = (
        Column("What it does"),
        *(Column(str(year), is_number=True) for year in years),
        Column("Products", is_number=True),
    )
    note = "Numbers of products by year of the launch, else of the teardown; a product counts once in each row."
    return Grid("What its parts do, by year", columns, tuple(rows), notes=(note,))
