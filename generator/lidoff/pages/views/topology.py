"""The page of an isolated converter: what the word means, which products have it, when, at what power, with what."""

from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.entry import Entry
from lidoff.pages import addresses
from lidoff.pages.context import Context, Group
from lidoff.pages.table import Cell, Column, Grid, Link
from lidoff.pages.views.listing import all_of, newest_products
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.partners import PARTNER_COLUMNS, IdentifiedParts, partner_rows
from lidoff.pages.vocabulary import definition
from lidoff.pages.wording import capital, counted, sentence
from lidoff.rows.positions import NOT_RECORDED

MOST_SHOWN = 12


@dataclass(frozen=True, slots=True)
class TopologyView:
    """A topology's page."""

    title: str
    meaning: str
    sentence: str
    by_year: Grid | None
    controllers: Grid | None
    products: Grid | None
    all: Link | None
    others: tuple[Link, ...]
    notices: tuple[str, ...]


def topology_view(group: Group, context: Context, root: str) -> TopologyView:
    """The page of one word for the isolated converter."""
    products, everything = newest_products(
        "Products with it", group, context, root, f"topology-{group.slug}", all_of(group), topology=capital(group.name)
    )
    others = (one for one in context.topologies.values() if one.slug != group.slug)
    return TopologyView(
        title=capital(group.name),
        meaning=sentence(definition("primary", group.slug)),
        sentence=f"{capital(counted(len(group.entries), 'product'))} of {len(context.entries)} opened, as their "
        "reviewers conclude. What was opened is no sample of the market.",
        by_year=_by_year(group.entries, context, root),
        controllers=_controllers(group.entries, root),
        products=products,
        all=everything,
        others=tuple(Link(f"{one.name} ({len(one.entries)})", root + addresses.topology(one.slug)) for one in others),
        notices=demo_notices(group.entries),
    )


def _by_year(entries: Sequence[Entry], context: Context, root: str) -> Grid | None:
    """Numbers of products by year and tier."""
    tiers = [tier for tier in context.tiers.values() if any(context.tier_of(entry) == tier for entry in entries)]
    years = sorted({entry.year for entry in entries}, key=lambda year: (year is None, year))
    if not entries:
        return None
    rows = []
    for year in years:
        found = [entry for entry in entries if entry.year == year]
        counts = [sum(1 for entry in found if context.tier_of(entry).slug == tier.slug) for tier in tiers]
        label = Cell(str(year) if year is not None else NOT_RECORDED, order=year)
        rows.append(
            (label, *(Cell(str(count), order=count) for count in counts), Cell(str(len(found)), order=len(found)))
        )
    columns = (
        Column("Year"),
        *(Column(tier.name, is_number=True) for tier in tiers),
        Column("Products", is_number=True),
    )
    note = "The year is that of the launch, else of the teardown."
    return Grid("Products by year and power tier", columns, tuple(rows), notes=(note,))


def _controllers(entries: Sequence[Entry], root: str) -> Grid | None:
    rows = partner_rows(entries, IdentifiedParts(), root)
    left_out = len(rows) - MOST_SHOWN
    notes = (f"Parts that were identified, most used first{f'; {left_out} more left out' if left_out > 0 else ''}.",)
    return Grid("Controllers and switches beside it", PARTNER_COLUMNS, rows[:MOST_SHOWN], notes=notes) if rows else None
