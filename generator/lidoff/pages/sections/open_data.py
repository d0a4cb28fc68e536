"""The page of the data as files, and the files."""

from collections.abc import Iterator
from functools import partial

from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, page
from lidoff.pages.trend_tables import Trends
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.open_data import open_data_view
from lidoff.trends.citation import about
from lidoff.trends.open_data import open_data
from lidoff.website import Page, SiteFile

ADDRESS = "/data/"


def index_plans(context: Context) -> Iterator[Planned]:
    """The one page."""
    yield Planned(ADDRESS, partial(_page, context))


def _page(context: Context) -> Page:
    entries = [entry for entry in context.entries if not entry.is_draft]
    view = open_data_view(about(entries, context.settings), len(entries))
    values = {"view": view, "notices": demo_notices(entries)}
    description = "Products, parts, ports, figures and findings as CSV, JSON and SQLite, with units and meanings."
    return page(ADDRESS, "open_data.html.j2", "The data as files", description, values, is_builder=True)


def files(context: Context, trends: Trends) -> Iterator[SiteFile]:
    """All tables in every form, with their descriptor and how to cite them."""
    for name, content in open_data(trends.frames, context.entries, about(context.entries, context.settings)):
        yield SiteFile(f"{addresses.DATA}{name}", content)
