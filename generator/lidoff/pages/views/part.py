"""Pages of parts and makers: where used, for what, how sure, what is printed on them, which ratings are recorded."""

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from lidoff.pages import addresses
from lidoff.pages.context import MakerUses, PartUses, Use
from lidoff.pages.table import Cell, Column, Grid, Link
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.part_history import conflicts, functions_by_year
from lidoff.pages.views.partners import PARTNER_COLUMNS, IdentifiedParts, functions_of, is_identified, partner_rows
from lidoff.pages.views.parts_list import certainty, marking_text
from lidoff.pages.views.ratings import ratings_text
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, counted, listed
from lidoff.record.model.component import Component
from lidoff.record.sketch import PartSketch

MOST_PARTNERS = 12
MOST_USES = 300
USE_COLUMNS = (
    Column("Product"), Column("Year", is_number=True), Column("Power", is_number=True), Column("Part"),
    Column("What it does"), Column("How sure"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PartView:
    """A part's page."""

    title: str
    sentence: str
    maker: Link | None
    uses: Grid
    markings: Grid | None
    ratings: Grid | None
    conflicts: Grid | None
    partners: Grid | None
    candidates: Grid | None
    packages: str
    comparison: str
    same_number: tuple[Link, ...]
    notices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MakerView:
    """A maker's page."""

    title: str
    sentence: str
    by_year: Grid | None
    parts: Grid | None
    others: Grid | None
    products: str
    notices: tuple[str, ...]


def part_view(
    part: PartUses, namesakes: Sequence[PartUses], candidates: Sequence[Use], identified: IdentifiedParts, root: str
) -> PartView:
    """The page of a part; ``namesakes`` are parts of the same number by other makers.

    ``candidates`` are parts that may be this one.
    """
    return PartView(
        title=part.name,
        sentence=_where(part),
        maker=Link(part.maker, root + addresses.maker(part.maker)) if part.maker else None,
        uses=_uses(part.uses, root),
        markings=_markings(part.uses[:MOST_USES], root),
        ratings=_ratings(part.uses[:MOST_USES], root),
        conflicts=conflicts(part.uses, root),
        partners=_partners(part, identified, root),
        candidates=_candidates(part, candidates, root),
        packages=listed(dict.fromkeys(use.component.package for use in part.uses if use.component.package)),
        comparison=f"{root}compare/part/{part.slug}/" if len(part.entries) > 1 else "",
        same_number=tuple(Link(other.name, f"{root}parts/{other.slug}/") for other in namesakes),
        notices=demo_notices(use.entry for use in part.uses),
    )


def maker_view(maker: MakerUses, root: str) -> MakerView:
    """The page of a maker of parts."""
    uses = [use for part in maker.parts for use in part.uses] + list(maker.unnumbered)
    products = len({use.entry.slug for use in uses})
    return MakerView(
        title=maker.name,
        sentence=f"{capital(counted(len(maker.parts), 'part'))} with a number; seen in {counted(products, 'product')} in all.",
        by_year=functions_by_year(uses),
        parts=_maker_parts(maker.parts, root),
        others=_others(maker.unnumbered, root),
        products=f"{root}products/?{urlencode({'maker': maker.name})}",
        notices=demo_notices(use.entry for use in uses),
    )


def use_row(use: Use, root: str) -> tuple[Cell, ...]:
    """One use of a part."""
    entry, component, power = use.entry, use.component, use.entry.sketch.product.rated_power_w
    return (
        Cell(entry.title, href=root + addresses.product(entry.slug)),
        Cell(str(entry.year or ""), order=entry.year),
        Cell(f"{power:g}\u00a0W" if power is not None else "", order=power),
        Cell(component.ref, note=f"{component.quantity} of them" if component.quantity not in (None, 1) else ""),
        Cell(capital(roles_text(component))),
        Cell(certainty(component)),
    )


def roles_text(component: Component | PartSketch) -> str:
    """All that a part does."""
    return listed(label("role", role) for role in component.roles)


def all_roles(part: PartUses) -> str:
    """All that a part was seen to do."""
    return listed(dict.fromkeys(label("role", role) for use in part.uses for role in use.component.roles))


def _where(part: PartUses) -> str:
    years = sorted({entry.year for entry in part.entries if entry.year is not None})
    span = f" from {years[0]}" if len(years) == 1 else f" from {years[0]} to {years[-1]}" if years else ""
    return f"Seen in {counted(len(part.entries), 'product')}{span}, as {all_roles(part)}."


def _uses(uses: Sequence[Use], root: str) -> Grid:
    """Where a part is used, the newest first as everywhere; a common one in as many places as a page can bear."""
    note = f"The newest {MOST_USES} of {len(uses)} uses; the components file of the open data holds all."
    rows = tuple(use_row(use, root) for use in uses[:MOST_USES])
    return Grid("Where it is used", USE_COLUMNS, rows, notes=(note,) if len(uses) > MOST_USES else ())


def _markings(uses: Sequence[Use], root: str) -> Grid | None:
    """Each print that was seen, with where and how well it could be read."""
    seen: dict[tuple[str, str, str], list[Use]] = {}
    for use in uses:
        marking = use.component.marking
        if marking is not None:
            seen.setdefault((marking_text(marking), marking.state, certainty(use.component)), []).append(use)
    rows = tuple(
        (Cell(text, is_code=bool(text)), Cell(label("marking_state", state)), Cell(sure), _products(found, root))
        for (text, state, sure), found in sorted(seen.items())
    )
    columns = (Column("Print"), Column("State"), Column("How sure the part is"), Column("Seen in"))
    return Grid("Prints that were seen on it", columns, rows) if rows else None


def _ratings(uses: Sequence[Use], root: str) -> Grid | None:
    """Each set of ratings that records give, with who gives it."""
    given: dict[str, list[Use]] = {}
    for use in uses:
        text = ratings_text(use.component.ratings)
        if text:
            given.setdefault(text, []).append(use)
    rows = tuple((Cell(text), _products(found, root)) for text, found in sorted(given.items()))
    columns = (Column("Ratings"), Column("By the record of"))
    return Grid("Ratings that the records give", columns, rows) if rows else None


def _partners(part: PartUses, identified: IdentifiedParts, root: str) -> Grid | None:
    """The identified parts of the products in which this one is identified, where it has a function itself."""
    sure = [use for use in part.uses if is_identified(use.component) and functions_of(use.component)]
    entries = list({use.entry.slug: use.entry for use in sure}.values())
    rows = partner_rows(entries, identified, root, without=part.slug)
    notes = (
        f"Counted over the {counted(len(entries), 'product')} in which this part is identified in one of these "
        "functions; a part that was only guessed or claimed by a brand is left out."
        f"{f' {len(rows) - MOST_PARTNERS} less common ones are left out.' if len(rows) > MOST_PARTNERS else ''}",
    )
    return Grid("Seen together with", PARTNER_COLUMNS, rows[:MOST_PARTNERS], notes=notes) if rows else None


def _candidates(part: PartUses, uses: Sequence[Use], root: str) -> Grid | None:
    """Parts that may be this one, with what speaks for and against it."""
    rows = []
    for use in uses:
        own = use.component.part_number and addresses.part_slug(use.component.maker, use.component.part_number)
        if own == part.slug:
            continue
        one = next(it for it in use.component.candidates if addresses.part_slug(it.maker, it.part_number) == part.slug)
        title = Cell(use.entry.title, href=root + addresses.product(use.entry.slug))
        points = (Cell("; ".join(one.points_for)), Cell("; ".join(one.points_against)))
        rows.append((title, Cell(use.component.ref), Cell(capital(roles_text(use.component))), *points))
    columns = (Column("Product"), Column("Part"), Column("What it does"), Column("For it"), Column("Against it"))
    return Grid("Parts that may be this one, and are not counted", columns, tuple(rows)) if rows else None


def _products(uses: Sequence[Use], root: str) -> Cell:
    """The products of some uses: the one linked, or how many."""
    titles = {use.entry.slug: use.entry.title for use in uses}
    if len(titles) == 1:
        slug, title = next(iter(titles.items()))
        return Cell(title, href=root + addresses.product(slug))
    few = list(titles.values())[:3]
    return Cell(listed(few) if len(titles) <= 3 else f"{', '.join(few)} and {len(titles) - 3} more")


def _maker_parts(parts: Sequence[PartUses], root: str) -> Grid | None:
    rows = tuple(
        (
            Cell(part.part_number, href=f"{root}parts/{part.slug}/"),
            Cell(capital(all_roles(part))),
            Cell(str(len(part.entries)), order=len(part.entries)),
        )
        for part in parts
    )
    columns = (Column("Part number"), Column("What it does"), Column("Products", is_number=True))
    return Grid("Parts with a number", columns, rows) if rows else None


def _others(uses: Sequence[Use], root: str) -> Grid | None:
    rows = tuple(use_row(use, root) for use in uses)
    return Grid("Parts of which only the maker is known", USE_COLUMNS, rows) if rows else None
