"""The first page."""

from collections.abc import Iterator
from functools import partial

from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, page
from lidoff.pages.table import Link
from lidoff.pages.trend_tables import Trends
from lidoff.pages.views.home import home_view
from lidoff.pages.views.trend import trend_grid
from lidoff.website import Page

HEADLINES = ("technology-by-tier", "topology-by-tier")


def index_plans(context: Context, trends: Trends) -> Iterator[Planned]:
    """One page."""
    yield Planned("/", partial(_page, context, trends))


def _page(context: Context, trends: Trends) -> Page:
    root = addresses.root("/")
    links = (Link("The whole table with its chart", root + addresses.trend(name)) for name in HEADLINES)
    grids = (trend_grid(trends.table(name), context.by_slug, root, only_used=True) for name in HEADLINES)
    tables = tuple(zip(links, grids, strict=True))
    view = home_view(context, tables, root)
    return page("/", "home.html.j2", view.title, view.description, {"view": view}, is_builder=True)
