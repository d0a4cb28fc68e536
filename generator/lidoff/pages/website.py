"""All pages and files of the site, in the order in which the publishing stage wants them."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from itertools import chain

from lidoff.entry import Entry
from lidoff.pages import asset_files, feed
from lidoff.pages.context import Context, make_context
from lidoff.pages.neighbours import crowd_of, neighbours
from lidoff.pages.plan import Planned
from lidoff.pages.sections import (
    checks,
    comparisons,
    designs,
    groups,
    home,
    life_size,
    lookup,
    methods,
    open_data,
    parts,
    product_index,
    products,
    reference,
    search,
    trends,
)
from lidoff.pages.sections.products import product_page
from lidoff.pages.trend_tables import Trends
from lidoff.settings import Settings
from lidoff.website import Bundle, Page, Piece, SiteFile, Website

SECTIONS: Mapping[str, Callable[[Context], Iterator[Planned]]] = {
    "products": products.plans, "parts": parts.plans, "makers": parts.plans,
    "tiers": groups.plans, "brands": groups.plans, "topologies": groups.plans,
    "compare": comparisons.plans, "scale": life_size.plans, "checks": checks.plans,
}  # fmt: skip
"""Who makes the pages that the navigation does not list, by the first folder of their addresses."""


def build_website(entries: Sequence[Entry], settings: Settings, *, with_drafts: bool = False) -> Website:
    """The whole site; its pages are made when they are asked for."""
    context, tables = seen_by_pages(entries, settings, with_drafts)
    return Website(
        pages=(planned.make() for planned in index_plans(context, tables)),
        files=_files(context, tables),
        texts=search.texts(context),
        pictures=products.pictures(context),
        pieces=pieces(context),
        bundles=bundles(context, tables),
        moved=products.moved(context),
        assets=asset_files.folder(),
        products=len(context.entries),
    )


def outline(settings: Settings) -> Website:
    """The site without its records: the pages of its navigation, which have the same addresses and titles."""
    pages = (planned.make() for planned in index_plans(*seen_by_pages((), settings, True)))
    return Website(pages=pages, files=asset_files.files(), assets=asset_files.folder())


def render_product(entry: Entry, context: Context) -> Page:
    """The page of one product."""
    products = ((one.slug, one.sketch.product) for one in context.entries)
    around = neighbours(entry, crowd_of(products, context.settings.tiers_w))
    return product_page(entry, around, context.kinship.kin(entry), context.settings)


def find_page(address: str, entries: Sequence[Entry], settings: Settings, *, with_drafts: bool = False) -> Page | None:
    """The one page at an address, without making any other; None where there is none."""
    return page_at(address, *seen_by_pages(entries, settings, with_drafts))


def page_at(address: str, context: Context, tables: Trends) -> Page | None:
    """The same, against what was indexed before."""
    section = address.strip("/").partition("/")[0]
    near = SECTIONS[section](context) if section in SECTIONS else ()
    return next((one.make() for one in chain(index_plans(context, tables), near) if one.address == address), None)


def plans(context: Context, tables: Trends) -> Iterator[Planned]:
    """Every page of the site, those of the navigation first."""
    yield from index_plans(context, tables)
    for of_section in dict.fromkeys(SECTIONS.values()):
        yield from of_section(context)


def index_plans(context: Context, tables: Trends) -> Iterator[Planned]:
    """The pages of the navigation."""
    yield from home.index_plans(context, tables)
    yield from product_index.index_plans(context)
    yield from trends.index_plans(context, tables)
    yield from designs.index_plans(context)
    yield from open_data.index_plans(context)
    yield from parts.index_plans(context)
    yield from lookup.index_plans(context)
    yield from search.index_plans(context)
    yield from comparisons.index_plans(context)
    yield from methods.index_plans(context)
    yield from checks.index_plans()
    yield from reference.index_plans()


def pieces(context: Context) -> Iterator[Piece]:
    """All other pages, those that take longest first."""
    yield from products.pieces(context)
    yield from _other_pieces(context)


def _other_pieces(context: Context) -> Iterator[Piece]:
    for of_section in dict.fromkeys(SECTIONS.values()):
        if of_section is not products.plans:
            for planned in of_section(context):
                yield Piece(planned.address, partial(_alone, planned), planned.inputs)


def _alone(planned: Planned) -> tuple[Page, tuple[SiteFile, ...]]:
    return planned.make(), ()


def seen_by_pages(
    entries: Sequence[Entry], settings: Settings, with_drafts: bool, earlier: tuple[Context, Trends] | None = None
) -> tuple[Context, Trends]:
    """What pages are made against: the entries that are shown, indexed, and their tables.

    Of an ``earlier`` state is taken what rests on entries that are the same.
    """
    shown = [entry for entry in entries if with_drafts or not entry.is_draft]
    context, tables = earlier or (None, None)
    return make_context(shown, settings, context), Trends(shown, settings, tables)


def bundles(context: Context, tables: Trends) -> Iterator[Bundle]:
    """The files that are made together, and kept while what they rest on stays."""
    yield lookup.bundle(context)
    yield from open_data.bundles(context, tables)


def files_near(path: str, see: Callable[[], tuple[Context, Trends]]) -> Iterator[SiteFile]:
    """The files that are made together with the one at a path, where it rests on many records."""
    match path.split("/"):
        case _ if path == product_index.NAMES:
            yield product_index.names_file(see()[0])
        case ["data", "index", _]:
            yield from product_index.files(see()[0])
        case ["data", "trends", file] if (name := file.partition(".")[0]) in see()[1].definitions:
            yield from trends.files_of(name, see()[1])
        case ["data", "markings", *_]:
            yield from lookup.files(see()[0])
        case ["data", _]:
            yield from open_data.files_near(path, *see())
        case [feed.ADDRESS]:
            yield _feed(see()[0])


def _feed(context: Context) -> SiteFile:
    return SiteFile(feed.ADDRESS, feed.feed(context.entries, context.settings))


def _files(context: Context, tables: Trends) -> Iterator[SiteFile]:
    yield from asset_files.files()
    yield from product_index.files(context)
    yield from trends.files(tables)
    yield from open_data.files(context)
    yield _feed(context)
    yield from products.files(context)
