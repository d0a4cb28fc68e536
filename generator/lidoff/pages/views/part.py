"""Pages of parts and makers: where used, for what, how sure, what is printed on them, which ratings are recorded."""

from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.pages import addresses
from lidoff.pages.context import MakerUses, PartUses, Use
from lidoff.pages.table import Cell, Column, Grid, Link
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.parts_list import certainty, marking_text
from lidoff.pages.views.ratings import ratings_text
from lidoff.pages.vocabulary import label
from lidoff.pages.wording import capital, counted, listed
from lidoff.record.model.component import Component

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
    packages: str
    comparison: str
    same_number: tuple[Link, ...]
    notices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MakerView:
    """A maker's page."""

    title: str
    sentence: str
    parts: Grid | None
    others: Grid | None
    notices: tuple[str, ...]


def part_view(part: PartUses, namesakes: Sequence[PartUses], root: str) -> PartView:
    """The page of a part; ``namesakes`` are parts of the same number by other makers."""
    return PartView(
        title=part.name,
        sentence=_where(part),
        maker=Link(part.maker, root + addresses.maker(part.maker)) if part.maker else None,
        uses=Grid("Where it is used", USE_COLUMNS, tuple(use_row(use, root) for use in part.uses)),
        markings=_markings(part.uses, root),
        ratings=_ratings(part.uses, root),
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
        sentence=f"{capital(counted(len(maker.parts), 'part'))} with a number, seen in {counted(products, 'product')}.",
        parts=_maker_parts(maker.parts, root),
        others=_others(maker.unnumbered, root),
        notices=demo_notices(use.entry for use in uses),
    )


def use_row(use: Use, root: str) -> tuple[Cell, ...]:
    """One use of a part."""
    entry, component, power = use.entry, use.component, use.entry.record.product.rated_power_w
    return (
        Cell(entry.title, href=root + addresses.product(entry.slug)),
        Cell(str(entry.year or ""), order=entry.year),
        Cell(f"{power:g}\u00a0W" if power is not None else "", order=power),
        Cell(component.ref, note=f"{component.quantity} of them" if component.quantity not in (None, 1) else ""),
        Cell(capital(roles_text(component))),
        Cell(certainty(component)),
    )


def roles_text(component: Component) -> str:
    """All that a part does."""
    return listed(label("role", role) for role in component.roles)


def all_roles(part: PartUses) -> str:
    """All that a part was seen to do."""
    return listed(dict.fromkeys(label("role", role) for use in part.uses for role in use.component.roles))


def _where(part: PartUses) -> str:
    years = sorted({entry.year for entry in part.entries if entry.year is not None})
    span = f" from {years[0]}" if len(years) == 1 else f" from {years[0]} to {years[-1]}" if years else ""
    return f"Seen in {counted(len(part.entries), 'product')}{span}, as {all_roles(part)}."


def _markings(uses: Sequence[Use], root: str) -> Grid | None:
    """Each print that was seen, with where and how well it could be read."""
    seen: dict[tuple[str, str], list[Use]] = {}
    for use in uses:
        marking = use.component.marking
        if marking is not None and marking.lines:
            seen.setdefault((marking_text(marking), marking.state), []).append(use)
    rows = tuple(
        (Cell(text, is_code=True), Cell(label("marking_state", state)), _products(found, root))
        for (text, state), found in sorted(seen.items())
    )
    columns = (Column("Print"), Column("State"), Column("Seen in"))
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
