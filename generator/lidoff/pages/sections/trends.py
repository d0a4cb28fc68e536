"""Trend pages with their charts, and the tables as files."""

from collections.abc import Iterator
from functools import partial

from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.kept_charts import kept_chart
from lidoff.pages.trend_tables import Trends
from lidoff.pages.plan import Planned, page
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.trend import trend_view
from lidoff.pages.table import Link
from lidoff.trends.formats import as_csv, as_json
from lidoff.trends.tables import FIXED
from lidoff.website import Page, SiteFile


def index_plans(context: Context, trends: Trends) -> Iterator[Planned]:
    """The list of tables, then each table."""
    yield Planned("/trends/", partial(_index_page, context, trends))
    for name in trends.definitions:
        yield Planned(f"/{addresses.trend(name)}", partial(_page, name, context, trends))


def _index_page(context: Context, trends: Trends) -> Page:
    root = addresses.root("/trends/")
    main = {definition.name for definition in FIXED}
    links = [(name in main, Link(one.title, root + addresses.trend(name))) for name, one in trends.definitions.items()]
    values = {
        "main": [link for is_main, link in links if is_main],
        "further": [link for is_main, link in links if not is_main],
        "notices": _notices(context),
    }
    description = "What the opened chargers have in common, in tables."
    return page("/trends/", "trend/index.html.j2", "Trends", description, values, is_builder=True)


def _page(name: str, context: Context, trends: Trends) -> Page:
    address = f"/{addresses.trend(name)}"
    root, table = addresses.root(address), trends.table(name)
    drawing = kept_chart(trends, name, root, context.settings.base)
    view = trend_view(table, drawing, context.by_slug, root)
    values = {"view": view, "notices": _notices(context)}
    return page(address, "trend/page.html.j2", view.title, f"{view.title}. {view.reach}", values, is_builder=True)


def files(trends: Trends) -> Iterator[SiteFile]:
    """Every table as CSV and JSON."""
    for name in trends.definitions:
        yield SiteFile(f"data/trends/{name}.csv", as_csv(trends.table(name)).encode("utf-8"))
        yield SiteFile(f"data/trends/{name}.json", as_json(trends.table(name)).encode("utf-8"))


def _notices(context: Context) -> tuple[str, ...]:
    return demo_notices(entry for entry in context.entries if not entry.is_draft)
