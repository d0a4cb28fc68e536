"""The page of the data as files, and the files."""

from collections.abc import Iterable, Iterator
from functools import partial

from lidoff.examination.packing import encoded
from lidoff.pages import addresses
from lidoff.pages.context import Context
from lidoff.pages.plan import Planned, digest_of, page
from lidoff.pages.trend_tables import Trends
from lidoff.pages.views.notices import demo_notices
from lidoff.pages.views.open_data import open_data_view
from lidoff.trends.citation import about
from lidoff.trends.open_columns import TABLES
from lidoff.trends.open_data import DATABASE, database_file, descriptions, table_files, values_of
from lidoff.website import Bundle, Page, SiteFile

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


def files(context: Context) -> Iterator[SiteFile]:
    """What the tables are, and how to cite them."""
    return _named(descriptions(about(context.entries, context.settings)))


def files_near(path: str, context: Context, trends: Trends) -> Iterator[SiteFile]:
    """The files that are made together with the one at a path: those of a table, the database, or the descriptions."""
    name = path.removeprefix(addresses.DATA)
    table = name.partition(".")[0]
    if name == DATABASE:
        return _named([database_file(trends.frames, context.entries)])
    return _named(table_files(table, trends.frames, context.entries)) if table in TABLES else files(context)


def bundles(context: Context, trends: Trends) -> Iterator[Bundle]:
    """All tables in every form. They are made of values that are taken anew, for all of them would be much to hold."""
    frames, entries = trends.frames, context.entries
    inputs = {name: digest_of((), encoded(values_of(name, frames, entries))) for name in TABLES}
    for name in TABLES:
        start = f"{addresses.DATA}{name}."
        yield Bundle(start, lambda name=name: _named(table_files(name, frames, entries)), inputs[name])
    start = f"{addresses.DATA}{DATABASE}"
    yield Bundle(start, lambda: _named([database_file(frames, entries)]), digest_of((), *inputs.values()))


def _named(files: Iterable[tuple[str, bytes]]) -> Iterator[SiteFile]:
    return (SiteFile(f"{addresses.DATA}{name}", content) for name, content in files)
