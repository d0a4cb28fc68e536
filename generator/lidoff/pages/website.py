"""All pages and files of the site, in the order in which the publishing stage wants them."""

from collections.abc import Iterator, Sequence

from lidoff.entry import Entry
from lidoff.pages import asset_files
from lidoff.pages.context import Context, make_context
from lidoff.pages.plan import Planned
from lidoff.pages.sections import (
    checks,
    comparisons,
    groups,
    home,
    methods,
    parts,
    product_data,
    product_index,
    products,
    reference,
    trends,
)
from lidoff.pages.sections.products import product_page
from lidoff.pages.trend_tables import Trends
from lidoff.settings import Settings
from lidoff.website import Page, SiteFile, Website


def build_website(entries: Sequence[Entry], settings: Settings, *, with_drafts: bool = False) -> Website:
    """The whole site; its pages are made one by one as they are asked for, those of the navigation first."""
    context, tables = _collection(entries, settings, with_drafts)
    return Website((planned.make() for planned in plans(context, tables)), _files(context, tables))


def render_product(entry: Entry, context: Context) -> Page:
    """The page of one product."""
    return product_page(entry, context)


def find_page(address: str, entries: Sequence[Entry], settings: Settings, *, with_drafts: bool = False) -> Page | None:
    """The one page at an address, without making any other; None where there is none."""
    planned = plans(*_collection(entries, settings, with_drafts))
    return next((one.make() for one in planned if one.address == address), None)


def plans(context: Context, tables: Trends) -> Iterator[Planned]:
    """Every page of the site, those of the navigation first."""
    yield from home.index_plans(context, tables)
    yield from product_index.index_plans(context)
    yield from trends.index_plans(context, tables)
    yield from parts.index_plans(context)
    yield from comparisons.index_plans(context)
    yield from methods.index_plans(context)
    yield from checks.index_plans()
    yield from reference.index_plans()
    for section in (products, parts, groups, comparisons, checks):
        yield from section.plans(context)


def _collection(entries: Sequence[Entry], settings: Settings, with_drafts: bool) -> tuple[Context, Trends]:
    shown = [entry for entry in entries if with_drafts or not entry.is_draft]
    return make_context(shown, settings), Trends(shown, settings)


def _files(context: Context, tables: Trends) -> Iterator[SiteFile]:
    yield from asset_files.files()
    yield from product_index.files(context)
    yield from product_data.files(context)
    yield from trends.files(tables)
    yield from products.files(context)
